#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sys/embedded.h"

Test(sys_embedded, names_are_sorted_and_end_with_null)
{
	for (size_t i = 1; i < embedded_file_count; i++)
		cr_expect_lt(strcmp(embedded_files[i - 1].name, embedded_files[i].name), 0);
	cr_expect_null(embedded_files[embedded_file_count].name);
}

/* Against the files in the tree: the tests run in the top folder. Fonts come from elsewhere; how what
 * is baked compares to its YAML is tested with that form. */
Test(sys_embedded, bytes_are_those_of_the_tree)
{
	size_t compared = 0;
	for (size_t i = 0; i < embedded_file_count; i++) {
		const struct embedded_file *e = &embedded_files[i];
		const char *ending = strrchr(e->name, '.');
		if (strncmp(e->name, "fonts/", 6) == 0 || (ending && strcmp(ending, ".tree") == 0))
			continue;
		FILE *f = fopen(e->name, "rb");
		cr_assert_not_null(f, "%s", e->name);
		char *bytes = malloc(e->length + 1);
		cr_assert_not_null(bytes);
		cr_expect_eq(fread(bytes, 1, e->length + 1, f), e->length, "%s", e->name);
		cr_expect_eq(memcmp(bytes, e->bytes, e->length), 0, "%s", e->name);
		cr_expect_eq(e->bytes[e->length], 0);
		free(bytes);
		fclose(f);
		compared++;
	}
	cr_expect_gt(compared, 0);
}

Test(sys_embedded, every_name_is_found_and_no_other)
{
	for (size_t i = 0; i < embedded_file_count; i++)
		cr_expect_eq(embedded_find(embedded_files[i].name), &embedded_files[i]);
	cr_expect_null(embedded_find(""));
	cr_expect_null(embedded_find("templates"));
	cr_expect_null(embedded_find("zzz"));
	cr_expect_null(embedded_find("templates/en/findings.yam"));
}

Test(sys_embedded, a_prefix_lists_all_that_begin_with_it)
{
	static const char *const PREFIXES[] = {"", "hazards/", "templates/", "templates/en/",
		"fonts/", "zzz", "templates/en/f"};
	for (size_t k = 0; k < sizeof PREFIXES / sizeof *PREFIXES; k++) {
		size_t listed = 0, expected = 0;
		for (size_t i = 0; i < embedded_file_count; i++)
			expected += strncmp(embedded_files[i].name, PREFIXES[k], strlen(PREFIXES[k])) == 0;
		const struct embedded_file *f;
		for (; (f = embedded_list(PREFIXES[k], listed)); listed++)
			cr_expect_eq(strncmp(f->name, PREFIXES[k], strlen(PREFIXES[k])), 0);
		cr_expect_eq(listed, expected, "%s", PREFIXES[k]);
	}
	cr_expect_null(embedded_list("", (size_t)-1));
}
