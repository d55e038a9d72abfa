#include "rule/rule.h"

#include <assert.h>
#include <string.h>

#include "base/text.h"
#include "rule/rule_node.h"

struct value value_unknown(void)
{
	return (struct value){.kind = VALUE_UNKNOWN};
}

struct value value_of_quantity(struct quantity q)
{
	return (struct value){.kind = VALUE_QUANTITY, .quantity = q};
}

struct value value_of_word(const char *word)
{
	return (struct value){.kind = VALUE_WORD, .word = word};
}

struct value value_of_truth(bool truth)
{
	return (struct value){.kind = VALUE_TRUTH, .truth = truth ? TRUTH_YES : TRUTH_NO};
}

struct value value_of_date(struct date d)
{
	return (struct value){.kind = VALUE_DATE, .date = d};
}

const char *value_text(struct arena *a, struct value v)
{
	struct buf b;
	switch (v.kind) {
	case VALUE_QUANTITY:
		return quantity_text(a, v.quantity);
	case VALUE_WORD:
		return v.word;
	case VALUE_TRUTH:
		return v.truth == TRUTH_YES ? "yes" : "no";
	case VALUE_DATE:
		return date_text(a, v.date);
	case VALUE_LIST:
		buf_init(&b, a);
		for (size_t i = 0; i < v.count; i++)
			buf_format(&b, "%s%s", i ? ", " : "", v.list[i]);
		return b.bytes;
	default:
		return "?";
	}
}

const char *rule_kind_name(enum value_kind kind, struct dimension d)
{
	static const char *const NAMES[] = {
		[VALUE_UNKNOWN] = "something unknown",
		[VALUE_QUANTITY] = "a quantity",
		[VALUE_WORD] = "a word",
		[VALUE_TRUTH] = "yes or no",
		[VALUE_DATE] = "a date",
		[VALUE_LIST] = "a list",
	};
	const char *name = kind == VALUE_QUANTITY ? dimension_name(d) : NULL;
	return name ? name : NAMES[kind];
}

bool rule_dimension(struct dimension a, struct dimension b, int sign, struct dimension *out)
{
	enum { LARGEST = 24 };
	struct dimension d = dimension_product(a, b, sign);
	signed char exponents[sizeof d];
	memcpy(exponents, &d, sizeof d);
	for (size_t i = 0; i < sizeof d; i++)
		if (exponents[i] > LARGEST || exponents[i] < -LARGEST)
			return false;
	*out = d;
	return true;
}

bool rule_dimension_root(struct dimension d, struct dimension *out)
{
	signed char exponents[sizeof d];
	memcpy(exponents, &d, sizeof d);
	for (size_t i = 0; i < sizeof d; i++) {
		if (exponents[i] % 2)
			return false;
		exponents[i] = (signed char)(exponents[i] / 2);
	}
	memcpy(out, exponents, sizeof d);
	return true;
}

/* What stands at `from`: up to the next blank, and no more than a few characters. */
static const char *near(struct arena *a, const char *text, size_t from)
{
	enum { SHOWN = 24 };
	size_t n = 0, shown = 0;
	const char *p = text + from;
	while (p[n] == ' ')
		p++;
	for (; p[n] && (n == 0 || p[n] != ' '); n++)
		if (((unsigned char)p[n] & 0xC0) != 0x80 && ++shown > SHOWN)
			break;
	return text_harmless(a, n ? arena_copy(a, p, n) : "the end");
}

struct finding *rule_refuse(struct rule_report *to, enum finding_code code, size_t from)
{
	struct arena *a = to->findings->arena;
	struct finding *f = finding_add(to->findings, code, "", to->at);
	size_t column = utf8_length(arena_copy(a, to->text, from)) + 1;
	finding_with(to->findings, f, "rule", text_harmless(a, to->text));
	finding_with(to->findings, f, "column", arena_format(a, "%zu", column));
	finding_with(to->findings, f, "near", near(a, to->text, from));
	to->failed = true;
	return f;
}

struct rule *rule_compile(struct arena *a, const char *text, struct place at,
	const struct rule_vocabulary *vocabulary, struct findings *findings)
{
	struct rule_report to = {a, arena_string(a, text), at, findings, false};
	struct rule_node *root = rule_parse(&to);
	if (root)
		rule_check(&to, root, vocabulary);
	if (to.failed)
		return NULL;
	struct rule *r = rule_defer(a, to.text);
	*r->root = root;
	return r;
}

struct rule *rule_defer(struct arena *a, const char *text)
{
	/* There are thousands: rule and cell in one piece. */
	struct {
		struct rule rule;
		struct rule_node *root;
	} *both = arena_alloc(a, sizeof *both);
	both->rule = (struct rule){text, &both->root, a};
	return &both->rule;
}

struct rule_node *rule_root(struct arena *a, const struct rule *r)
{
	struct rule_node *known = *r->root;
	if (known)
		return known;
	struct findings found;
	findings_init(&found, a);
	struct rule_report to = {a, r->text, (struct place){"", 0, 0}, &found, false};
	struct rule_node *root = rule_parse(&to);
	if (to.failed)
		return NULL;
	if (a == r->arena)
		*r->root = root;
	return root;
}

const char *rule_text(const struct rule *r)
{
	return r->text;
}

static struct value evaluate(struct rule_evaluation *e, const struct rule *r)
{
	struct rule_node *root = rule_root(e->arena, r);
	return root ? rule_evaluate(e, root) : value_unknown();
}

struct rule_result rule_test(struct arena *a, const struct rule *r, const struct rule_names *names)
{
	struct rule_evaluation e = {.arena = a, .names = names};
	struct value v = evaluate(&e, r);
	struct rule_result result = {.truth = TRUTH_UNKNOWN};
	if (v.kind == VALUE_TRUTH) {
		result.truth = v.truth;
		return result;
	}
	result.unknown = e.unknown;
	result.unknown_count = e.count;
	result.doubtful = e.doubtful;
	result.fault = e.fault;
	if (v.kind != VALUE_UNKNOWN)
		result.fault = arena_format(a, "not yes or no: %s",
			rule_kind_name(v.kind, v.quantity.dim));
	return result;
}

struct value rule_value(struct arena *a, const struct rule *r, const struct rule_names *names)
{
	struct rule_evaluation e = {.arena = a, .names = names};
	return evaluate(&e, r);
}

static const struct sign {
	const char *text;
	int strength; /* how tightly it binds; what binds less needs brackets inside it */
} SIGNS[] = {
	[RULE_OR] = {" or ", 1},
	[RULE_AND] = {" and ", 2},
	[RULE_NOT] = {"not ", 3},
	[RULE_IN] = {" in ", 4},
	[RULE_LESS] = {" < ", 4},
	[RULE_AT_MOST] = {" ≤ ", 4},
	[RULE_MORE] = {" > ", 4},
	[RULE_AT_LEAST] = {" ≥ ", 4},
	[RULE_EQUAL] = {" = ", 4},
	[RULE_UNEQUAL] = {" ≠ ", 4},
	[RULE_ADD] = {" + ", 5},
	[RULE_SUBTRACT] = {" − ", 5},
	[RULE_MULTIPLY] = {" × ", 6},
	[RULE_DIVIDE] = {" / ", 6},
	[RULE_MINUS] = {"−", 7},
	[RULE_LITERAL] = {"", 8},
	[RULE_NAME] = {"", 8},
	[RULE_CALL] = {"", 8},
	[RULE_LIST] = {"", 8},
};

static void show(struct buf *b, const struct rule_node *n, const struct rule_names *names);

static void show_value(struct buf *b, const struct rule_node *n, const struct rule_names *names)
{
	struct rule_evaluation e = {.arena = b->arena, .names = names};
	if (n->op == RULE_NAME) {
		const char *dot = strrchr(n->name, '.');
		buf_format(b, "%s ", dot ? dot + 1 : n->name);
	}
	/* A limit is told by its value; any other call by what it asks as well. */
	if (n->op == RULE_CALL && n->function == FUNCTION_OTHER && !text_equal(n->name, "limit"))
		buf_format(b, "%s ", n->source);
	buf_put(b, value_text(b->arena, rule_evaluate(&e, n)));
}

static bool holds(const struct buf *b, const struct rule_node *n, const struct rule_names *names)
{
	struct rule_evaluation e = {.arena = b->arena, .names = names};
	struct value v = rule_evaluate(&e, n);
	return v.kind == VALUE_TRUTH && v.truth == TRUTH_YES;
}

/* What need not be shown: the side of `or` that did not decide, and the literal that a name equals. */
static const struct rule_node *telling(const struct buf *b, const struct rule_node *n,
	const struct rule_names *names)
{
	if (n->op == RULE_OR && holds(b, n->items[0], names))
		return n->items[0];
	if (n->op == RULE_OR && holds(b, n->items[1], names))
		return n->items[1];
	bool literal = n->op == RULE_EQUAL ? n->items[1]->op == RULE_LITERAL &&
				n->items[1]->literal.kind != VALUE_QUANTITY
					   : n->op == RULE_IN;
	return literal && n->items[0]->op == RULE_NAME && holds(b, n, names) ? n->items[0] : NULL;
}

static void show_operand(struct buf *b, const struct rule_node *n, int strength,
	const struct rule_names *names)
{
	const struct rule_node *enough = telling(b, n, names);
	if (enough)
		n = enough;
	assert(n);
	bool brackets = SIGNS[n->op].strength < strength;
	buf_put(b, brackets ? "(" : "");
	show(b, n, names);
	buf_put(b, brackets ? ")" : "");
}

static void show(struct buf *b, const struct rule_node *n, const struct rule_names *names)
{
	const struct sign *s = &SIGNS[n->op];
	const struct rule_node *enough = telling(b, n, names);
	if (enough) {
		show(b, enough, names);
		return;
	}
	switch (n->op) {
	case RULE_LITERAL:
	case RULE_NAME:
	case RULE_CALL:
		show_value(b, n, names);
		return;
	case RULE_LIST:
		for (size_t i = 0; i < n->count; i++) {
			buf_put(b, i ? ", " : "[");
			show(b, n->items[i], names);
		}
		buf_put(b, "]");
		return;
	case RULE_NOT:
	case RULE_MINUS:
		buf_put(b, s->text);
		show_operand(b, n->items[0], s->strength, names);
		return;
	default:
		/* The right side of − and / needs brackets even among equals. */
		show_operand(b, n->items[0], s->strength, names);
		buf_put(b, s->text);
		show_operand(b, n->items[1], s->strength + (n->op != RULE_AND && n->op != RULE_OR),
			names);
	}
}

char *rule_shown(struct arena *a, const struct rule *r, const struct rule_names *names)
{
	struct buf b;
	buf_init(&b, a);
	struct rule_node *root = rule_root(a, r);
	if (root)
		show(&b, root, names);
	return b.bytes;
}
