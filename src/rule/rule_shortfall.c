#include <string.h>

#include "rule/rule_node.h"

struct search {
	struct arena *arena;
	struct rule_evaluation evaluation;
	struct rule_shortfall *out;
};

static const char *relation(enum rule_op op, bool swapped)
{
	switch ((int)op) {
	case RULE_LESS:
		return swapped ? ">" : "<";
	case RULE_AT_MOST:
		return swapped ? "≥" : "≤";
	case RULE_MORE:
		return swapped ? "<" : ">";
	case RULE_AT_LEAST:
		return swapped ? "≤" : "≥";
	default:
		return NULL;
	}
}

static const char *last_part(const char *name)
{
	const char *dot = strrchr(name, '.');
	return dot ? dot + 1 : name;
}

static bool find(struct search *s, const struct rule_node *n)
{
	if (n->op == RULE_AND) {
		for (size_t i = 0; i < n->count; i++)
			if (find(s, n->items[i]))
				return true;
		return false;
	}
	if (!relation(n->op, false) || n->count != 2)
		return false;
	bool swapped = n->items[0]->op != RULE_NAME;
	const struct rule_node *subject = n->items[swapped], *bound = n->items[!swapped];
	if (subject->op != RULE_NAME)
		return false;
	struct value truth = rule_evaluate(&s->evaluation, n);
	struct value have = rule_evaluate(&s->evaluation, subject);
	struct value want = rule_evaluate(&s->evaluation, bound);
	if ((truth.kind == VALUE_TRUTH && truth.truth == TRUTH_YES) || have.kind != VALUE_QUANTITY ||
		want.kind != VALUE_QUANTITY)
		return false;
	*s->out = (struct rule_shortfall){last_part(subject->name), value_text(s->arena, have),
		relation(n->op, swapped), value_text(s->arena, want)};
	return true;
}

bool rule_shortfall(struct arena *a, const struct rule *r, const struct rule_names *names,
	struct rule_shortfall *out)
{
	struct search s = {a, {.arena = a, .names = names}, out};
	struct rule_node *root = r ? rule_root(a, r) : NULL;
	return root && find(&s, root);
}
