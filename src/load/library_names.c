/* Rules of the library: which names and calls each may use, and whether what they call exists. */
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "load/library_read.h"

struct vocabulary {
	struct lib_reader *reader;
	struct choices dimensions; /* declared by any type, sorted */
	struct choices facts;      /* asked by any zone, sorted */
	struct schema leaf, input, activation, check;
	const struct pending_rule *rule; /* the one being compiled */
};

static int compare_words(const void *x, const void *y)
{
	return strcmp(*(const char *const *)x, *(const char *const *)y);
}

static void sort_words(const char **words, struct choices *c)
{
	if (c->count)
		qsort(words, c->count, sizeof *words, compare_words);
	c->items = words;
}

static struct choices all_dimensions(struct arena *a, const struct library *l)
{
	size_t count = 0;
	for (size_t i = 0; i < l->types_count; i++)
		count += l->types[i].dimension_count;
	const char **words = arena_array(a, count, sizeof *words);
	struct choices c = {NULL, 0};
	for (size_t i = 0; i < l->types_count; i++)
		for (size_t j = 0; j < l->types[i].dimension_count; j++)
			if (l->types[i].dimensions[j].id)
				words[c.count++] = l->types[i].dimensions[j].id;
	sort_words(words, &c);
	return c;
}

static size_t add_facts(const char **words, size_t count, const struct lib_field *asks, size_t ask_count)
{
	for (size_t i = 0; i < ask_count; i++)
		if (asks[i].id)
			words[count++] = asks[i].id;
	return count;
}

static struct choices all_facts(struct arena *a, const struct library *l)
{
	size_t count = 0;
	for (size_t i = 0; i < l->zones_count; i++)
		count += l->zones[i].ask_count;
	for (size_t i = 0; i < l->measures_count; i++)
		count += l->measures[i].ask_count;
	const char **words = arena_array(a, count, sizeof *words);
	struct choices c = {NULL, 0};
	for (size_t i = 0; i < l->zones_count; i++)
		c.count = add_facts(words, c.count, l->zones[i].asks, l->zones[i].ask_count);
	for (size_t i = 0; i < l->measures_count; i++)
		c.count = add_facts(words, c.count, l->measures[i].asks, l->measures[i].ask_count);
	sort_words(words, &c);
	return c;
}

static const char *behind(const char *name, const char *prefix)
{
	size_t n = strlen(prefix);
	return strncmp(name, prefix, n) == 0 ? name + n : NULL;
}

static bool has_row(const struct schema *s, const char *key)
{
	return schema_find(s, key) < s->count;
}

static bool zonal(const struct vocabulary *v)
{
	enum lib_group_id g = v->rule->group;
	return g == GROUP_ZONES || g == GROUP_MEASURES || g == GROUP_DEFINITIONS || g == GROUP_PLANS ||
	       g == GROUP_LIMITS;
}

static const char *const CLEARANCES[] = {"least", "greatest", "closed", "open", "entry", "end"};
static const struct choices CLEARANCE_WORDS = {CLEARANCES, sizeof CLEARANCES / sizeof *CLEARANCES};

static bool is_clearance(const char *what)
{
	for (size_t i = 0; i < CLEARANCE_WORDS.count; i++)
		if (text_equal(CLEARANCES[i], what))
			return true;
	return false;
}

/* Definitions and measures serve many zones; whatever some zone asks may be named in them. */
static bool known_here(const struct vocabulary *v, const char *fact)
{
	if (v->rule->group == GROUP_ZONES) {
		const struct lib_zone *zone = v->rule->owner;
		return lib_field_find(zone->asks, zone->ask_count, fact) != NULL;
	}
	return zonal(v) && library_has_id(v->facts, fact);
}

static bool known_check(const struct vocabulary *v, const char *fact)
{
	const struct lib_check *check = v->rule->owner;
	return v->rule->group == GROUP_CHECKS &&
	       (has_row(&v->check, fact) ||
		       lib_field_find(check->asks, check->ask_count, fact) != NULL);
}

static bool known_dimension(const struct vocabulary *v, const char *id)
{
	const struct lib_type *type = v->rule->owner;
	if (v->rule->group == GROUP_TYPES)
		return lib_field_find(type->dimensions, type->dimension_count, id) != NULL;
	return library_has_id(v->dimensions, id);
}

static bool known_leaf(const struct vocabulary *v, const char *key)
{
	enum lib_group_id g = v->rule->group;
	return (g == GROUP_TYPES || g == GROUP_ZONES || g == GROUP_MEASURES || g == GROUP_DEFINITIONS ||
		       g == GROUP_PLANS || g == GROUP_LIMITS) &&
	       (has_row(&v->leaf, key) || (g == GROUP_TYPES && text_equal(key, "order")));
}

/* A cause that shows on no input has none in hand. */
static bool known_input(const struct vocabulary *v, const char *key)
{
	bool in_hand = v->rule->group == GROUP_INPUT_RULES ||
		       (v->rule->group == GROUP_CAUSES &&
			       ((const struct lib_cause *)v->rule->owner)->functions.count);
	return in_hand && has_row(&v->input, key);
}

static bool known_name(const void *subject, const char *name)
{
	const struct vocabulary *v = subject;
	const char *rest;
	if (v->rule->group == GROUP_LIMITS &&
		words_have(((const struct lib_limit *)v->rule->owner)->arguments, name))
		return true;
	if ((rest = behind(name, "here.")))
		return known_here(v, rest);
	if ((rest = behind(name, "leaf.")))
		return known_leaf(v, rest);
	if ((rest = behind(name, "clearance.")))
		return zonal(v) && is_clearance(rest);
	if ((rest = behind(name, "check.")))
		return known_check(v, rest);
	if ((rest = behind(name, "the.")))
		return library_has_id(v->reader->ids[GROUP_DEFINITIONS], rest);
	if ((rest = behind(name, "gate.dimensions.")))
		return known_dimension(v, rest);
	if ((rest = behind(name, "input.")))
		return known_input(v, rest);
	if ((rest = behind(name, "activation.")))
		return v->rule->group == GROUP_ACTIVATIONS && has_row(&v->activation, rest);
	return text_equal(name, "gate.family") || text_equal(name, "gate.movement") ||
	       text_equal(name, "force.needed") || text_equal(name, "force.edge-static") ||
	       text_equal(name, "force.edge-peak") || has_row(&v->reader->fields, name);
}

static const struct {
	const char *name;
	size_t least, most;
} CALLS[] = {
	{"limit", 1, 1 + 8},
	{"table", 2, 1 + 2},
	{"any", 3, 3},
	{"all", 3, 3},
	{"count", 3, 3},
	{"chosen", 1, 1},
	{"clearance", 3, 3},
	{"device", 1, 1},
	{"device-count", 1, 1},
	{"device-least", 2, 2},
};

static bool known_call(const void *subject, const char *function, size_t count)
{
	const struct vocabulary *v = subject;
	if (text_equal(function, "clearance") && !zonal(v) && v->rule->group != GROUP_CHECKS)
		return false;
	for (size_t i = 0; i < sizeof CALLS / sizeof *CALLS; i++)
		if (text_equal(CALLS[i].name, function))
			return count >= CALLS[i].least && count <= CALLS[i].most;
	return false;
}

/* A call in the text of a rule that compiled. */
struct call {
	const char *name;
	const char *first, *second, *third; /* arguments, when they are words; else NULL */
	size_t count;
};

static bool name_character(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
	       c == '.' || c == '-';
}

static const char *skip_word(const char *p)
{
	const char *end = strchr(p + 1, '\'');
	return end ? end : p + strlen(p) - 1;
}

static const char *word_at(struct arena *a, const char *p)
{
	while (*p == ' ' || *p == '\n' || *p == '\t')
		p++;
	return *p == '\'' ? arena_copy(a, p + 1, strcspn(p + 1, "'")) : NULL;
}

/* `open` is the bracket of the call. */
static struct call call_at(struct arena *a, const char *text, const char *open)
{
	const char *from = open;
	int depth = 0;
	while (from > text && name_character(from[-1]))
		from--;
	struct call c = {arena_copy(a, from, (size_t)(open - from)), word_at(a, open + 1), NULL, NULL, 1};
	for (const char *p = open + 1; *p && depth >= 0; p++) {
		if (*p == '\'')
			p = skip_word(p);
		else if (*p == '(' || *p == '[')
			depth++;
		else if (*p == ')' || *p == ']')
			depth--;
		else if (*p == ',' && depth == 0 && c.count++ <= 2)
			*(c.count == 2 ? &c.second : &c.third) = word_at(a, p + 1);
	}
	return c;
}

static void refuse_call(struct lib_reader *r, const struct pending_rule *rule,
	enum finding_code code, const char *found, struct choices known)
{
	bind_unknown(&r->bind, code, rule->path, rule->at, found, known);
}

static void refuse_count(
	struct lib_reader *r, const struct pending_rule *rule, const struct call *c, size_t due)
{
	struct finding *f = bind_refuse(
		&r->bind, FINDING_CODE_LIBRARY_ARGUMENTS, rule->path, rule->at, c->first);
	bind_with_count(&r->bind, f, "count", c->count - 1);
	bind_with_count(&r->bind, f, "due", due);
}

static void check_limit_call(
	struct lib_reader *r, const struct pending_rule *rule, const struct call *c)
{
	const struct lib_limit *limit = c->first ? library_limit(r->library, c->first) : NULL;
	if (!limit) {
		refuse_call(r, rule, FINDING_CODE_LIBRARY_REFERENCE,
			c->first ? c->first : "limit(…)", r->ids[GROUP_LIMITS]);
	} else if (c->count != limit->arguments.count + 1) {
		refuse_count(r, rule, c, limit->arguments.count);
	}
}

/* A table whose axes could not be read has been reported. */
static void check_table_call(
	struct lib_reader *r, const struct pending_rule *rule, const struct call *c)
{
	const struct lib_grid *table = c->first ? library_grid(r->library, c->first) : NULL;
	if (!table)
		refuse_call(r, rule, FINDING_CODE_LIBRARY_REFERENCE,
			c->first ? c->first : "table(…)", r->ids[GROUP_GRIDS]);
	else if (table->grid.axis_count && c->count != table->grid.axis_count + 1)
		refuse_count(r, rule, c, table->grid.axis_count);
}

static void check_list_call(
	struct lib_reader *r, const struct pending_rule *rule, const struct call *c)
{
	size_t list = c->first ? schema_list(c->first) : FIELD_LIST_COUNT;
	if (list == FIELD_LIST_COUNT) {
		refuse_call(r, rule, FINDING_CODE_LIBRARY_REFERENCE, c->first ? c->first : c->name,
			(struct choices){NULL, 0});
		return;
	}
	struct schema s = schema_of(r->bind.arena, c->first);
	if (!c->second || !has_row(&s, c->second))
		refuse_call(r, rule, FINDING_CODE_LIBRARY_REFERENCE,
			c->second ? c->second : c->name, schema_keys(r->bind.arena, &s, "", false));
}

/* The third word says which clearance; bodies differ from type to type and are not known here. */
static void check_clearance_call(struct lib_reader *r, const struct pending_rule *rule, const struct call *c)
{
	if (!c->first || !c->second || !c->third || !is_clearance(c->third))
		refuse_call(r, rule, FINDING_CODE_LIBRARY_REFERENCE, c->third ? c->third : c->name,
			CLEARANCE_WORDS);
}

static void check_call(struct lib_reader *r, const struct pending_rule *rule, const struct call *c)
{
	if (text_equal(c->name, "limit"))
		check_limit_call(r, rule, c);
	else if (text_equal(c->name, "table"))
		check_table_call(r, rule, c);
	else if (text_equal(c->name, "clearance"))
		check_clearance_call(r, rule, c);
	else if (text_equal(c->name, "chosen") &&
		 (!c->first || !library_has_id(r->ids[GROUP_MEASURES], c->first)))
		refuse_call(r, rule, FINDING_CODE_LIBRARY_REFERENCE, c->first ? c->first : c->name,
			r->ids[GROUP_MEASURES]);
	else if (text_equal(c->name, "any") || text_equal(c->name, "all") ||
		 text_equal(c->name, "count"))
		check_list_call(r, rule, c);
}

static void check_calls(struct lib_reader *r, const struct pending_rule *rule)
{
	for (const char *p = rule->text; *p; p++) {
		if (*p == '\'') {
			p = skip_word(p);
		} else if (*p == '(' && p > rule->text && name_character(p[-1])) {
			struct call c = call_at(r->bind.arena, rule->text, p);
			check_call(r, rule, &c);
		}
	}
}

/* Definitions and limits that need each other's values: an edge from each to what it names. */
struct graph {
	const struct library *library;
	size_t *from, *to;
	size_t count, room;
	struct arena *arena;
};

static size_t node_of(const struct graph *g, const struct pending_rule *rule)
{
	if (rule->group == GROUP_DEFINITIONS)
		return (size_t)((const struct lib_definition *)rule->owner -
				g->library->definitions);
	return g->library->definitions_count +
	       (size_t)((const struct lib_limit *)rule->owner - g->library->limits);
}

static void add_edge(struct graph *g, size_t from, size_t to)
{
	if (g->count == g->room) {
		size_t room = g->room ? g->room * 2 : 64;
		g->from = arena_grow(g->arena, g->from, g->count, room, sizeof *g->from);
		g->to = arena_grow(g->arena, g->to, g->count, room, sizeof *g->to);
		g->room = room;
	}
	g->from[g->count] = from;
	g->to[g->count++] = to;
}

static void add_edges(struct graph *g, const struct pending_rule *rule)
{
	size_t from = node_of(g, rule);
	for (const char *p = rule->text; *p; p++) {
		if (*p == '\'') {
			p = skip_word(p);
		} else if (name_character(*p)) {
			size_t n = 1;
			while (name_character(p[n]))
				n++;
			const char *name = arena_copy(g->arena, p, n);
			const char *id = behind(name, "the.");
			const struct lib_definition *d =
				id ? library_definition(g->library, id) : NULL;
			const char *called = p[n] == '(' && text_equal(name, "limit")
						     ? word_at(g->arena, p + n + 1)
						     : NULL;
			const struct lib_limit *limit =
				called ? library_limit(g->library, called) : NULL;
			if (d)
				add_edge(g, from, (size_t)(d - g->library->definitions));
			if (limit)
				add_edge(g, from,
					g->library->definitions_count +
						(size_t)(limit - g->library->limits));
			p += n - 1;
		}
	}
}

/* Takes away what depends on nothing that is left, again and again; what stays leads into a circle.
 */
static void prune(const struct graph *g, size_t *open, size_t nodes)
{
	size_t *next = arena_array(g->arena, nodes, sizeof *next);
	for (bool changed = true; changed;) {
		changed = false;
		memset(next, 0, nodes * sizeof *next);
		for (size_t i = 0; i < g->count; i++)
			if (open[g->to[i]] && open[g->from[i]])
				next[g->from[i]]++;
		for (size_t i = 0; i < nodes; i++)
			if (open[i] && !next[i]) {
				open[i] = 0;
				changed = true;
			}
	}
}

static void check_circles(struct lib_reader *r)
{
	const struct library *l = r->library;
	struct arena *scratch = arena_scratch(r->bind.arena);
	struct graph g = {.library = l, .arena = scratch};
	size_t nodes = l->definitions_count + l->limits_count;
	size_t *open = arena_array(g.arena, nodes, sizeof *open);
	for (size_t i = 0; i < r->rule_count; i++)
		if (r->rules[i].group == GROUP_DEFINITIONS || r->rules[i].group == GROUP_LIMITS)
			add_edges(&g, &r->rules[i]);
	for (size_t i = 0; i < nodes; i++)
		open[i] = 1;
	prune(&g, open, nodes);
	for (size_t i = 0; i < nodes; i++) {
		if (!open[i])
			continue;
		bool definition = i < l->definitions_count;
		const struct lib_note *note = definition
						      ? &l->definitions[i].note
						      : &l->limits[i - l->definitions_count].note;
		bind_refuse(&r->bind, FINDING_CODE_LIBRARY_CIRCLE,
			bind_entry(&r->bind, definition ? "definitions" : "limits", note->id, 0),
			note->at, note->id ? note->id : "");
	}
	arena_release(scratch);
}

static struct value unknown_name(void *subject, const char *name)
{
	(void)subject;
	(void)name;
	return value_unknown();
}

static struct value unknown_call(
	void *subject, const char *function, const struct value *arguments, size_t count)
{
	(void)subject;
	(void)function;
	(void)arguments;
	(void)count;
	return value_unknown();
}

/* Of the rules of a type; NULL: no quantity. What the list leaves out is a length. */
static const struct {
	const char *key;
	const struct dimension *dim;
} TYPE_RULES[] = {
	{"when", NULL}, {"open-work", NULL}, {"agrees", NULL}, {"turn", &DIM_ANGLE}, {"angle", &DIM_ANGLE},
	{"during", &DIM_NUMBER}, {"along", &DIM_NUMBER}, {"across", &DIM_NUMBER}, {"leaves", &DIM_NUMBER},
};

static const struct dimension *type_dimension(struct arena *a, const char *path)
{
	const char *dot = strrchr(path, '.'), *key = dot ? dot + 1 : path;
	key = arena_copy(a, key, strcspn(key, "["));
	for (size_t i = 0; i < sizeof TYPE_RULES / sizeof *TYPE_RULES; i++)
		if (text_equal(TYPE_RULES[i].key, key))
			return TYPE_RULES[i].dim;
	return &DIM_LENGTH;
}

/* NULL: any, or none. */
static const struct dimension *due_dimension(struct arena *a, const struct pending_rule *rule)
{
	if (rule->group == GROUP_TYPES)
		return type_dimension(a, rule->path);
	if (rule->group == GROUP_LIMITS && text_ends(rule->path, ".value"))
		return &((const struct lib_limit *)rule->owner)->dim;
	return rule->group == GROUP_PLANS && !text_ends(rule->path, ".when") ? &DIM_LENGTH : NULL;
}

/* What can be worked out without a record must be of the dimension that is due. */
static void check_dimension(struct lib_reader *r, const struct pending_rule *rule)
{
	static const struct rule_names NOTHING = {NULL, unknown_name, unknown_call};
	const struct dimension *due = due_dimension(r->bind.arena, rule);
	if (!due)
		return;
	struct value v = rule_value(r->bind.arena, *rule->slot, &NOTHING);
	if (v.kind == VALUE_UNKNOWN ||
		(v.kind == VALUE_QUANTITY && dimension_equal(v.quantity.dim, *due)))
		return;
	const char *name = dimension_name(*due);
	bind_with(&r->bind,
		bind_refuse(
			&r->bind, FINDING_CODE_LIBRARY_DIMENSION, rule->path, rule->at, rule->text),
		"kind", name ? name : "a quantity");
}

void library_compile_rules(struct lib_reader *r)
{
	struct arena *a = r->bind.arena;
	struct vocabulary v = {
		.reader = r,
		.dimensions = all_dimensions(a, r->library),
		.facts = all_facts(a, r->library),
		.leaf = schema_of(a, "gate.leaves"),
		.input = schema_of(a, "control.inputs"),
		.activation = schema_of(a, "control.activations"),
		.check = schema_of(a, "checks"),
	};
	const struct rule_vocabulary vocabulary = {&v, known_name, known_call};
	/* An entry that could not be read has no dimension to hold its values against. */
	bool whole = r->bind.findings->count == 0;
	for (size_t i = 0; i < r->rule_count; i++) {
		size_t before = r->bind.findings->count;
		v.rule = &r->rules[i];
		if (v.rule->known) {
			*v.rule->slot = rule_defer(a, v.rule->text);
			/* An overlay may have put another entry in the place of one that it calls. */
			if (r->replaced)
				check_calls(r, v.rule);
			continue;
		}
		*v.rule->slot =
			rule_compile(a, v.rule->text, v.rule->at, &vocabulary, r->bind.findings);
		library_name_findings(r, before, v.rule->path);
		if (!*v.rule->slot)
			continue;
		check_calls(r, v.rule);
		if (whole)
			check_dimension(r, v.rule);
	}
	for (size_t i = 0; i < r->copy_count; i++)
		*r->copies[i].slot = *r->copies[i].first;
	check_circles(r);
}
