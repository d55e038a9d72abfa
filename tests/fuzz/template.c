/* Exercises src/load/phrasebook.c and src/model/phrase.c: the input is a file of words and a
 * document, and every text in them is filled. Values are put in once, and text without braces stays
 * as it is. Inputs over 64 KiB are passed over. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "load/phrasebook.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(bool holds)
{
	if (!holds)
		abort();
}

struct tally {
	size_t asked, put;
};

static const char *value(void *subject, const char *name)
{
	struct tally *t = subject;
	t->asked++;
	if (strlen(name) % 2)
		return NULL;
	t->put++;
	return "{{x}}";
}

static void fill(struct arena *a, const char *text)
{
	struct tally t = {0, 0};
	const char *filled = phrase_expand(a, text, value, &t);
	if (!strstr(text, "{{"))
		require(t.asked == 0);
	if (t.put == 0)
		require(strcmp(filled, text) == 0);
	else
		require(strstr(filled, "{{x}}") != NULL);
}

static void try_words(struct arena *a, const char *text, size_t size)
{
	struct findings findings;
	struct phrasebook book = {0};
	findings_init(&findings, a);
	bool words = phrasebook_add(a, &book, text, size, "en/words.yaml", &findings);
	bool document = phrasebook_add(a, &book, text, size, "en/words.md", &findings);
	require((words && document) || findings_worst(&findings) == FINDING_INPUT);
	phrasebook_finish(a, &book, &findings);
	for (size_t i = 0; i < book.count; i++) {
		require(phrasebook_find(&book, book.phrases[i].key) == book.phrases[i].text);
		fill(a, book.phrases[i].text);
	}
	if (document)
		fill(a, phrasebook_document(&book, "words"));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	jmp_buf escape;
	struct arena a;
	if (size > 65536)
		return 0;
	arena_init(&a, &escape);
	if (setjmp(escape) == 0)
		try_words(&a, (const char *)data, size);
	arena_release(&a);
	return 0;
}
