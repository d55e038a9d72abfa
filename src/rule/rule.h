/* Conditions and arithmetic over named quantities, three-valued and unit-checked.
 *
 *   control.automatic-closing = yes and (here.gap <= limit('finger-gap') or known(here.cover))
 *
 * Words: and or not in, yes no. Operators: + - * / < <= > >= = !=. A minus with blanks around it
 * subtracts; inside a name it is a hyphen. Literals: numbers with units (0.5 m/s), 'words', dates
 * ('2027-01-20' compared with a date is read as one), lists of literals [ 'a', 'b' ] after `in`
 * and as arguments of calls.
 * Names: letters, digits, dots, hyphens, beginning with a letter. Calls: name(argument, …).
 * Built in: known(x), min(x, y, …), max(x, y, …), sqrt(x), abs(x).
 * A quantity that carries doubt is an interval: a comparison that does not hold over all of it and
 * does not fail over all of it is unknown. `not`, `and`, `or` follow Kleene. Adding, comparing or
 * choosing between different dimensions is an error found at compile time where both sides are
 * literal, otherwise when evaluated: the result is then unknown and `fault` says so. Division by an
 * interval that contains zero is unknown. Numbers that agree to one part in 1e9 are equal, so that
 * 70 cm is 0.7 m. A date moves by whole days or months (date + 12 months); date - date gives days.
 */
#ifndef RULE_RULE_H
#define RULE_RULE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/date.h"
#include "base/finding.h"
#include "base/quantity.h"

enum truth { TRUTH_NO, TRUTH_YES, TRUTH_UNKNOWN };

enum value_kind { VALUE_UNKNOWN, VALUE_QUANTITY, VALUE_WORD, VALUE_TRUTH, VALUE_DATE, VALUE_LIST };

struct value {
	enum value_kind kind;
	struct quantity quantity;
	const char *word;        /* VALUE_WORD */
	enum truth truth;        /* VALUE_TRUTH; never TRUTH_UNKNOWN (that is VALUE_UNKNOWN) */
	struct date date;
	const char *const *list; /* VALUE_LIST: words */
	size_t count;
};

/* Where names get their values. Both callbacks may return VALUE_UNKNOWN. `known_name` is asked at
 * compile time, so that a misspelt name in the library is an error and not "unknown" for ever; NULL
 * accepts every name. `call` gets only calls that are not built in. */
struct rule_names {
	void *subject;
	struct value (*lookup)(void *subject, const char *name);
	struct value (*call)(void *subject, const char *function, const struct value *arguments,
		size_t count);
};

struct rule_vocabulary {
	const void *subject;
	bool (*known_name)(const void *subject, const char *name);
	bool (*known_call)(const void *subject, const char *function, size_t count);
};

struct rule;

/* Compiles `text`, written at `at`. Returns NULL after adding FINDING_CODE_RULE_SYNTAX, RULE_UNITS
 * or RULE_NAME with values "rule" (the text), "column" (1-based, within the text), "near" (what stands
 * there), and "expected" for RULE_SYNTAX, "left" and "right" for RULE_UNITS. One fault of syntax
 * ends the reading; of units and names all are told. Depth of nesting at most 32, length at most
 * 1000 bytes. */
struct rule *rule_compile(struct arena *a, const char *text, struct place at,
	const struct rule_vocabulary *vocabulary, struct findings *findings);

/* A rule that is known to be right and is read only when it is first wanted. `text` and `a` must outlive it. One that
 * cannot be read after all is unknown. */
struct rule *rule_defer(struct arena *a, const char *text);

const char *rule_text(const struct rule *r);

struct rule_result {
	enum truth truth;
	const char *const *unknown; /* names (or calls) that were unknown and mattered, each once */
	size_t unknown_count;
	bool doubtful;              /* unknown because an interval straddles what it is compared with */
	const char *fault;          /* e.g. dimensions that do not fit; NULL: none */
};

/* The truth of a condition. A rule that gives no truth value gives TRUTH_UNKNOWN with a fault. */
struct rule_result rule_test(struct arena *a, const struct rule *r, const struct rule_names *names);

/* The value of arithmetic; VALUE_UNKNOWN when something in it is unknown or does not fit. */
struct value rule_value(struct arena *a, const struct rule *r, const struct rule_names *names);

/* The rule with the numbers put in, for people: "gap 7 mm ≤ 8 mm". Names lose what stands before
 * their last dot; a call is replaced by its value. Unknown values show as "?". */
char *rule_shown(struct arena *a, const struct rule *r, const struct rule_names *names);

/* What a condition falls short by, for advice. */
struct rule_shortfall {
	const char *name;     /* of what would have to change, without what stands before its last dot */
	const char *have;     /* its value as people write it */
	const char *relation; /* ≤ < ≥ >: what it would have to be */
	const char *want;     /* of this */
};

/* The first comparison of quantities in `r` (through `and`) that does not hold although both sides are
 * known. false when there is none; `*out` is then untouched. */
bool rule_shortfall(struct arena *a, const struct rule *r, const struct rule_names *names,
	struct rule_shortfall *out);

struct value value_unknown(void);
struct value value_of_quantity(struct quantity q);
struct value value_of_word(const char *word);
struct value value_of_truth(bool truth);
struct value value_of_date(struct date d);
const char *value_text(struct arena *a, struct value v);

#endif
