#include "rule/rule_node.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* Conversion of units leaves errors of one part in 1e16; nothing is measured to one part in 1e9. */
#define SAME 1e-9

/* What to fall back to when a part turns out not to matter. */
struct mark {
	size_t count;
	bool doubtful;
	const char *fault;
};

static struct mark mark_of(const struct rule_evaluation *e)
{
	return (struct mark){e->count, e->doubtful, e->fault};
}

static void forget(struct rule_evaluation *e, struct mark m)
{
	e->count = m.count;
	e->doubtful = m.doubtful;
	e->fault = m.fault;
}

static void add_unknown(struct rule_evaluation *e, const char *name)
{
	for (size_t i = 0; i < e->count; i++)
		if (text_equal(e->unknown[i], name))
			return;
	if (e->count == e->room) {
		size_t room = e->room ? e->room * 2 : 8;
		e->unknown = arena_grow(e->arena, e->unknown, e->count, room, sizeof *e->unknown);
		e->room = room;
	}
	e->unknown[e->count++] = name;
}

/* The first fault is told; later ones often follow from it. */
static struct value fault(struct rule_evaluation *e, const char *words)
{
	if (!e->fault)
		e->fault = words;
	return value_unknown();
}

static const char *kind_of(struct value v)
{
	return rule_kind_name(v.kind, v.quantity.dim);
}

static struct value misfit(struct rule_evaluation *e, const char *what, struct value a,
	struct value b)
{
	return fault(e, arena_format(e->arena, "%s: %s and %s", what, kind_of(a), kind_of(b)));
}

static struct value truth_value(enum truth t)
{
	return t == TRUTH_UNKNOWN ? value_unknown() : value_of_truth(t == TRUTH_YES);
}

static struct value bounded(struct rule_evaluation *e, struct quantity q)
{
	if (!isfinite(q.value) || !isfinite(q.low) || !isfinite(q.high))
		return fault(e, "a number too large to hold");
	return value_of_quantity(q);
}

static enum truth doubtful(struct rule_evaluation *e)
{
	e->doubtful = true;
	return TRUTH_UNKNOWN;
}

static bool above(double a, double b)
{
	return a - b > SAME * fmax(fabs(a), fabs(b));
}

static enum truth less(struct rule_evaluation *e, struct quantity a, struct quantity b)
{
	if (above(b.low, a.high))
		return TRUTH_YES;
	return above(b.high, a.low) ? doubtful(e) : TRUTH_NO;
}

static enum truth equal(struct rule_evaluation *e, struct quantity a, struct quantity b)
{
	if (above(a.low, b.high) || above(b.low, a.high))
		return TRUTH_NO;
	/* Neither is above the other anywhere: both are one and the same number. */
	return !above(a.high, b.low) && !above(b.high, a.low) ? TRUTH_YES : doubtful(e);
}

static enum truth not(enum truth t)
{
	return t == TRUTH_UNKNOWN ? t : t == TRUTH_YES ? TRUTH_NO : TRUTH_YES;
}

static enum truth compare_quantities(struct rule_evaluation *e, enum rule_op op, struct quantity a,
	struct quantity b)
{
	switch (op) {
	case RULE_LESS:
		return less(e, a, b);
	case RULE_AT_LEAST:
		return not(less(e, a, b));
	case RULE_MORE:
		return less(e, b, a);
	case RULE_AT_MOST:
		return not(less(e, b, a));
	case RULE_EQUAL:
		return equal(e, a, b);
	default:
		return not(equal(e, a, b));
	}
}

/* `order` < 0, 0, > 0 as the left side is before, the same, after the right. */
static enum truth truth_of_order(enum rule_op op, int order)
{
	bool yes = op == RULE_LESS ? order < 0 : op == RULE_AT_MOST ? order <= 0
		: op == RULE_MORE ? order > 0 : op == RULE_AT_LEAST ? order >= 0
		: op == RULE_EQUAL ? order == 0 : order != 0;
	return yes ? TRUTH_YES : TRUTH_NO;
}

/* A word beside a date is read as a date. */
static void match_dates(struct value *a, struct value *b)
{
	struct date d;
	if (a->kind == VALUE_DATE && b->kind == VALUE_WORD && date_read(b->word, &d))
		*b = value_of_date(d);
	else if (b->kind == VALUE_DATE && a->kind == VALUE_WORD && date_read(a->word, &d))
		*a = value_of_date(d);
}

static struct value compare(struct rule_evaluation *e, enum rule_op op, struct value a,
	struct value b)
{
	bool order = op != RULE_EQUAL && op != RULE_UNEQUAL;
	if (a.kind == VALUE_UNKNOWN || b.kind == VALUE_UNKNOWN)
		return value_unknown();
	match_dates(&a, &b);
	if (a.kind != b.kind || (order && (a.kind == VALUE_WORD || a.kind == VALUE_TRUTH)))
		return misfit(e, "cannot be compared", a, b);
	switch (a.kind) {
	case VALUE_QUANTITY:
		if (!dimension_equal(a.quantity.dim, b.quantity.dim))
			return misfit(e, "cannot be compared", a, b);
		return truth_value(compare_quantities(e, op, a.quantity, b.quantity));
	case VALUE_WORD:
		return truth_value(truth_of_order(op, strcmp(a.word, b.word)));
	case VALUE_TRUTH:
		return truth_value(truth_of_order(op, (int)a.truth - (int)b.truth));
	case VALUE_DATE:
		return truth_value(truth_of_order(op, date_compare(a.date, b.date)));
	default:
		return misfit(e, "cannot be compared", a, b);
	}
}

static enum truth truth_of(struct rule_evaluation *e, const struct rule_node *n)
{
	struct value v = rule_evaluate(e, n);
	if (v.kind == VALUE_TRUTH)
		return v.truth;
	if (v.kind != VALUE_UNKNOWN)
		fault(e, arena_format(e->arena, "not yes or no: %s", kind_of(v)));
	return TRUTH_UNKNOWN;
}

/* Kleene's `and` and `or`: `decisive` on either side decides, whatever the other is. */
static struct value connect(struct rule_evaluation *e, const struct rule_node *n,
	enum truth decisive)
{
	struct mark m = mark_of(e);
	enum truth left = truth_of(e, n->items[0]);
	enum truth right = left == decisive ? decisive : truth_of(e, n->items[1]);
	if (left == decisive || right == decisive) {
		forget(e, m);
		return truth_value(decisive);
	}
	return truth_value(left == TRUTH_UNKNOWN ? left : right);
}

static struct value in_words(struct rule_evaluation *e, struct value a, struct value list)
{
	if (a.kind == VALUE_UNKNOWN || list.kind == VALUE_UNKNOWN)
		return value_unknown();
	if (list.kind != VALUE_LIST || a.kind != VALUE_WORD)
		return misfit(e, "cannot be looked up", a, list);
	for (size_t i = 0; i < list.count; i++)
		if (strcmp(a.word, list.list[i]) == 0)
			return value_of_truth(true);
	return value_of_truth(false);
}

static struct value membership(struct rule_evaluation *e, const struct rule_node *n)
{
	struct value a = rule_evaluate(e, n->items[0]);
	const struct rule_node *list = n->items[1];
	if (list->op != RULE_LIST)
		return in_words(e, a, rule_evaluate(e, list));
	struct mark m = mark_of(e);
	enum truth found = TRUTH_NO;
	for (size_t i = 0; i < list->count && a.kind != VALUE_UNKNOWN; i++) {
		struct value v = compare(e, RULE_EQUAL, a, rule_evaluate(e, list->items[i]));
		if (v.kind == VALUE_TRUTH && v.truth == TRUTH_YES) {
			forget(e, m);
			return v;
		}
		if (v.kind == VALUE_UNKNOWN)
			found = TRUTH_UNKNOWN;
	}
	return a.kind == VALUE_UNKNOWN ? a : truth_value(found);
}

/* A date moved by whole days or months, or the days between two dates. */
static struct value move_date(struct rule_evaluation *e, struct value a, struct value b, int sign)
{
	if (a.kind == VALUE_DATE && b.kind == VALUE_DATE && sign < 0)
		return value_of_quantity(quantity_of(
			(double)(date_number(a.date) - date_number(b.date)), DIM_DAYS));
	if (a.kind != VALUE_DATE && sign > 0)
		return b.kind == VALUE_DATE && a.kind == VALUE_QUANTITY ? move_date(e, b, a, sign)
									 : misfit(e, "cannot be added", a, b);
	enum { REACH = 400 * 366 }; /* days: more than the range of dates */
	struct quantity q = b.quantity;
	bool days = dimension_equal(q.dim, DIM_DAYS);
	if (a.kind != VALUE_DATE || b.kind != VALUE_QUANTITY ||
		(!days && !dimension_equal(q.dim, DIM_MONTHS)))
		return misfit(e, "cannot be added", a, b);
	if (q.low < q.high || floor(q.value) < q.value || fabs(q.value) > REACH)
		return fault(e, "a date moves by whole days or months");
	int by = (int)q.value * sign;
	struct date d = days ? date_from_number(date_number(a.date) + by)
			     : date_add_months(a.date, by);
	if (d.year < 1900 || d.year > 2199)
		return fault(e, "a date outside 1900 to 2199");
	return value_of_date(d);
}

static struct value add(struct rule_evaluation *e, struct value a, struct value b, int sign)
{
	struct quantity p = a.quantity, q = b.quantity;
	if (a.kind == VALUE_UNKNOWN || b.kind == VALUE_UNKNOWN)
		return value_unknown();
	if (a.kind == VALUE_DATE || b.kind == VALUE_DATE)
		return move_date(e, a, b, sign);
	if (a.kind != VALUE_QUANTITY || b.kind != VALUE_QUANTITY ||
		!dimension_equal(p.dim, q.dim))
		return misfit(e, sign > 0 ? "cannot be added" : "cannot be subtracted", a, b);
	if (sign > 0)
		return bounded(e, (struct quantity){p.value + q.value, p.low + q.low,
			p.high + q.high, p.dim});
	return bounded(e,
		(struct quantity){p.value - q.value, p.low - q.high, p.high - q.low, p.dim});
}

/* The interval of all products; a quotient is a product with the bounds of the inverse. */
static struct quantity product(struct quantity p, struct quantity q)
{
	double corners[] = {p.low * q.low, p.low * q.high, p.high * q.low, p.high * q.high};
	struct quantity r = {p.value * q.value, corners[0], corners[0], p.dim};
	for (size_t i = 1; i < 4; i++) {
		r.low = fmin(r.low, corners[i]);
		r.high = fmax(r.high, corners[i]);
	}
	return r;
}

static struct value multiply(struct rule_evaluation *e, struct value a, struct value b, int sign)
{
	struct quantity p = a.quantity, q = b.quantity, r;
	struct dimension dim;
	if (a.kind == VALUE_UNKNOWN || b.kind == VALUE_UNKNOWN)
		return value_unknown();
	if (a.kind != VALUE_QUANTITY || b.kind != VALUE_QUANTITY ||
		!rule_dimension(p.dim, q.dim, sign, &dim))
		return misfit(e, sign > 0 ? "cannot be multiplied" : "cannot be divided", a, b);
	bool exact = p.low >= p.high && q.low >= q.high;
	if (sign > 0) {
		r = product(p, q);
	} else if (q.low <= 0 && q.high >= 0) {
		if (q.low >= q.high)
			return fault(e, "division by zero");
		doubtful(e);
		return value_unknown();
	} else {
		r = product(p, (struct quantity){1 / q.value, 1 / q.high, 1 / q.low, q.dim});
		r.value = p.value / q.value;
	}
	if (exact)
		r = quantity_of(r.value, dim);
	r.dim = dim;
	return bounded(e, r);
}

static struct value negate(struct rule_evaluation *e, struct value v)
{
	struct quantity q = v.quantity;
	if (v.kind == VALUE_UNKNOWN)
		return v;
	if (v.kind != VALUE_QUANTITY)
		return fault(e, arena_format(e->arena, "no quantity: %s", kind_of(v)));
	return value_of_quantity((struct quantity){-q.value, -q.high, -q.low, q.dim});
}

static struct value magnitude(struct value v)
{
	struct quantity q = v.quantity;
	double far = fmax(fabs(q.low), fabs(q.high)), near = fmin(fabs(q.low), fabs(q.high));
	if (q.low <= 0 && q.high >= 0)
		near = 0;
	return value_of_quantity((struct quantity){fabs(q.value), near, far, q.dim});
}

static struct value root(struct rule_evaluation *e, struct value v)
{
	struct quantity q = v.quantity;
	struct dimension dim;
	if (!rule_dimension_root(q.dim, &dim))
		return fault(e, arena_format(e->arena, "no root: %s", kind_of(v)));
	if (q.high < 0)
		return fault(e, "root of a negative number");
	if (q.low < 0) {
		doubtful(e);
		return value_unknown();
	}
	return value_of_quantity((struct quantity){sqrt(q.value), sqrt(q.low), sqrt(q.high), dim});
}

static struct value of_one(struct rule_evaluation *e, const struct rule_node *n)
{
	struct value v = rule_evaluate(e, n->items[0]);
	if (v.kind == VALUE_UNKNOWN)
		return v;
	if (v.kind != VALUE_QUANTITY)
		return fault(e, arena_format(e->arena, "no quantity: %s", kind_of(v)));
	return n->function == FUNCTION_ABS ? magnitude(v) : root(e, v);
}

static struct value choose(struct rule_evaluation *e, const struct rule_node *n)
{
	bool least = n->function == FUNCTION_MIN, complete = true;
	struct value r = rule_evaluate(e, n->items[0]);
	for (size_t i = 0; i < n->count; i++) {
		struct value v = i ? rule_evaluate(e, n->items[i]) : r;
		if (v.kind == VALUE_UNKNOWN || !complete) {
			complete = false;
			continue;
		}
		struct quantity *p = &r.quantity, q = v.quantity;
		if (v.kind != VALUE_QUANTITY || !dimension_equal(p->dim, q.dim))
			return misfit(e, "no choice between", r, v);
		p->value = least ? fmin(p->value, q.value) : fmax(p->value, q.value);
		p->low = least ? fmin(p->low, q.low) : fmax(p->low, q.low);
		p->high = least ? fmin(p->high, q.high) : fmax(p->high, q.high);
	}
	return complete ? r : value_unknown();
}

/* What comes from outside is checked once, here. */
static struct value accept(struct rule_evaluation *e, struct value v)
{
	if (v.kind != VALUE_QUANTITY)
		return v.kind == VALUE_TRUTH ? truth_value(v.truth) : v;
	if (!(v.quantity.low <= v.quantity.value && v.quantity.value <= v.quantity.high))
		return fault(e, "a quantity outside its own bounds");
	return bounded(e, v.quantity);
}

static struct value look_up(struct rule_evaluation *e, const struct rule_node *n)
{
	const struct rule_names *names = e->names;
	struct value v = value_unknown();
	if (names && names->lookup)
		v = accept(e, names->lookup(names->subject, n->name));
	if (v.kind == VALUE_UNKNOWN)
		add_unknown(e, n->name);
	return v;
}

static struct value call_out(struct rule_evaluation *e, const struct rule_node *n)
{
	const struct rule_names *names = e->names;
	struct value *arguments = arena_array(e->arena, n->count, sizeof *arguments);
	struct mark m = mark_of(e);
	bool complete = true;
	for (size_t i = 0; i < n->count; i++) {
		arguments[i] = rule_evaluate(e, n->items[i]);
		complete = complete && arguments[i].kind != VALUE_UNKNOWN;
	}
	struct value v = value_unknown();
	if (names && names->call)
		v = accept(e, names->call(names->subject, n->name, arguments, n->count));
	if (v.kind != VALUE_UNKNOWN)
		forget(e, m);
	else if (complete)
		add_unknown(e, n->source);
	return v;
}

static struct value call(struct rule_evaluation *e, const struct rule_node *n)
{
	struct mark m = mark_of(e);
	struct value v;
	switch (n->function) {
	case FUNCTION_KNOWN:
		v = rule_evaluate(e, n->items[0]);
		forget(e, m);
		return value_of_truth(v.kind != VALUE_UNKNOWN);
	case FUNCTION_MIN:
	case FUNCTION_MAX:
		return choose(e, n);
	case FUNCTION_SQRT:
	case FUNCTION_ABS:
		return of_one(e, n);
	default:
		return call_out(e, n);
	}
}

static struct value operate(struct rule_evaluation *e, const struct rule_node *n)
{
	struct value a = rule_evaluate(e, n->items[0]), b = rule_evaluate(e, n->items[1]);
	switch (n->op) {
	case RULE_ADD:
		return add(e, a, b, 1);
	case RULE_SUBTRACT:
		return add(e, a, b, -1);
	case RULE_MULTIPLY:
		return multiply(e, a, b, 1);
	case RULE_DIVIDE:
		return multiply(e, a, b, -1);
	default:
		return compare(e, n->op, a, b);
	}
}

/* A list of words; with anything else in it, unknown. */
static struct value words_of(struct rule_evaluation *e, const struct rule_node *n)
{
	const char **words = arena_array(e->arena, n->count, sizeof *words);
	for (size_t i = 0; i < n->count; i++) {
		struct value v = rule_evaluate(e, n->items[i]);
		if (v.kind != VALUE_WORD)
			return value_unknown();
		words[i] = v.word;
	}
	return (struct value){.kind = VALUE_LIST, .list = words, .count = n->count};
}

struct value rule_evaluate(struct rule_evaluation *e, const struct rule_node *n)
{
	switch (n->op) {
	case RULE_LITERAL:
		return n->literal;
	case RULE_NAME:
		return look_up(e, n);
	case RULE_CALL:
		return call(e, n);
	case RULE_OR:
		return connect(e, n, TRUTH_YES);
	case RULE_AND:
		return connect(e, n, TRUTH_NO);
	case RULE_NOT:
		return truth_value(not(truth_of(e, n->items[0])));
	case RULE_IN:
		return membership(e, n);
	case RULE_MINUS:
		return negate(e, rule_evaluate(e, n->items[0]));
	case RULE_LIST: /* as an argument; `in` reads the items itself */
		return words_of(e, n);
	default:
		return operate(e, n);
	}
}
