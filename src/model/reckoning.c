#include "model/reckoning.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
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

/* Thousands set apart by a blank that does not break, from five digits before the point on. */
static const char *grouped(struct arena *a, const char *digits)
{
	size_t sign = *digits == '-', whole = strcspn(digits, ".") - sign;
	struct buf b;
	if (whole < 5)
		return digits;
	buf_init(&b, a);
	buf_add(&b, digits, sign);
	for (size_t i = 0; i < whole; i++)
		buf_format(&b, "%s%c", i && (whole - i) % 3 == 0 ? "\u00a0" : "", digits[sign + i]);
	buf_put(&b, digits + sign + whole);
	return b.bytes;
}

const char *figure_text(struct arena *a, double value)
{
	double size = fabs(value);
	if (size > 0 && (size < 1e-3 || size >= 1e12)) {
		/* "2.47e-08" without its idle noughts. */
		char *text = arena_format(a, "%.2e", value), *mark = strchr(text, 'e'), *digits = mark + 2;
		while (digits[0] == '0' && digits[1])
			digits++;
		*mark = '\0';
		return arena_format(a, "%sE%s%s", text, mark[1] == '-' ? "-" : "", digits);
	}
	int before = (int)floor(log10(size > 0 ? size : 1));
	int decimals = before >= 5 ? 0 : before >= 3 ? 1 : 3 - before;
	const char *text = text_number(a, value, decimals);
	double shown = value;
	text_scan(text, &shown);
	/* Rounded to a round number it could pass for a limit that it only comes near. */
	if (strlen(text) < (size_t)decimals + 2 && fabs(shown - value) > 1e-9 * size)
		text = text_number(a, value, decimals + 3);
	return grouped(a, text);
}
