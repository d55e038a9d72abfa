#include "assess/reckoner.h"

#include <math.h>
#include <string.h>

enum { LIST_MOST = 64, CHOICES_MOST = 64 };

/* In the order in which they are listed. A family is one file, assess/reckon_<family>.c, and its line here. */
const struct reckon_family *const RECKON_FAMILIES[] = {
	&RECKON_FORCE,
	&RECKON_ENERGY,
	&RECKON_DISTANCE,
	&RECKON_REACH,
	&RECKON_RELIABILITY,
	&RECKON_ELECTRICAL,
	&RECKON_WIND,
	&RECKON_RULES,
	NULL,
};

/* --- finding what was asked for ------------------------------------------------------------------- */

const struct reckoner *reckoner_find(const char *name)
{
	for (const struct reckon_family *const *f = RECKON_FAMILIES; *f; f++)
		for (size_t i = 0; i < (*f)->count; i++)
			if (text_equal((*f)->reckoners[i].name, name))
				return &(*f)->reckoners[i];
	return NULL;
}

static struct finding *complain(struct reckoning_run *r, enum finding_code code, const char *subject)
{
	r->refused = true;
	return finding_with(r->out->findings, finding_add(r->out->findings, code, subject, (struct place){0}), "name",
		r->out->name);
}

static void tell(struct reckoning_run *r, struct finding *f, const char *name, const char *value)
{
	finding_with(r->out->findings, f, name, value);
}

static void suggest_close(struct reckoning_run *r, struct finding *f, const char *word, const char *const *ids,
	size_t count)
{
	const char *close = text_closest(word, ids, count);
	if (close)
		way_with(r->out->findings, finding_way(r->out->findings, f, "meant"), "word", close);
}

static void no_such_name(struct reckoning_run *r)
{
	size_t count = 0;
	for (const struct reckon_family *const *f = RECKON_FAMILIES; *f; f++)
		count += (*f)->count;
	const char **names = arena_array(r->arena, count, sizeof *names);
	count = 0;
	for (const struct reckon_family *const *f = RECKON_FAMILIES; *f; f++)
		for (size_t i = 0; i < (*f)->count; i++)
			names[count++] = (*f)->reckoners[i].name;
	suggest_close(r, complain(r, FINDING_CODE_RECKON_NAME, r->out->name), r->out->name, names, count);
}

/* Capitals and small letters are one: no two words of a computation differ by that alone. */
static bool same_word(const char *a, const char *b)
{
	size_t i = 0;
	while (a[i] && b[i] && (a[i] | (a[i] >= 'A' && a[i] <= 'Z') << 5) == (b[i] | (b[i] >= 'A' && b[i] <= 'Z') << 5))
		i++;
	return !a[i] && !b[i];
}

static const struct reckon_key *key_find(const struct reckoner *reckoner, const char *name)
{
	for (size_t i = 0; i < reckoner->key_count; i++)
		if (same_word(reckoner->keys[i].name, name))
			return &reckoner->keys[i];
	return NULL;
}

static struct reckon_given *given_find(const struct reckoning *out, const char *key)
{
	for (struct reckon_given *g = out->inputs; g; g = g->next)
		if (text_equal(g->key, key))
			return g;
	return NULL;
}

/* --- reading values -------------------------------------------------------------------------------- */

static bool in_range(const struct reckon_key *k, struct quantity q)
{
	struct quantity bound;
	if (k->low && quantity_read(k->low, &bound) == QUANTITY_FINE &&
		q.low < bound.value - 1e-12 * fabs(bound.value))
		return false;
	return !(k->high && quantity_read(k->high, &bound) == QUANTITY_FINE &&
		q.high > bound.value + 1e-12 * fabs(bound.value));
}

static const char *range_text(struct arena *a, const struct reckon_key *k)
{
	if (k->low && k->high)
		return arena_format(a, "%s … %s", k->low, k->high);
	return k->low ? arena_format(a, "≥ %s", k->low) : k->high ? arena_format(a, "≤ %s", k->high) : "";
}

/* Says what the key takes: "a length with its unit (mm, cm, m, in)". */
static void wrong_value(struct reckoning_run *r, const struct reckon_key *k, const char *text)
{
	struct finding *f = complain(r, FINDING_CODE_RECKON_VALUE, k->name);
	const char *units = dimension_units(r->arena, *k->dim), *name = dimension_name(*k->dim);
	tell(r, f, "found", text_harmless(r->arena, text));
	bool plain = !*units || (k->bare && !*k->bare);
	tell(r, f, "wanted", plain ? "a number" : arena_format(r->arena, "%s (%s)", name ? name : "a value", units));
	struct way *w = finding_way(r->out->findings, f, strchr(text, ',') ? "point" : plain ? "number" : "unit");
	char *fixed = arena_string(r->arena, text);
	for (char *p = fixed; (p = strchr(p, ','));)
		*p = '.';
	way_with(r->out->findings, w, "fixed", text_harmless(r->arena, fixed));
	way_with(r->out->findings, w, "unit", arena_copy(r->arena, units, strcspn(units, ",")));
}

/* 90 where 90 % was meant. */
static bool percent_meant(const struct reckon_key *k, struct quantity q)
{
	struct quantity high;
	return dimension_equal(*k->dim, DIM_NUMBER) && k->high && quantity_read(k->high, &high) == QUANTITY_FINE &&
		high.value <= 1 && q.value > 1 && q.value <= 100;
}

/* "4e-8 1/h" or "4e-8/h" for a plain number that counts in "1/h": the number alone. */
static const char *without_unit(struct arena *a, const struct reckon_key *k, const char *text)
{
	if (!k->bare || !text_begins(k->bare, "1/") || !dimension_equal(*k->dim, DIM_NUMBER))
		return text;
	const char *tail = text_ends(text, k->bare) ? k->bare : text_ends(text, k->bare + 1) ? k->bare + 1 : "";
	return text_trim(a, arena_copy(a, text, strlen(text) - strlen(tail)));
}

static bool read_quantity(struct reckoning_run *r, const struct reckon_key *k, const char *text, struct value *out)
{
	struct quantity q;
	enum quantity_fault fault = quantity_read(without_unit(r->arena, k, text), &q);
	bool bare = fault == QUANTITY_FINE && dimension_equal(q.dim, DIM_NUMBER);
	if (bare && k->bare && *k->bare && !dimension_equal(*k->dim, DIM_NUMBER)) {
		const struct unit *unit = unit_find(k->bare, strlen(k->bare));
		q = (struct quantity){q.value * unit->factor, q.low * unit->factor, q.high * unit->factor, unit->dim};
	}
	if (fault != QUANTITY_FINE || !dimension_equal(q.dim, *k->dim)) {
		wrong_value(r, k, text);
		return false;
	}
	if (!in_range(k, q)) {
		struct finding *f = complain(r, FINDING_CODE_RECKON_RANGE, k->name);
		tell(r, f, "found", text_harmless(r->arena, text));
		tell(r, f, "range", range_text(r->arena, k));
		if (percent_meant(k, q))
			way_with(r->out->findings, finding_way(r->out->findings, f, "percent"), "found",
				text_harmless(r->arena, text));
		return false;
	}
	*out = value_of_quantity(q);
	return true;
}

static size_t split(struct arena *a, const char *text, const char mark, const char **out, size_t room)
{
	size_t count = 0;
	for (const char *p = text; count < room; p++) {
		const char *end = strchr(p, mark);
		size_t n = end ? (size_t)(end - p) : strlen(p);
		out[count++] = text_trim(a, arena_copy(a, p, n));
		if (!end)
			break;
		p = end;
	}
	return count;
}

static bool read_word(struct reckoning_run *r, const struct reckon_key *k, const char *text, struct value *out)
{
	const char *choices[CHOICES_MOST];
	size_t count = k->choices ? split(r->arena, k->choices, '|', choices, CHOICES_MOST) : 0;
	bool known = !k->choices && *text;
	*out = value_of_word(text);
	for (size_t i = 0; i < count && !known; i++)
		if (same_word(choices[i], text)) {
			known = true;
			*out = value_of_word(choices[i]);
		}
	if (known)
		return true;
	struct finding *f = complain(r, FINDING_CODE_RECKON_CHOICE, k->name);
	struct buf all;
	buf_init(&all, r->arena);
	for (size_t i = 0; i < count; i++)
		buf_format(&all, "%s%s", i ? ", " : "", choices[i]);
	tell(r, f, "found", text_harmless(r->arena, text));
	tell(r, f, "choices", all.bytes);
	suggest_close(r, f, text, choices, count);
	return false;
}

static bool read_one(struct reckoning_run *r, const struct reckon_key *k, const char *text, struct value *out)
{
	struct date d;
	switch (k->kind) {
	case RECKON_QUANTITY:
		return read_quantity(r, k, text, out);
	case RECKON_WORD:
	case RECKON_WORDS:
		return read_word(r, k, text, out);
	case RECKON_DATE:
		break;
	}
	if (date_read(text, &d)) {
		*out = value_of_date(d);
		return true;
	}
	struct finding *f = complain(r, FINDING_CODE_RECKON_VALUE, k->name);
	tell(r, f, "found", text_harmless(r->arena, text));
	tell(r, f, "wanted", "a date (2026-11-25)");
	return false;
}

static void read_given(struct reckoning_run *r, const struct reckon_key *k, const char *text, bool usual)
{
	bool list = k->list || k->kind == RECKON_WORDS;
	const char *parts[LIST_MOST + 1];
	size_t count = 1;
	parts[0] = text_trim(r->arena, text);
	if (list)
		count = split(r->arena, text, ',', parts, LIST_MOST + 1);
	if (count > LIST_MOST) {
		tell(r, complain(r, FINDING_CODE_RECKON_VALUE, k->name), "wanted", "a list of at most 64 values");
		return;
	}
	struct value *values = arena_array(r->arena, count, sizeof *values);
	for (size_t i = 0; i < count; i++)
		if (!read_one(r, k, parts[i], &values[i]))
			return;
	struct reckon_given *g = arena_alloc(r->arena, sizeof *g), **end = &r->out->inputs;
	*g = (struct reckon_given){.key = k->name, .text = text_trim(r->arena, text), .usual = usual, .values = values,
		.count = count, .list = list};
	while (*end)
		end = &(*end)->next;
	*end = g;
}

/* --- which form ------------------------------------------------------------------------------------ */

static bool argument_given(const struct reckon_argument *arguments, size_t count, const char *key)
{
	for (size_t i = 0; i < count; i++)
		if (same_word(arguments[i].key, key))
			return true;
	return false;
}

/* "mass speed [limit]" of one form; without `whole` only what must be given. */
static const char *form_keys(struct arena *a, const struct reckoner *reckoner, unsigned form, bool whole)
{
	struct buf b;
	buf_init(&b, a);
	for (size_t i = 0; i < reckoner->key_count; i++)
		if (reckoner->keys[i].needed & form)
			buf_format(&b, "%s%s", b.length ? " " : "", reckoner->keys[i].name);
	for (size_t i = 0; whole && i < reckoner->key_count; i++) {
		const struct reckon_key *k = &reckoner->keys[i];
		if (!(k->needed & form) && (!k->forms || (k->forms & form)))
			buf_format(&b, " [%s]", k->name);
	}
	return b.bytes;
}

static const char *all_forms(struct arena *a, const struct reckoner *reckoner, bool whole)
{
	struct buf b;
	buf_init(&b, a);
	for (unsigned form = FORM_1; form & reckoner->forms; form <<= 1)
		buf_format(&b, "%s%s", b.length ? ", or " : "", form_keys(a, reckoner, form, whole));
	return b.bytes;
}

static void missing(struct reckoning_run *r, const struct reckon_argument *arguments, size_t count, unsigned form)
{
	struct buf b;
	buf_init(&b, r->arena);
	for (size_t i = 0; i < r->reckoner->key_count; i++) {
		const struct reckon_key *k = &r->reckoner->keys[i];
		if ((k->needed & form) && !argument_given(arguments, count, k->name))
			buf_format(&b, "%s%s", b.length ? ", " : "", k->name);
	}
	struct finding *f = complain(r, FINDING_CODE_RECKON_MISSING, r->out->name);
	tell(r, f, "keys", b.bytes);
	tell(r, f, "forms", all_forms(r->arena, r->reckoner, false));
}

static size_t lacking(const struct reckoner *reckoner, const struct reckon_argument *arguments, size_t count,
	unsigned form)
{
	size_t n = 0;
	for (size_t i = 0; i < reckoner->key_count; i++)
		n += (reckoner->keys[i].needed & form) && !argument_given(arguments, count, reckoner->keys[i].name);
	return n;
}

/* The form whose keys were given: of those that take every key, the first that lacks least. */
static bool choose_form(struct reckoning_run *r, const struct reckon_argument *arguments, size_t count)
{
	unsigned fits = r->reckoner->forms;
	size_t least = (size_t)-1;
	for (size_t i = 0; i < count; i++) {
		const struct reckon_key *k = key_find(r->reckoner, arguments[i].key);
		if (k && k->forms)
			fits &= k->forms;
	}
	if (!fits) {
		tell(r, complain(r, FINDING_CODE_RECKON_FORMS, r->out->name), "forms",
			all_forms(r->arena, r->reckoner, false));
		return false;
	}
	for (unsigned form = FORM_1; form & r->reckoner->forms; form <<= 1) {
		size_t n = lacking(r->reckoner, arguments, count, form);
		if ((fits & form) && n < least) {
			least = n;
			r->form = form;
		}
	}
	if (least)
		missing(r, arguments, count, r->form);
	return least == 0;
}

/* "mass = 300kg" comes in pieces. */
static bool in_pieces(const struct reckon_argument *g)
{
	return !*g->key || (g->text && !*g->text);
}

static void read_arguments(struct reckoning_run *r, const struct reckon_argument *arguments, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (in_pieces(&arguments[i])) {
			complain(r, FINDING_CODE_RECKON_ARGUMENT, *arguments[i].key ? arguments[i].key : "=");
			return;
		}
	for (size_t i = 0; i < count; i++) {
		const struct reckon_argument *g = &arguments[i];
		const struct reckon_key *k = key_find(r->reckoner, g->key);
		if (!k) {
			const char **names = arena_array(r->arena, r->reckoner->key_count + 1, sizeof *names);
			for (size_t n = 0; n < r->reckoner->key_count; n++)
				names[n] = r->reckoner->keys[n].name;
			struct finding *f = complain(r, FINDING_CODE_RECKON_KEY, text_harmless(r->arena, g->key));
			tell(r, f, "forms", all_forms(r->arena, r->reckoner, true));
			suggest_close(r, f, g->key, names, r->reckoner->key_count);
		} else if (!g->text) {
			complain(r, FINDING_CODE_RECKON_ARGUMENT, g->key);
		} else if (argument_given(arguments, i, g->key)) {
			complain(r, FINDING_CODE_RECKON_TWICE, g->key);
		} else {
			read_given(r, k, g->text, false);
		}
	}
}

static void read_usual(struct reckoning_run *r)
{
	for (size_t i = 0; i < r->reckoner->key_count; i++) {
		const struct reckon_key *k = &r->reckoner->keys[i];
		if (k->usual && (!k->forms || (k->forms & r->form)) && !given_find(r->out, k->name))
			read_given(r, k, k->usual, true);
	}
}

/* --- computing ------------------------------------------------------------------------------------- */

static int distrust(enum standing s)
{
	switch (s) {
	case STANDING_PUBLISHED:
		return 0;
	case STANDING_PRACTICE:
		return 1;
	case STANDING_FIRM:
		return 2;
	case STANDING_MEMORY:
		break;
	}
	return 3;
}

enum standing standing_weaker(enum standing a, enum standing b)
{
	return distrust(b) > distrust(a) ? b : a;
}

/* Every message says what would make it right, if only in the words of its code. */
static void offer(struct findings *list)
{
	for (size_t i = 0; i < list->count; i++) {
		struct finding *f = list->items[i];
		if (f->ways)
			continue;
		struct way *w = finding_way(list, f, "do");
		for (const struct finding_value *v = f->values; v; v = v->next)
			way_with(list, w, v->name, v->value);
	}
}

static void total(struct reckoning *out, bool refused)
{
	if (refused)
		out->results = NULL;
	for (const struct step *s = out->steps.first; s; s = s->next)
		out->standing = standing_weaker(out->standing, s->standing);
	offer(out->findings);
}

struct reckon_argument reckon_argument_read(struct arena *a, const char *text)
{
	const char *equals = strchr(text, '=');
	if (!equals)
		return (struct reckon_argument){text, NULL};
	return (struct reckon_argument){arena_copy(a, text, (size_t)(equals - text)), equals + 1};
}

struct reckoning *reckon(struct arena *a, const struct library *library, const char *name,
	const struct reckon_argument *arguments, size_t count)
{
	static const struct record EMPTY = {.file = ""};
	struct reckoning *out = arena_alloc(a, sizeof *out);
	struct assess_whole *whole = arena_alloc(a, sizeof *whole);
	struct reckoning_run r = {.arena = a, .context = &whole->context, .out = out};
	out->name = name;
	out->findings = arena_alloc(a, sizeof *out->findings);
	findings_init(out->findings, a);
	whole->result.record = &EMPTY;
	whole->result.library = library;
	whole->context = (struct context){.arena = a, .record = &EMPTY, .library = library,
		.findings = out->findings, .result = &whole->result};
	context_names(r.context);
	r.reckoner = reckoner_find(name);
	if (!r.reckoner)
		no_such_name(&r);
	else
		read_arguments(&r, arguments, count);
	if (!r.refused && choose_form(&r, arguments, count))
		read_usual(&r);
	if (!r.refused)
		r.reckoner->run(&r);
	total(out, r.refused);
	return out;
}
