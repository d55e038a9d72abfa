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

/* Of "leaf@left" and "wall garden" the words stand for the first part. */
Test(load_words, which_one_of_several_follows_its_title)
{
	static const char WORDS[] = "bodies: {leaf: gate leaf, wall: wall}\nkinds: {post: {title: gate post}}\n";
	jmp_buf escape;
	struct arena a;
	struct findings found;
	struct phrasebook book = {0};
	arena_init(&a, &escape);
	findings_init(&found, &a);
	cr_assert(phrasebook_add(&a, &book, WORDS, strlen(WORDS), "en/a.yaml", &found));
	phrasebook_finish(&a, &book, &found);
	cr_expect_str_eq(phrase_title(&a, &book, "bodies", "leaf"), "gate leaf");
	cr_expect_str_eq(phrase_title(&a, &book, "bodies", "leaf@left"), "gate leaf (left)");
	cr_expect_str_eq(phrase_title(&a, &book, "bodies", "wall garden"), "wall garden");
	cr_expect_str_eq(phrase_title(&a, &book, "kinds", "post"), "gate post");
	cr_expect_str_eq(phrase_title(&a, &book, "bodies", "hood@left"), "hood@left", "no words");
	cr_expect_str_eq(phrase_title(&a, &book, "kinds", "leaf@left"), "leaf@left", "words of another group");
	cr_expect_str_eq(phrase_title(&a, NULL, "bodies", "leaf@left"), "leaf@left", "no words at hand");
	arena_release(&a);
}
