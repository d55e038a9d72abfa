#include "model/reckoning.h"

#include "model/phrase.h"

char *step_shown(struct arena *a, const struct phrasebook *words, const struct step *s)
{
	const char *text = phrasebook_find(words, arena_format(a, "steps.%s", s->id));
	return text ? phrase_fill(a, text, s->values) : arena_string(a, s->id);
}

char *reckoning_meaning(struct arena *a, const struct phrasebook *words, const struct reckoning *r)
{
	if (!r->meaning)
		return NULL;
	const char *text = phrasebook_find(words, arena_format(a, "reckon.%s.means.%s", r->name, r->meaning));
	return text ? phrase_fill(a, text, r->values) : arena_string(a, r->meaning);
}
