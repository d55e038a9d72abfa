#include <criterion/criterion.h>

#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"

Test(base_arena, zeroed_aligned_apart)
{
	jmp_buf escape;
	struct arena a;
	unsigned char *last = NULL;
	size_t last_size = 0;
	arena_init(&a, &escape);
	for (size_t size = 0; size < 70000; size = size * 2 + 1) {
		unsigned char *p = arena_alloc(&a, size);
		cr_assert_not_null(p);
		cr_assert_eq((uintptr_t)p % _Alignof(max_align_t), 0);
		for (size_t i = 0; i < size; i++)
			cr_assert_eq(p[i], 0);
		memset(p, 0xA5, size);
		for (size_t i = 0; i < last_size; i++)
			cr_assert_eq(last[i], 0xA5, "an earlier item is whole");
		last = p;
		last_size = size;
	}
	cr_expect_geq(a.used, 65535);
	arena_release(&a);
	cr_expect_eq(a.used, 0);
	cr_expect_not_null(arena_alloc(&a, 1), "it may be used again");
	arena_release(&a);
}

/* A large item must not close the block that small ones still fit into. */
Test(base_arena, large_among_small)
{
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	char *first = arena_alloc(&a, 16);
	arena_alloc(&a, 1 << 20);
	char *second = arena_alloc(&a, 16);
	cr_expect_eq(second - first, (ptrdiff_t)sizeof(max_align_t));
	arena_release(&a);
}

Test(base_arena, strings)
{
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	char *copy = arena_copy(&a, "abc\0def", 7);
	cr_expect_arr_eq(copy, "abc\0def", 8);
	cr_expect_str_eq(arena_copy(&a, "", 0), "");
	cr_expect_str_eq(arena_string(&a, "ß"), "ß");
	for (int n = 500; n < 530; n++) {
		char *text = arena_format(&a, "%*d|", n, 7);
		cr_assert_eq(strlen(text), (size_t)n + 1);
		cr_assert_eq(text[n], '|');
	}
	int numbers[] = {1, 2, 3}, *more = arena_grow(&a, numbers, 3, 6, sizeof *numbers);
	cr_expect_arr_eq(more, numbers, sizeof numbers);
	cr_expect_eq(more[5], 0);
	arena_release(&a);
}

static void note(void *subject)
{
	char **p = subject;
	*(*p)++ = 'x';
}

static char order[4];

static void first(void *subject)
{
	strcat(subject, "1");
}

static void second(void *subject)
{
	strcat(subject, "2");
}

Test(base_arena, deferred)
{
	jmp_buf escape;
	struct arena a;
	char calls[4] = "", *end = calls;
	arena_init(&a, &escape);
	arena_defer(&a, first, order);
	arena_defer(&a, second, order);
	arena_defer(&a, note, &end);
	cr_expect_str_eq(order, "");
	arena_release(&a);
	cr_expect_str_eq(order, "21", "last first");
	cr_expect_str_eq(calls, "x");
	arena_release(&a);
	cr_expect_str_eq(calls, "x", "once");
}

/* Out of memory goes to the escape, keeps what was there, and is sticky until release. */
static int exhaust(int how)
{
	jmp_buf escape;
	struct arena a;
	volatile int reached = 0;
	arena_init(&a, &escape);
	if (setjmp(escape)) {
		cr_expect(a.failed);
		arena_release(&a);
		cr_expect_not(a.failed);
		return reached;
	}
	arena_alloc(&a, 100);
	reached = 1;
	if (how == 0)
		arena_alloc(&a, SIZE_MAX);
	else if (how == 1)
		arena_array(&a, SIZE_MAX / 4, 8);
	else if (how == 2)
		arena_grow(&a, NULL, 0, SIZE_MAX, 2);
	else
		arena_exhausted(&a);
	reached = 2;
	return reached;
}

Test(base_arena, exhausted)
{
	for (int how = 0; how < 4; how++)
		cr_expect_eq(exhaust(how), 1, "way %d", how);
}
