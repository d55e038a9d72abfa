/* What the files of a rule share: its tree. Included by rule*.c only. */
#ifndef RULE_RULE_NODE_H
#define RULE_RULE_NODE_H

#include "rule/rule.h"

enum { RULE_LENGTH = 1000, RULE_DEPTH = 32 };

enum rule_op {
	RULE_LITERAL,
	RULE_NAME,
	RULE_CALL, /* items: arguments */
	RULE_LIST, /* items: literals */
	RULE_OR,
	RULE_AND,
	RULE_NOT,
	RULE_IN,
	RULE_LESS,
	RULE_AT_MOST,
	RULE_MORE,
	RULE_AT_LEAST,
	RULE_EQUAL,
	RULE_UNEQUAL,
	RULE_ADD,
	RULE_SUBTRACT,
	RULE_MULTIPLY,
	RULE_DIVIDE,
	RULE_MINUS,
};

enum rule_function {
	FUNCTION_OTHER,
	FUNCTION_KNOWN,
	FUNCTION_MIN,
	FUNCTION_MAX,
	FUNCTION_SQRT,
	FUNCTION_ABS,
};

struct rule_node {
	enum rule_op op;
	enum rule_function function;
	size_t from;          /* byte in the rule's text where it begins, for messages */
	struct value literal;
	const char *name;     /* of a name or function */
	const char *source;   /* a call as it is written */
	struct rule_node **items;
	size_t count;
};

struct rule {
	const char *text;
	struct rule_node **root; /* a cell: filled when the rule is first wanted, where that was put off */
	struct arena *arena;     /* for that */
};

/* The tree; one that was put off is read now, into `a`, and kept when that is the rule's own arena. NULL for a
 * rule that was put off and cannot be read. */
struct rule_node *rule_root(struct arena *a, const struct rule *r);

/* A place in a rule that a finding is about, and where findings go. */
struct rule_report {
	struct arena *arena;
	const char *text;
	struct place at;
	struct findings *findings;
	bool failed;
};

/* Adds a finding with the values "rule", "column" and "near". */
struct finding *rule_refuse(struct rule_report *to, enum finding_code code, size_t from);

/* The tree of `to->text`, or NULL after a finding. */
struct rule_node *rule_parse(struct rule_report *to);

/* Adds findings for names that nobody gives and for what can never fit together. */
void rule_check(struct rule_report *to, const struct rule_node *root,
	const struct rule_vocabulary *vocabulary);

struct rule_evaluation {
	struct arena *arena;
	const struct rule_names *names;
	const char **unknown;
	size_t count, room;
	bool doubtful;
	const char *fault;
};

struct value rule_evaluate(struct rule_evaluation *e, const struct rule_node *n);

/* Products and quotients of dimensions; false when an exponent leaves any sensible range. */
bool rule_dimension(struct dimension a, struct dimension b, int sign, struct dimension *out);

/* Half of every exponent; false when one is odd. */
bool rule_dimension_root(struct dimension d, struct dimension *out);

/* "a length", "a word", "yes or no"…, for messages. */
const char *rule_kind_name(enum value_kind kind, struct dimension d);

#endif
