/* Names of words that are too long to be looked up. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/text.h"
#include "load/phrasebook.h"

Test(load_words, a_name_too_long_is_refused)
{
	jmp_buf escape;
	struct arena a;
	struct findings found;
	struct phrasebook book = {0};
	struct buf text;
	arena_init(&a, &escape);
	findings_init(&found, &a);
	buf_init(&text, &a);
	/* Keys one below the other, none of them too long by itself. */
	for (int depth = 0; depth < 12; depth++)
		buf_format(&text, "%*s%s:\n", depth, "", "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa");
	buf_format(&text, "%*s%s: x\n", 12, "", "b");
	buf_put(&text, "short: {key: y}\n");
	cr_expect_not(phrasebook_add(&a, &book, text.bytes, text.length, "en/a.yaml", &found));
	phrasebook_finish(&a, &book, &found);
	cr_assert_eq(found.count, 1);
	cr_expect_str_eq(finding_name(found.items[0]->code), "words-name");
	cr_expect_str_eq(phrasebook_find(&book, "short.key"), "y", "the rest is taken");
	arena_release(&a);
}
