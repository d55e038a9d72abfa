/* What the names and calls in the library's rules mean for one record. */
#include "assess/geometry.h"
#include "assess/reckoner.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "model/field.h"

enum { DEPTH = 16 };

static const char *after_prefix(const char *name, const char *prefix)
{
	size_t n = strlen(prefix);
	return strncmp(name, prefix, n) == 0 && name[n] == '.' ? name + n + 1 : NULL;
}

static bool from_scope(const struct context *c, const char *name, struct value *out)
{
	for (const struct scope *s = c->scope; s; s = s->outer) {
		if (!s->item && !s->prefix)
			continue;
		if (!s->item) {
			if (text_equal(s->prefix, name)) {
				*out = s->value;
				return true;
			}
			continue;
		}
		const char *key = after_prefix(name, s->prefix);
		if (!key)
			continue;
		const struct fact *f = item_fact(s->item, arena_format(c->arena, "%s%s", s->key_prefix, key));
		if (f->state == FACT_ABSENT && *s->key_prefix)
			f = item_fact(s->item, key);
		*out = fact_value(f);
		return true;
	}
	return false;
}

static struct value definition_value(struct context *c, const char *id)
{
	const struct lib_definition *d = library_definition(c->library, id);
	if (!d || !d->rule || c->depth >= DEPTH)
		return value_unknown();
	const struct scope *outer = c->scope;
	c->depth++;
	struct value v = rule_value(c->arena, d->rule, &c->names);
	c->depth--;
	c->scope = outer;
	return v;
}

/* The greatest force measured on the main edge of the leaf in hand: mean peak of a point, or any recording's static
 * force. Unknown as long as some point of it is not answered. */
static struct value edge_force(const struct context *c, bool peak)
{
	double most = 0;
	size_t points = 0;
	for (size_t i = 0; i < c->result->point_count; i++) {
		const struct point_result *p = &c->result->points[i];
		const struct zone_result *z = context_zone(c, p->zone_key);
		if (!z || !text_equal(z->zone->edge, "main") || !c->zone || z->leaf != c->zone->leaf)
			continue;
		if (!p->usable)
			return value_unknown();
		points++;
		most = fmax(most, peak ? p->mean_peak : 0);
		for (size_t k = 0; k < p->run_count; k++)
			most = fmax(most, peak ? p->runs[k].peak : p->runs[k].usable ? p->runs[k].static_force : 0);
	}
	return points ? value_of_quantity(quantity_of(most, DIM_FORCE)) : value_unknown();
}

static struct value lookup(void *subject, const char *name)
{
	struct context *c = subject;
	struct value v;
	const char *key;
	if (from_scope(c, name, &v))
		return v;
	if ((key = after_prefix(name, "here")))
		return c->zone && c->zone->entry
			? fact_value(item_fact(c->zone->entry, arena_format(c->arena, "facts.%s", key)))
			: value_unknown();
	if ((key = after_prefix(name, "leaf")))
		return c->zone && c->zone->leaf ? fact_value(item_fact(c->zone->leaf, key)) : value_unknown();
	if ((key = after_prefix(name, "the")))
		return definition_value(c, key);
	if ((key = after_prefix(name, "clearance")))
		return c->zone && c->zone->clearance ? clearance_value(c, c->zone->clearance, key) : value_unknown();
	if (text_equal(name, "force.edge-static") || text_equal(name, "force.edge-peak"))
		return edge_force(c, text_equal(name, "force.edge-peak"));
	if (text_equal(name, "force.needed"))
		return value_of_truth(c->result->force_needed);
	if (text_equal(name, "gate.family"))
		return c->record->type ? value_of_word(c->record->type->family) : value_unknown();
	if (text_equal(name, "gate.movement"))
		return c->record->type ? value_of_word(c->record->type->movement) : value_unknown();
	return fact_value(record_fact(c->record, name));
}

static bool value_in(struct value v, struct value set)
{
	const char *word = v.kind == VALUE_WORD ? v.word : NULL;
	if (v.kind == VALUE_TRUTH && set.kind == VALUE_TRUTH)
		return v.truth == set.truth;
	if (v.kind == VALUE_LIST) {
		for (size_t i = 0; i < v.count; i++)
			if (value_in(value_of_word(v.list[i]), set))
				return true;
		return false;
	}
	if (set.kind == VALUE_WORD)
		return text_equal(word, set.word);
	for (size_t i = 0; word && set.kind == VALUE_LIST && i < set.count; i++)
		if (text_equal(word, set.list[i]))
			return true;
	return false;
}

struct tally {
	size_t items, yes, unknown;
	bool present;
};

/* A field that only some items need is no unknown where it is absent: such an item just does not match. */
static bool may_be_absent(const struct value *arguments)
{
	char path[128];
	snprintf(path, sizeof path, "%s[].%s", arguments[0].word, arguments[1].word);
	const struct field *f = field_find(path);
	return f && (f->when || !(f->flags & FIELD_ALWAYS));
}

/* How many items of a list have `key` in `set`. */
static struct tally tally_list(const struct context *c, const struct value *arguments)
{
	struct tally t = {0};
	const struct item_list *list = record_list(c->record, arguments[0].word);
	t.present = list && list->present;
	for (size_t i = 0; list && i < list->count; i++) {
		const struct fact *f = item_fact(&list->items[i], arguments[1].word);
		struct value v = fact_value(f);
		t.items++;
		if (v.kind == VALUE_UNKNOWN)
			t.unknown += !(f->state == FACT_ABSENT && may_be_absent(arguments));
		else
			t.yes += value_in(v, arguments[2]);
	}
	return t;
}

static struct value call_list(const struct context *c, const char *function, const struct value *arguments)
{
	if (arguments[0].kind != VALUE_WORD || arguments[1].kind != VALUE_WORD)
		return value_unknown();
	struct tally t = tally_list(c, arguments);
	if (!t.present)
		return value_unknown();
	if (text_equal(function, "count"))
		return t.unknown ? value_unknown()
				 : value_of_quantity(quantity_of((double)t.yes, DIM_NUMBER));
	if (text_equal(function, "any"))
		return t.yes ? value_of_truth(true) : t.unknown ? value_unknown() : value_of_truth(false);
	if (t.yes + t.unknown < t.items)
		return value_of_truth(false);
	return t.unknown ? value_unknown() : value_of_truth(true);
}

/* The devices of one kind (or several) that name the zone in hand: how many, and the least value of `key`
 * among them. A device whose value is unknown makes the least unknown. A detector that does not act in every
 * direction of the zone is none there. */
bool device_certified(const struct item *device)
{
	return !fact_given(item_fact(device, "input")) || fact_given(item_fact(device, "standard"));
}

static struct value devices_here(const struct context *c, struct value kind, const char *key)
{
	const struct item_list *devices = record_list(c->record, "devices");
	struct value least = value_unknown();
	size_t count = 0;
	bool unknown = false;
	if (!c->zone || !devices || !devices->present)
		return value_unknown();
	for (size_t i = 0; i < devices->count; i++) {
		const struct item *d = &devices->items[i];
		if (!value_in(fact_value(item_fact(d, "kind")), kind) ||
			!fact_has(item_fact(d, "zones"), c->zone->key) ||
			(fact_given(item_fact(d, "input")) && !(device_covers(c, d) && device_certified(d))))
			continue;
		count++;
		struct value v = key ? fact_value(item_fact(d, key)) : value_unknown();
		unknown = unknown || v.kind != VALUE_QUANTITY;
		if (v.kind == VALUE_QUANTITY &&
			(least.kind != VALUE_QUANTITY || v.quantity.value < least.quantity.value))
			least = v;
	}
	if (!key)
		return value_of_quantity(quantity_of((double)count, DIM_NUMBER));
	return unknown ? value_unknown() : least;
}

static struct value call_devices(const struct context *c, const char *function, const struct value *arguments,
	size_t count)
{
	if (text_equal(function, "device-least"))
		return count == 2 && arguments[1].kind == VALUE_WORD
			? devices_here(c, arguments[0], arguments[1].word)
			: value_unknown();
	struct value n = devices_here(c, arguments[0], NULL);
	if (n.kind != VALUE_QUANTITY || text_equal(function, "device-count"))
		return n;
	return value_of_truth(n.quantity.value > 0);
}

/* Outside a limit, whose row carries it, a table that cannot be trusted alone decides by itself. */
static void table_decides(struct context *c, const struct lib_grid *table, const struct grid_cell *cell)
{
	bool weaker = cell->standing != table->note.standing;
	if (cell->standing != STANDING_MEMORY && cell->standing != STANDING_FIRM)
		return;
	for (size_t i = 0; weaker && i < c->result->decision_count; i++)
		if (text_equal(c->result->decisions[i].group, "tables") &&
			text_equal(c->result->decisions[i].note->id, table->note.id))
			return;
	struct lib_note *note = arena_alloc(c->arena, sizeof *note);
	*note = table->note;
	note->source = cell->source;
	note->standing = cell->standing;
	context_decides(c, weaker ? note : &table->note, "tables");
}

static bool table_key(const struct grid_axis *axis, struct value v, struct grid_key *out)
{
	if (v.kind == VALUE_WORD)
		*out = grid_word(v.word);
	else if (v.kind == VALUE_QUANTITY)
		*out = (struct grid_key){NULL, v.quantity.low, v.quantity.high};
	return axis->worded ? v.kind == VALUE_WORD
			    : v.kind == VALUE_QUANTITY && dimension_equal(v.quantity.dim, axis->dim);
}

/* A key that is not known, or outside its axis: unknown. Cells that differ: an interval. */
static struct value call_table(struct context *c, const struct value *arguments, size_t count)
{
	const struct lib_grid *table = library_grid(c->library, arguments[0].word);
	struct grid_key keys[2];
	struct grid_hit hit;
	if (!table || count != table->grid.axis_count + 1)
		return value_unknown();
	for (size_t i = 0; i + 1 < count; i++)
		if (!table_key(&table->grid.axes[i], arguments[i + 1], &keys[i]))
			return value_unknown();
	if (!grid_look(&table->grid, keys, &hit))
		return value_unknown();
	if (!c->in_limit)
		table_decides(c, table, hit.cell);
	else if (!c->cell || standing_weaker(c->cell->standing, hit.cell->standing) != c->cell->standing)
		c->cell = hit.cell;
	if (table->grid.worded)
		return hit.word ? value_of_word(hit.word) : value_unknown();
	return value_of_quantity((struct quantity){(hit.low + hit.high) / 2, hit.low, hit.high, table->grid.dim});
}

static struct value call(void *subject, const char *function, const struct value *arguments, size_t count)
{
	struct context *c = subject;
	if (text_equal(function, "limit") && count >= 1 && arguments[0].kind == VALUE_WORD)
		return context_limit(c, arguments[0].word, arguments + 1, count - 1,
			c->zone ? c->zone->key : "");
	if (text_equal(function, "table") && arguments[0].kind == VALUE_WORD)
		return call_table(c, arguments, count);
	if (text_equal(function, "clearance") && count == 3 && arguments[0].kind == VALUE_WORD &&
		arguments[1].kind == VALUE_WORD && arguments[2].kind == VALUE_WORD)
		return geometry_value(c, arguments[0].word, arguments[1].word, arguments[2].word);
	if (count == 3)
		return call_list(c, function, arguments);
	if (text_equal(function, "chosen") && count == 1 && c->zone)
		return c->zone->entry ? value_of_truth(fact_has(item_fact(c->zone->entry, "by"),
						arguments[0].kind == VALUE_WORD ? arguments[0].word : ""))
				      : value_unknown();
	if (text_begins(function, "device") && count >= 1)
		return call_devices(c, function, arguments, count);
	return value_unknown();
}

void context_names(struct context *c)
{
	c->names = (struct rule_names){.subject = c, .lookup = lookup, .call = call};
}

/* The variant in force: the signatory's choice where it names one that exists, else the default. */
static const struct lib_limit_variant *variant_for(const struct context *c, const struct lib_limit *l,
	bool *loosened)
{
	const struct item *choice = record_item(c->record, "job.choices", l->note.id);
	const struct lib_limit_variant *standard = &l->variants[0];
	*loosened = false;
	for (size_t i = 0; i < l->variant_count; i++)
		if (l->variants[i].is_default)
			standard = &l->variants[i];
	for (size_t i = 0; i < l->variant_count; i++)
		if (c->edition ? text_equal(c->edition, l->variants[i].edition) ||
					text_equal(c->edition, l->variants[i].id)
			       : choice && fact_is(item_fact(choice, "take"), l->variants[i].id)) {
			*loosened = &l->variants[i] != standard;
			return &l->variants[i];
		}
	return standard;
}

/* One entry a limit: its value spans all that was applied, its row is the one that can be trusted least. */
static void note_use(struct context *c, const struct limit_use *use)
{
	struct assessment *r = c->result;
	c->last_row = use->row;
	for (size_t i = 0; i < r->limit_count; i++) {
		struct limit_use *known = &r->limits[i];
		if (known->limit != use->limit || known->variant != use->variant)
			continue;
		known->value.low = fmin(known->value.low, use->value.low);
		known->value.high = fmax(known->value.high, use->value.high);
		if ((use->row->standing == STANDING_MEMORY || use->row->standing == STANDING_FIRM) &&
			standing_weaker(known->row->standing, use->row->standing) != known->row->standing)
			known->row = use->row;
		return;
	}
	if (r->limit_count == c->limit_room) {
		size_t room = c->limit_room ? c->limit_room * 2 : 32;
		r->limits = arena_grow(c->arena, r->limits, r->limit_count, room, sizeof *r->limits);
		c->limit_room = room;
	}
	r->limits[r->limit_count++] = *use;
}

/* A row can be trusted no more than the cells of printed tables that its value or its condition came from. */
static const struct lib_limit_row *row_by_cell(struct context *c, const struct lib_limit_row *row)
{
	if (!c->cell || standing_weaker(row->standing, c->cell->standing) == row->standing)
		return row;
	struct lib_limit_row *own = arena_alloc(c->arena, sizeof *own);
	*own = *row;
	own->standing = c->cell->standing;
	own->source = c->cell->source;
	return own;
}

/* The rows that may apply: the first that holds ends the search, those before it that are unknown widen the
 * result to an interval, so that a doubtful measurement meets the worst of the rows it may fall in. */
static bool row_values(struct context *c, struct limit_use *use, struct quantity *out)
{
	bool any = false;
	for (size_t i = 0; i < use->variant->row_count; i++) {
		const struct lib_limit_row *row = &use->variant->rows[i];
		c->cell = NULL;
		enum truth holds = row->when ? context_test(c, row->when).truth : TRUTH_YES;
		if (holds == TRUTH_NO)
			continue;
		struct value v = rule_value(c->arena, row->value, &c->names);
		if (v.kind != VALUE_QUANTITY)
			return false;
		use->row = row_by_cell(c, row);
		use->value = v.quantity;
		note_use(c, use);
		if (!any)
			*out = v.quantity;
		if (v.quantity.low < out->low)
			out->low = v.quantity.low;
		if (v.quantity.high > out->high)
			out->high = v.quantity.high;
		any = true;
		if (holds == TRUTH_YES)
			return true;
	}
	return false;
}

struct value context_limit(struct context *c, const char *id, const struct value *arguments, size_t count,
	const char *used_for)
{
	const struct lib_limit *l = library_limit(c->library, id);
	if (!l || !l->variant_count || count != l->arguments.count || c->depth >= DEPTH)
		return value_unknown();
	struct scope *bound = arena_array(c->arena, count + 1, sizeof *bound);
	const struct scope *outer = c->scope;
	for (size_t i = 0; i < count; i++) {
		bound[i] = (struct scope){.prefix = l->arguments.items[i], .value = arguments[i], .outer = c->scope};
		c->scope = &bound[i];
	}
	struct limit_use use = {.limit = l, .used_for = used_for};
	struct quantity q;
	use.variant = variant_for(c, l, &use.loosened);
	const struct grid_cell *cell = c->cell;
	bool inside = c->in_limit;
	c->in_limit = true;
	c->depth++;
	bool found = row_values(c, &use, &q);
	c->depth--;
	c->in_limit = inside;
	c->cell = cell;
	c->scope = outer;
	return found ? value_of_quantity(q) : value_unknown();
}
