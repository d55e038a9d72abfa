#include "out/json_geometry.h"

#include <math.h>

#include "out/put.h"

static const struct {
	unsigned bit;
	const char *word;
} KINDS[] = {{CLEARANCE_CRUSHING, "crushing"}, {CLEARANCE_SHEARING, "shearing"}, {CLEARANCE_DRAWING_IN, "drawing-in"}};

static void put_bits(struct arena *a, json_t *o, unsigned kinds, unsigned parts)
{
	json_t *list = out_list(a, o, "kinds");
	for (size_t i = 0; i < sizeof KINDS / sizeof *KINDS; i++)
		if (kinds & KINDS[i].bit)
			out_word(a, list, KINDS[i].word);
	list = out_list(a, o, "parts");
	for (size_t i = 0; i < CLEARANCE_PARTS; i++)
		if (parts & 1u << i)
			out_word(a, list, CLEARANCE_PART[i]);
}

static void put_stretches(struct arena *a, json_t *o, const struct clearance_result *r)
{
	json_t *list = out_list(a, o, "shrinks");
	for (size_t i = 0; i < r->stretch_count; i++) {
		const struct clearance_stretch *s = &r->stretches[i];
		json_t *x = out_object(a, list);
		out_text(a, x, "direction", s->opening ? "opening" : "closing");
		out_number(a, x, "from_travel", s->opening ? s->from : s->to, 4);
		out_number(a, x, "to_travel", s->opening ? s->to : s->from, 4);
		out_number(a, x, "from_mm", fmax(s->start, s->end) * 1000, 1);
		out_number(a, x, "to_mm", fmin(s->start, s->end) * 1000, 1);
		out_number(a, x, "speed_m_s", s->speed, 4);
		put_bits(a, x, s->kinds, s->parts);
	}
}

void json_clearances(struct arena *a, json_t *to, const struct assessment *r)
{
	json_t *list = out_list(a, to, "clearances");
	const struct geometry *g = r ? r->geometry : NULL;
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		const struct clearance_result *c = &g->clearances[i];
		if (!c->knot_count)
			continue;
		json_t *o = out_object(a, list);
		out_text(a, o, "pair", c->key);
		out_number(a, o, "least_mm", c->least * 1000, 1);
		out_number(a, o, "greatest_mm", c->greatest * 1000, 1);
		out_number(a, o, "doubt_mm", c->doubt * 1000, 1);
		out_number(a, o, "least_at_travel", c->least_at, 4);
		out_put(a, o, "slides", json_boolean(c->slides));
		put_bits(a, o, c->kinds, c->parts);
		out_text(a, o, "zone", c->listed);
		put_stretches(a, o, c);
	}
}
