#include "rule/rule_node.h"

/* What is known of a value before evaluation. VALUE_UNKNOWN: it may be anything. */
struct sort {
	enum value_kind kind;
	bool fixed; /* a quantity whose dimension is known */
	struct dimension dim;
};

static const struct sort ANYTHING = {.kind = VALUE_UNKNOWN};
static const struct sort TRUTH = {.kind = VALUE_TRUTH};
static const struct sort QUANTITY = {.kind = VALUE_QUANTITY};

struct checker {
	struct rule_report *to;
	const struct rule_vocabulary *vocabulary;
};

static struct sort sort_of(struct checker *c, const struct rule_node *n);

static const char *sort_name(struct sort s)
{
	/* A quantity of no known dimension says no more than that it is one. */
	return s.kind == VALUE_QUANTITY && !s.fixed ? "a quantity" : rule_kind_name(s.kind, s.dim);
}

static struct sort misfit(struct checker *c, const struct rule_node *n, const char *left,
	const char *right)
{
	struct finding *f = rule_refuse(c->to, FINDING_CODE_RULE_UNITS, n->from);
	finding_with(c->to->findings, f, "left", left);
	finding_with(c->to->findings, f, "right", right);
	return ANYTHING;
}

static bool may_be(struct sort s, enum value_kind kind)
{
	return s.kind == kind || s.kind == VALUE_UNKNOWN;
}

static bool quantities_fit(struct sort a, struct sort b)
{
	return !a.fixed || !b.fixed || dimension_equal(a.dim, b.dim);
}

static struct sort truth_of(struct checker *c, const struct rule_node *n)
{
	for (size_t i = 0; i < n->count; i++) {
		struct sort s = sort_of(c, n->items[i]);
		if (!may_be(s, VALUE_TRUTH))
			misfit(c, n->items[i], sort_name(s), sort_name(TRUTH));
	}
	return TRUTH;
}

static bool may_compare(struct sort a, struct sort b, bool order)
{
	if (a.kind == VALUE_LIST || b.kind == VALUE_LIST)
		return false;
	if (order && (a.kind == VALUE_TRUTH || b.kind == VALUE_TRUTH))
		return false;
	if (order && a.kind == VALUE_WORD && b.kind == VALUE_WORD)
		return false;
	if (a.kind == VALUE_UNKNOWN || b.kind == VALUE_UNKNOWN)
		return true;
	return a.kind == b.kind && quantities_fit(a, b);
}

static struct sort comparison(struct checker *c, const struct rule_node *n)
{
	struct sort a = sort_of(c, n->items[0]), b = sort_of(c, n->items[1]);
	bool order = n->op != RULE_EQUAL && n->op != RULE_UNEQUAL;
	if (!may_compare(a, b, order))
		misfit(c, n, sort_name(a), sort_name(b));
	return TRUTH;
}

static struct sort membership(struct checker *c, const struct rule_node *n)
{
	struct sort a = sort_of(c, n->items[0]);
	const struct rule_node *list = n->items[1];
	if (list->op != RULE_LIST) {
		struct sort b = sort_of(c, list);
		if (!may_be(b, VALUE_LIST))
			misfit(c, list, sort_name(b), rule_kind_name(VALUE_LIST, DIM_NUMBER));
		return TRUTH;
	}
	for (size_t i = 0; i < list->count; i++) {
		struct sort b = sort_of(c, list->items[i]);
		if (!may_compare(a, b, false))
			misfit(c, list->items[i], sort_name(a), sort_name(b));
	}
	return TRUTH;
}

static struct sort sum(struct checker *c, const struct rule_node *n)
{
	struct sort a = sort_of(c, n->items[0]), b = sort_of(c, n->items[1]);
	if (!may_be(a, VALUE_QUANTITY) || !may_be(b, VALUE_QUANTITY) || !quantities_fit(a, b))
		return misfit(c, n, sort_name(a), sort_name(b));
	/* One side may turn out to be a date. */
	return a.kind == b.kind ? (a.fixed ? a : b) : ANYTHING;
}

static struct sort product(struct checker *c, const struct rule_node *n)
{
	struct sort a = sort_of(c, n->items[0]), b = sort_of(c, n->items[1]), r = QUANTITY;
	int sign = n->op == RULE_MULTIPLY ? 1 : -1;
	r.fixed = a.fixed && b.fixed;
	if (!may_be(a, VALUE_QUANTITY) || !may_be(b, VALUE_QUANTITY) ||
		(r.fixed && !rule_dimension(a.dim, b.dim, sign, &r.dim)))
		return misfit(c, n, sort_name(a), sort_name(b));
	return r;
}

static struct sort of_one(struct checker *c, const struct rule_node *n)
{
	struct sort s = sort_of(c, n->items[0]);
	if (!may_be(s, VALUE_QUANTITY))
		return misfit(c, n, sort_name(s), sort_name(QUANTITY));
	if (n->op == RULE_CALL && n->function == FUNCTION_SQRT && s.fixed &&
		!rule_dimension_root(s.dim, &s.dim))
		return misfit(c, n, sort_name(s), "a square");
	s.kind = VALUE_QUANTITY;
	return s;
}

static struct sort choice(struct checker *c, const struct rule_node *n)
{
	struct sort r = QUANTITY;
	for (size_t i = 0; i < n->count; i++) {
		struct sort s = sort_of(c, n->items[i]);
		if (!may_be(s, VALUE_QUANTITY) || !quantities_fit(r, s))
			return misfit(c, n->items[i], sort_name(r), sort_name(s));
		if (s.fixed)
			r = s;
	}
	return r;
}

static struct sort call(struct checker *c, const struct rule_node *n)
{
	const struct rule_vocabulary *v = c->vocabulary;
	switch (n->function) {
	case FUNCTION_KNOWN:
		sort_of(c, n->items[0]);
		return TRUTH;
	case FUNCTION_MIN:
	case FUNCTION_MAX:
		return choice(c, n);
	case FUNCTION_SQRT:
	case FUNCTION_ABS:
		return of_one(c, n);
	case FUNCTION_OTHER:
		break;
	}
	for (size_t i = 0; i < n->count; i++)
		sort_of(c, n->items[i]);
	if (v && v->known_call && !v->known_call(v->subject, n->name, n->count))
		rule_refuse(c->to, FINDING_CODE_RULE_NAME, n->from);
	return ANYTHING;
}

static struct sort sort_of(struct checker *c, const struct rule_node *n)
{
	const struct rule_vocabulary *v = c->vocabulary;
	switch (n->op) {
	case RULE_LITERAL:
		return (struct sort){n->literal.kind, n->literal.kind == VALUE_QUANTITY,
			n->literal.quantity.dim};
	case RULE_NAME:
		if (v && v->known_name && !v->known_name(v->subject, n->name))
			rule_refuse(c->to, FINDING_CODE_RULE_NAME, n->from);
		return ANYTHING;
	case RULE_CALL:
		return call(c, n);
	case RULE_LIST:
		return (struct sort){.kind = VALUE_LIST};
	case RULE_OR:
	case RULE_AND:
	case RULE_NOT:
		return truth_of(c, n);
	case RULE_IN:
		return membership(c, n);
	case RULE_LESS:
	case RULE_AT_MOST:
	case RULE_MORE:
	case RULE_AT_LEAST:
	case RULE_EQUAL:
	case RULE_UNEQUAL:
		return comparison(c, n);
	case RULE_ADD:
	case RULE_SUBTRACT:
		return sum(c, n);
	case RULE_MULTIPLY:
	case RULE_DIVIDE:
		return product(c, n);
	case RULE_MINUS:
		return of_one(c, n);
	}
	return ANYTHING;
}

void rule_check(struct rule_report *to, const struct rule_node *root,
	const struct rule_vocabulary *vocabulary)
{
	struct checker c = {to, vocabulary};
	sort_of(&c, root);
}
