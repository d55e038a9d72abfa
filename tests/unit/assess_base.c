#include <criterion/criterion.h>

#include "assess_bench.h"

static struct bench b;

static void setup(void)
{
	bench_open(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(assess_base, .init = setup, .fini = teardown);

Test(assess_base, ready)
{
	bench_expect(&b, "");
	cr_expect(b.result->ready);
}
