#include "work/explain.h"

#include "assess/reckon.h"
#include "base/text.h"
#include "model/field.h"

struct reference {
	struct arena *arena;
	const struct library *library;
	const struct phrasebook *words;
	const char *word;
	struct explained_list found;
	const char **names; /* everything that could have been meant */
	size_t count, room;
};

static const char *label(const struct reference *r, const char *key)
{
	const char *text = phrasebook_find(r->words, arena_format(r->arena, "cli.%s", key));
	return text ? text : key;
}

/* Whether `id` is the word asked for; notes it as a candidate either way. */
static bool meant(struct reference *r, const char *id)
{
	if (r->count == r->room) {
		size_t room = r->room ? r->room * 2 : 256;
		r->names = arena_grow(r->arena, r->names, r->count, room, sizeof *r->names);
		r->room = room;
	}
	r->names[r->count++] = id;
	return text_equal(id, r->word);
}

static void line(struct reference *r, const char *key, const char *shown, const char *value)
{
	struct explained *e = &r->found.items[r->found.count - 1];
	if (!value || !*value)
		return;
	if (e->count == e->room) {
		size_t room = e->room ? e->room * 2 : 8;
		e->lines = arena_grow(r->arena, e->lines, e->count, room, sizeof *e->lines);
		e->room = room;
	}
	e->lines[e->count++] = (struct explained_line){key, shown, value};
}

static void open_entry(struct reference *r, const char *group, const char *id)
{
	struct explained_list *l = &r->found;
	if (l->count == l->room) {
		size_t room = l->room ? l->room * 2 : 4;
		l->items = arena_grow(r->arena, l->items, l->count, room, sizeof *l->items);
		l->room = room;
	}
	l->items[l->count++] = (struct explained){.id = id, .kind = group,
		.kind_label = label(r, arena_format(r->arena, "kind-%s", group))};
}

static void head(struct reference *r, const char *group, const char *id)
{
	open_entry(r, group, id);
	line(r, "title", NULL, phrasebook_part(r->words, group, id, "title"));
	line(r, "text", NULL, phrasebook_part(r->words, group, id, "text"));
}

static void row(struct reference *r, const char *key, const char *value)
{
	line(r, key, label(r, key), value);
}

static void row_words(struct reference *r, const char *key, struct words w)
{
	struct buf b;
	buf_init(&b, r->arena);
	for (size_t i = 0; i < w.count; i++)
		buf_format(&b, "%s%s", i ? ", " : "", w.items[i]);
	row(r, key, b.bytes);
}

static const char *source_text(const struct reference *r, const char *from, enum standing standing)
{
	const char *word = label(r, arena_format(r->arena, "standing-%s", standing_name(standing)));
	return text_begins(from, word) ? from : arena_format(r->arena, "%s (%s)", from, word);
}

static void source(struct reference *r, const char *from, enum standing standing)
{
	row(r, "source", source_text(r, from ? from : "–", standing));
}

static void explain_fields(struct reference *r)
{
	for (size_t i = 0; i < FIELD_COUNT_ALL; i++) {
		const struct field *f = &FIELDS[i];
		if (!meant(r, f->path))
			continue;
		const char *help = phrasebook_part(r->words, "fields", f->path, "help");
		head(r, "fields", f->path);
		if (help)
			line(r, "help", NULL, help);
		row(r, "choices", f->choices);
		if (f->kind == FIELD_QUANTITY)
			row(r, "units", dimension_units(r->arena, *f->dim));
		if (f->low)
			row(r, "range", arena_format(r->arena, "%s … %s", f->low, f->high));
		row(r, "due", !(f->flags & FIELD_ALWAYS) ? label(r, "due-never")
				: f->when		? f->when
							: label(r, "due-always"));
	}
}

/* Fields that the library declares: dimensions of a type, facts of a zone or a check. */
static void explain_declared(struct reference *r, const char *prefix, const char *words,
	const struct lib_field *fields, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const struct lib_field *f = &fields[i];
		const char *path = arena_format(r->arena, "%s.%s", prefix, f->id);
		if (r->found.count && text_equal(path, r->word))
			continue;
		if (!meant(r, path))
			continue;
		const char *key = f->words ? f->words : arena_format(r->arena, "%s.%s", words, f->id);
		const char *title = phrasebook_find(r->words, key);
		open_entry(r, "fields", path);
		if (title)
			line(r, "title", NULL, title);
		row_words(r, "choices", f->choices);
		if (f->kind == FIELD_QUANTITY)
			row(r, "units", dimension_units(r->arena, f->dim));
		row(r, "due", f->when ? rule_text(f->when) : label(r, "due-always"));
	}
}

static void explain_facts(struct reference *r)
{
	const struct library *l = r->library;
	struct arena *a = r->arena;
	for (size_t i = 0; i < l->types_count; i++)
		explain_declared(r, "gate.dimensions", arena_format(a, "types.%s.dimensions", l->types[i].note.id),
			l->types[i].dimensions, l->types[i].dimension_count);
	for (size_t i = 0; i < l->zones_count; i++) {
		const char *path = arena_format(a, "zones.%s.facts", l->zones[i].note.id);
		explain_declared(r, path, path, l->zones[i].asks, l->zones[i].ask_count);
	}
	for (size_t i = 0; i < l->checks_count; i++) {
		const char *path = arena_format(a, "checks.%s.facts", l->checks[i].note.id);
		explain_declared(r, path, path, l->checks[i].asks, l->checks[i].ask_count);
	}
}

static void explain_types(struct reference *r)
{
	for (size_t i = 0; i < r->library->types_count; i++) {
		const struct lib_type *t = &r->library->types[i];
		if (!meant(r, t->note.id))
			continue;
		head(r, "types", t->note.id);
		row_words(r, "zones", t->zones);
		for (size_t k = 0; k < t->dimension_count; k++)
			row(r, "dimension", t->dimensions[k].id);
		source(r, t->note.source, t->note.standing);
	}
}

static void explain_zones(struct reference *r)
{
	for (size_t i = 0; i < r->library->zones_count; i++) {
		const struct lib_zone *z = &r->library->zones[i];
		if (!meant(r, z->note.id))
			continue;
		head(r, "zones", z->note.id);
		for (size_t k = 0; k < z->hazard_count; k++) {
			const struct lib_hazard *h = &z->hazards[k];
			row(r, "hazard", h->kind);
			row(r, "designed-out", h->designed_out ? rule_text(h->designed_out) : "–");
			row_words(r, "measures", h->measures);
		}
		for (size_t k = 0; k < z->ask_count; k++) {
			const char *id = z->asks[k].id;
			const char *question = phrasebook_find(r->words, z->asks[k].words ? z->asks[k].words
				: arena_format(r->arena, "zones.%s.facts.%s", z->note.id, id));
			row(r, "asks", question ? arena_format(r->arena, "%s – %s", id, question) : id);
		}
		row(r, "absent-when", z->absent_when ? rule_text(z->absent_when) : NULL);
		source(r, z->note.source, z->note.standing);
	}
	for (size_t i = 0; i < r->library->zones_count; i++)
		for (size_t k = 0; k < r->library->zones[i].hazard_count; k++) {
			const char *kind = r->library->zones[i].hazards[k].kind;
			if (text_equal(kind, r->word) && !r->found.count)
				head(r, "hazards", kind);
		}
}

static void explain_measures(struct reference *r)
{
	for (size_t i = 0; i < r->library->measures_count; i++) {
		const struct lib_measure *m = &r->library->measures[i];
		if (!meant(r, m->note.id))
			continue;
		head(r, "measures", m->note.id);
		row(r, "step", m->step);
		row(r, "protection", m->protection);
		row_words(r, "answers", m->answers);
		row_words(r, "never", m->never);
		for (size_t k = 0; k < m->need_count; k++) {
			const char *words = phrasebook_find(r->words,
				arena_format(r->arena, "measures.%s.ways.%s", m->note.id, m->needs[k].id));
			row(r, "need", words ? words : m->needs[k].id);
		}
		source(r, m->note.source, m->note.standing);
	}
}

static void explain_limits(struct reference *r)
{
	for (size_t i = 0; i < r->library->limits_count; i++) {
		const struct lib_limit *l = &r->library->limits[i];
		if (!meant(r, l->note.id))
			continue;
		head(r, "limits", l->note.id);
		row_words(r, "arguments", l->arguments);
		for (size_t k = 0; k < l->variant_count; k++) {
			const struct lib_limit_variant *v = &l->variants[k];
			row(r, v->is_default ? "variant-default" : "variant", v->id);
			for (size_t n = 0; n < v->row_count; n++) {
				const struct lib_limit_row *x = &v->rows[n];
				line(r, "value", x->value ? rule_text(x->value) : "?",
					arena_format(r->arena, "%s\n%s",
						x->when ? rule_text(x->when) : label(r, "otherwise"),
						source_text(r, x->source ? x->source : "–", x->standing)));
			}
		}
	}
}

static const char *edge_text(const struct reference *r, const struct grid_axis *axis, size_t i)
{
	static const char *const SIGNS[] = {"≤ ", "≥ ", "", ""};
	return axis->worded ? axis->words[i]
			    : arena_format(r->arena, "%s%s", SIGNS[axis->take],
				      quantity_text(r->arena, quantity_of(axis->at[i], axis->dim)));
}

static const char *cell_text(const struct reference *r, const struct grid *g, size_t i)
{
	const struct grid_cell *c = &g->cells[i];
	return !c->given ? "–" : g->worded ? c->word : quantity_text(r->arena, quantity_of(c->value, g->dim));
}

/* A line a row: its edge, then "column: cell". */
static void explain_grids(struct reference *r)
{
	for (size_t i = 0; i < r->library->grids_count; i++) {
		const struct lib_grid *l = &r->library->grids[i];
		const struct grid *g = &l->grid;
		size_t columns = g->axis_count > 1 ? g->axes[1].count : 1;
		if (!meant(r, l->note.id))
			continue;
		head(r, "tables", l->note.id);
		row(r, "edition", l->edition);
		for (size_t k = 0; k < g->axes[0].count; k++) {
			struct buf b;
			buf_init(&b, r->arena);
			for (size_t n = 0; n < columns; n++)
				buf_format(&b, "%s%s%s%s", n ? " · " : "",
					g->axis_count > 1 ? edge_text(r, &g->axes[1], n) : "",
					g->axis_count > 1 ? ": " : "", cell_text(r, g, k * columns + n));
			line(r, "value", edge_text(r, &g->axes[0], k), b.bytes);
		}
		source(r, l->note.source, l->note.standing);
	}
}

static void explain_computations(struct reference *r)
{
	for (const struct reckon_family *const *f = RECKON_FAMILIES; *f; f++)
		for (size_t i = 0; i < (*f)->count; i++) {
			const char *name = (*f)->reckoners[i].name;
			if (!meant(r, name))
				continue;
			struct explained_list one = explain_reckoners(r->arena, r->words, name);
			open_entry(r, "reckon", name);
			r->found.items[r->found.count - 1] = one.items[0];
		}
}

static void explain_rest(struct reference *r)
{
	const struct library *l = r->library;
#define PLAIN(group, words) \
	for (size_t i = 0; i < l->group##_count; i++) \
		if (meant(r, l->group[i].note.id)) { \
			head(r, words, l->group[i].note.id); \
			source(r, l->group[i].note.source, l->group[i].note.standing); \
		}
	PLAIN(definitions, "definitions")
	PLAIN(checks, "checks")
	PLAIN(input_rules, "input-rules")
	PLAIN(causes, "causes")
	PLAIN(functions, "functions")
	PLAIN(requirements, "requirements")
	PLAIN(standards, "standards")
	PLAIN(regimes, "regimes")
	PLAIN(tasks, "upkeep")
	PLAIN(plans, "force-plans")
	PLAIN(protections, "protection")
#undef PLAIN
}

static void explain_findings(struct reference *r)
{
	for (int i = 0; i < FINDING_CODE_COUNT; i++) {
		const char *code = finding_name((enum finding_code)i);
		if (!meant(r, code))
			continue;
		const char *message = phrasebook_part(r->words, "findings", code, "message");
		const char *text = phrasebook_part(r->words, "findings", code, "explain");
		head(r, "findings", code);
		row(r, "level", label(r, arena_format(r->arena, "level-%s",
				finding_level_name(finding_level((enum finding_code)i)))));
		row(r, "message", message);
		if (text)
			line(r, "text", NULL, text);
	}
}

struct explained_list explain_word(struct arena *a, const struct library *library,
	const struct phrasebook *words, const char *word, const char **closest)
{
	struct reference r = {.arena = a, .library = library, .words = words, .word = word};
	explain_fields(&r);
	explain_facts(&r);
	explain_types(&r);
	explain_zones(&r);
	explain_measures(&r);
	explain_limits(&r);
	explain_grids(&r);
	explain_computations(&r);
	explain_rest(&r);
	explain_findings(&r);
	*closest = r.found.count ? NULL : text_closest(word, r.names, r.count);
	return r.found;
}
