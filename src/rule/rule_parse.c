#include "rule/rule_node.h"

#include <string.h>

#include "base/text.h"

struct parser {
	struct rule_report *to;
	const char *p;
	int depth;
};

static struct rule_node *parse_or(struct parser *s);
static struct rule_node *parse_primary(struct parser *s);

static bool is_letter(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool is_blank(char c)
{
	return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

static bool in_name(char c)
{
	return is_letter(c) || is_digit(c) || c == '.' || c == '-';
}

static void skip(struct parser *s)
{
	while (is_blank(*s->p))
		s->p++;
}

static size_t offset(const struct parser *s)
{
	return (size_t)(s->p - s->to->text);
}

/* Only the first fault is told: what follows it is guesswork. Returns NULL. */
static struct rule_node *fail(struct parser *s, size_t from, const char *expected, const char *way)
{
	if (s->to->failed)
		return NULL;
	struct finding *f = rule_refuse(s->to, FINDING_CODE_RULE_SYNTAX, from);
	finding_with(s->to->findings, f, "expected", expected);
	if (way)
		finding_way(s->to->findings, f, way);
	return NULL;
}

static struct rule_node *node_new(struct parser *s, enum rule_op op, size_t from)
{
	struct rule_node *n = arena_alloc(s->to->arena, sizeof *n);
	n->op = op;
	n->from = from;
	return n;
}

static struct rule_node *node_of(struct parser *s, enum rule_op op, size_t from,
	struct rule_node *left, struct rule_node *right)
{
	struct rule_node *n = node_new(s, op, from);
	n->items = arena_array(s->to->arena, 2, sizeof *n->items);
	n->items[n->count++] = left;
	if (right)
		n->items[n->count++] = right;
	return n;
}

static void node_add(struct parser *s, struct rule_node *n, struct rule_node *item)
{
	/* Doubles at every power of two. */
	if ((n->count & (n->count - 1)) == 0)
		n->items = arena_grow(s->to->arena, n->items, n->count, n->count ? n->count * 2 : 1,
			sizeof *n->items);
	n->items[n->count++] = item;
}

static size_t word_length(const char *p)
{
	size_t n = 0;
	if (is_letter(*p))
		while (in_name(p[n]))
			n++;
	return n;
}

static bool at_word(const struct parser *s, const char *word)
{
	size_t n = strlen(word);
	return word_length(s->p) == n && memcmp(s->p, word, n) == 0;
}

static bool take_word(struct parser *s, const char *word)
{
	skip(s);
	if (!at_word(s, word))
		return false;
	s->p += strlen(word);
	return true;
}

static bool take(struct parser *s, char c)
{
	skip(s);
	if (*s->p != c)
		return false;
	s->p++;
	return true;
}

/* Every function that can call itself passes through here. */
static bool deeper(struct parser *s)
{
	if (++s->depth <= RULE_DEPTH)
		return true;
	fail(s, offset(s), arena_format(s->to->arena, "at most %d levels", RULE_DEPTH), "split-rule");
	return false;
}

/* The longest unit that begins at `p` and is no part of a longer word; NULL when there is none. */
static const struct unit *unit_at(const char *p, size_t *length)
{
	enum { LONGEST = 8 };
	for (size_t n = strnlen(p, LONGEST); n; n--) {
		const struct unit *u = unit_find(p, n);
		char behind = p[n];
		if (u && !is_letter(behind) && !is_digit(behind) && behind != '_' &&
			!((unsigned char)behind & 0x80)) {
			*length = n;
			return u;
		}
	}
	return NULL;
}

static bool at_keyword(const struct parser *s)
{
	return at_word(s, "and") || at_word(s, "or") || at_word(s, "not");
}

static struct rule_node *parse_number(struct parser *s)
{
	size_t from = offset(s), length;
	double number;
	size_t n = text_scan(s->p, &number);
	if (n == 0 || number > 1e15)
		return fail(s, from, "a number below 1e15", NULL);
	s->p += n;
	const char *behind = s->p;
	skip(s);
	const struct unit *u = unit_at(s->p, &length);
	if (u)
		s->p += length;
	else if ((is_letter(*s->p) && (s->p == behind || !at_keyword(s))) || (*s->p & 0x80))
		return fail(s, offset(s), "a unit", NULL);
	else
		s->p = behind;
	struct rule_node *node = node_new(s, RULE_LITERAL, from);
	node->literal = value_of_quantity(
		u ? quantity_of(number * u->factor, u->dim) : quantity_of(number, DIM_NUMBER));
	return node;
}

static struct rule_node *parse_quoted(struct parser *s)
{
	size_t from = offset(s);
	const char *end = strchr(++s->p, '\'');
	if (!end)
		return fail(s, from, "a closing '", NULL);
	struct rule_node *n = node_new(s, RULE_LITERAL, from);
	n->literal = value_of_word(arena_copy(s->to->arena, s->p, (size_t)(end - s->p)));
	s->p = end + 1;
	return n;
}

static const struct function_row {
	const char *name;
	enum rule_function function;
	size_t least, most; /* arguments */
	const char *expected;
} FUNCTIONS[] = {
	{"known", FUNCTION_KNOWN, 1, 1, "1 argument"},
	{"min", FUNCTION_MIN, 2, RULE_LENGTH, "2 arguments or more"},
	{"max", FUNCTION_MAX, 2, RULE_LENGTH, "2 arguments or more"},
	{"sqrt", FUNCTION_SQRT, 1, 1, "1 argument"},
	{"abs", FUNCTION_ABS, 1, 1, "1 argument"},
};

static struct rule_node *check_call(struct parser *s, struct rule_node *n)
{
	for (size_t i = 0; i < sizeof FUNCTIONS / sizeof *FUNCTIONS; i++) {
		const struct function_row *f = &FUNCTIONS[i];
		if (!text_equal(n->name, f->name))
			continue;
		if (n->count < f->least || n->count > f->most)
			return fail(s, n->from, f->expected, NULL);
		n->function = f->function;
	}
	if (n->function == FUNCTION_KNOWN && n->items[0]->op != RULE_NAME &&
		n->items[0]->op != RULE_CALL)
		return fail(s, n->items[0]->from, "a name", NULL);
	return n;
}

static struct rule_node *parse_list(struct parser *s, size_t from);

static struct rule_node *parse_argument(struct parser *s)
{
	skip(s);
	size_t from = offset(s);
	return take(s, '[') ? parse_list(s, from) : parse_or(s);
}

static struct rule_node *parse_call(struct parser *s, struct rule_node *n)
{
	n->op = RULE_CALL;
	if (!take(s, ')')) {
		do {
			struct rule_node *argument = parse_argument(s);
			if (!argument)
				return NULL;
			node_add(s, n, argument);
		} while (take(s, ','));
		if (!take(s, ')'))
			return fail(s, offset(s), ", or )", NULL);
	}
	n->source = arena_copy(s->to->arena, s->to->text + n->from, offset(s) - n->from);
	return check_call(s, n);
}

static struct rule_node *parse_name(struct parser *s)
{
	size_t from = offset(s), length = word_length(s->p);
	char last = s->p[length - 1];
	if (last == '-')
		return fail(s, from, "a name", "blanks-around-minus");
	char *name = arena_copy(s->to->arena, s->p, length);
	if (last == '.' || strstr(name, ".."))
		return fail(s, from, "a name", NULL);
	s->p += length;
	struct rule_node *n = node_new(s, RULE_NAME, from);
	n->name = name;
	return take(s, '(') ? parse_call(s, n) : n;
}

static struct rule_node *parse_primary(struct parser *s)
{
	skip(s);
	size_t from = offset(s);
	if (take(s, '(')) {
		struct rule_node *n = parse_or(s);
		if (n && !take(s, ')'))
			return fail(s, offset(s), ")", NULL);
		return n;
	}
	if (is_digit(*s->p) || (*s->p == '.' && is_digit(s->p[1])))
		return parse_number(s);
	if (*s->p == '\'')
		return parse_quoted(s);
	if (*s->p == '"')
		return fail(s, from, "a value", "single-quoted-word");
	bool yes = at_word(s, "yes");
	if (yes || at_word(s, "no")) {
		s->p += yes ? 3 : 2;
		struct rule_node *n = node_new(s, RULE_LITERAL, from);
		n->literal = value_of_truth(yes);
		return n;
	}
	if (!is_letter(*s->p) || at_keyword(s) || at_word(s, "in"))
		return fail(s, from, "a value", NULL);
	return parse_name(s);
}

static struct rule_node *parse_unary(struct parser *s)
{
	skip(s);
	size_t from = offset(s);
	if (*s->p != '-')
		return parse_primary(s);
	s->p++;
	struct rule_node *n = deeper(s) ? parse_unary(s) : NULL;
	s->depth--;
	return n ? node_of(s, RULE_MINUS, from, n, NULL) : NULL;
}

static struct rule_node *parse_product(struct parser *s)
{
	struct rule_node *left = parse_unary(s);
	while (left) {
		skip(s);
		size_t from = offset(s);
		enum rule_op op = *s->p == '*' ? RULE_MULTIPLY : RULE_DIVIDE;
		if (*s->p != '*' && *s->p != '/')
			break;
		s->p++;
		struct rule_node *right = parse_unary(s);
		left = right ? node_of(s, op, from, left, right) : NULL;
	}
	return left;
}

static struct rule_node *parse_sum(struct parser *s)
{
	struct rule_node *left = parse_product(s);
	while (left) {
		skip(s);
		size_t from = offset(s);
		enum rule_op op = *s->p == '+' ? RULE_ADD : RULE_SUBTRACT;
		if (*s->p != '+' && *s->p != '-')
			break;
		/* "gap -3" could be a slip for a name: a minus stands between blanks. */
		if (*s->p == '-' && !(is_blank(s->p[-1]) && is_blank(s->p[1])))
			return fail(s, from, "a minus between blanks", "blanks-around-minus");
		s->p++;
		struct rule_node *right = parse_product(s);
		left = right ? node_of(s, op, from, left, right) : NULL;
	}
	return left;
}

static struct rule_node *parse_list(struct parser *s, size_t from)
{
	struct rule_node *list = node_new(s, RULE_LIST, from);
	do {
		struct rule_node *item = parse_unary(s);
		if (!item)
			return NULL;
		const struct rule_node *inner = item->op == RULE_MINUS ? item->items[0] : item;
		if (inner->op != RULE_LITERAL)
			return fail(s, item->from, "a 'word' or a number", NULL);
		node_add(s, list, item);
	} while (take(s, ','));
	return take(s, ']') ? list : fail(s, offset(s), ", or ]", NULL);
}

static const struct comparator {
	const char *sign;
	enum rule_op op;
} COMPARATORS[] = {
	{"<=", RULE_AT_MOST},
	{">=", RULE_AT_LEAST},
	{"!=", RULE_UNEQUAL},
	{"<", RULE_LESS},
	{">", RULE_MORE},
	{"=", RULE_EQUAL},
};

static const struct comparator *comparator_at(struct parser *s)
{
	skip(s);
	for (size_t i = 0; i < sizeof COMPARATORS / sizeof *COMPARATORS; i++)
		if (text_begins(s->p, COMPARATORS[i].sign))
			return &COMPARATORS[i];
	return NULL;
}

static struct rule_node *parse_comparison(struct parser *s)
{
	struct rule_node *left = parse_sum(s), *right;
	if (!left)
		return NULL;
	const struct comparator *c = comparator_at(s);
	size_t from = offset(s);
	if (take_word(s, "in")) {
		skip(s);
		size_t list = offset(s);
		right = take(s, '[') ? parse_list(s, list) : parse_primary(s);
		left = right ? node_of(s, RULE_IN, from, left, right) : NULL;
	} else if (c) {
		s->p += strlen(c->sign);
		if (*s->p == '=')
			return fail(s, from, "one of = != < <= > >=", "single-equals");
		right = parse_sum(s);
		left = right ? node_of(s, c->op, from, left, right) : NULL;
	}
	if (left && comparator_at(s))
		return fail(s, offset(s), "and, or, or the end", "one-comparison");
	return left;
}

static struct rule_node *parse_not(struct parser *s)
{
	skip(s);
	size_t from = offset(s);
	if (!take_word(s, "not"))
		return parse_comparison(s);
	struct rule_node *n = deeper(s) ? parse_not(s) : NULL;
	s->depth--;
	return n ? node_of(s, RULE_NOT, from, n, NULL) : NULL;
}

static struct rule_node *parse_and(struct parser *s)
{
	struct rule_node *left = parse_not(s);
	while (left) {
		skip(s);
		size_t from = offset(s);
		if (!take_word(s, "and"))
			break;
		struct rule_node *right = parse_not(s);
		left = right ? node_of(s, RULE_AND, from, left, right) : NULL;
	}
	return left;
}

static struct rule_node *parse_or(struct parser *s)
{
	struct rule_node *left = deeper(s) ? parse_and(s) : NULL;
	while (left) {
		skip(s);
		size_t from = offset(s);
		if (!take_word(s, "or"))
			break;
		struct rule_node *right = parse_and(s);
		left = right ? node_of(s, RULE_OR, from, left, right) : NULL;
	}
	s->depth--;
	return left;
}

struct rule_node *rule_parse(struct rule_report *to)
{
	struct parser s = {to, to->text, 0};
	if (strlen(to->text) > RULE_LENGTH)
		return fail(&s, 0, arena_format(to->arena, "at most %d bytes", RULE_LENGTH),
			"split-rule");
	struct rule_node *root = parse_or(&s);
	skip(&s);
	if (root && *s.p)
		return fail(&s, offset(&s), "an operator or the end", NULL);
	return root;
}
