/* A document whose words are not there. */
#include <criterion/criterion.h>

#include "assess_bench.h"
#include "doc/technical_file.h"

Test(doc_missing, a_template_that_is_missing_is_told)
{
	struct bench b;
	struct phrasebook none = {0};
	struct findings found;
	struct job_files files = {0};
	bench_open(&b);
	bench_judge(&b);
	findings_init(&found, &b.arena);
	struct doc_input input = {.assessment = b.result, .phrasebook = &none, .files = &files, .version = "0",
		.names = assess_names(b.result), .findings = &found};
	technical_file_build(&b.arena, &input);
	cr_assert_gt(found.count, 0);
	cr_expect_str_eq(finding_name(found.items[0]->code), "template-missing");
	cr_expect_eq(findings_worst(&found), FINDING_INPUT, "such a file must not be bound");
	bench_close(&b);
}
