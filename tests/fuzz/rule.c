/* Exercises src/rule/: the first byte says whether the pattern ignores case; of what follows, the
 * first line is the condition, the second the pattern, the rest is searched with it. Properties: a
 * rule or a finding, never both; columns inside the text; the same result twice; a definite truth has
 * no excuse, and stays the same when unknown names become known; an interval holds its value; matches
 * lie inside the subject. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "rule/pattern.h"
#include "rule/rule.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void demand(int holds, const char *what)
{
	if (holds)
		return;
	fprintf(stderr, "does not hold: %s\n", what);
	abort();
}

/* A value that depends on the name's letters only; `*subject`: whether names with a u are known. */
static struct value lookup(void *subject, const char *name)
{
	static const char *const LIST[] = {"a", "b"};
	const int *all = subject;
	size_t n = strlen(name);
	double v = (double)(n % 5) - 1;
	if (strchr(name, 'u') && !*all)
		return value_unknown();
	switch (name[0]) {
	case 'w':
		return value_of_word(name + 1);
	case 't':
		return value_of_truth(n % 2);
	case 'd':
		return value_of_date((struct date){2026, 1 + (int)(n % 12), 28});
	case 'l':
		return (struct value){.kind = VALUE_LIST, .list = LIST, .count = n % 3};
	case 'm':
		return value_of_quantity(quantity_of(v, DIM_LENGTH));
	case 'i':
		return value_of_quantity((struct quantity){v, v - 1, v + 2, DIM_LENGTH});
	case 'n':
		return value_of_quantity(quantity_of((double)NAN, DIM_LENGTH));
	default:
		return value_of_quantity(quantity_of(v, DIM_NUMBER));
	}
}

static struct value call(void *subject, const char *function, const struct value *arguments,
	size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (arguments[i].kind == VALUE_UNKNOWN)
			return value_unknown();
	return lookup(subject, function);
}

static void check_value(struct arena *a, struct value v)
{
	const char *text = value_text(a, v);
	demand(utf8_check(text, strlen(text)) == strlen(text), "values show as UTF-8");
	demand(v.kind != VALUE_TRUTH || v.truth != TRUTH_UNKNOWN, "unknown is no truth value");
	if (v.kind != VALUE_QUANTITY)
		return;
	const struct quantity *q = &v.quantity;
	double slack = 1e-9 * fmax(fabs(q->low), fabs(q->high));
	demand(isfinite(q->value) && isfinite(q->low) && isfinite(q->high), "numbers are finite");
	demand(q->low <= q->value + slack && q->value <= q->high + slack, "bounds hold the value");
}

static void check_rule(struct arena *a, const char *text)
{
	struct findings f;
	int some = 0, all = 1;
	struct rule_names names = {&some, lookup, call}, more = {&all, lookup, call};
	findings_init(&f, a);
	struct rule *r = rule_compile(a, text, (struct place){"f", 1, 1}, NULL, &f);
	demand((r == NULL) == (f.count > 0), "a rule or a finding");
	for (size_t i = 0; i < f.count; i++) {
		int column = atoi(f.items[i]->values->next->value);
		demand(column >= 1 && (size_t)column <= strlen(text) + 1, "a column inside");
	}
	if (!r)
		return;
	struct rule_result t = rule_test(a, r, &names), again = rule_test(a, r, &names);
	demand(t.truth == again.truth && t.unknown_count == again.unknown_count, "the same twice");
	if (t.truth != TRUTH_UNKNOWN) {
		demand(!t.unknown_count && !t.doubtful && !t.fault, "no excuse for a definite truth");
		/* known(x) is the one thing that knowing more may change. */
		if (!strstr(text, "known"))
			demand(rule_test(a, r, &more).truth == t.truth, "knowing more changes nothing");
	} else {
		demand(t.unknown_count || t.doubtful || t.fault, "unknown has a reason");
	}
	check_value(a, rule_value(a, r, &names));
	const char *shown = rule_shown(a, r, &names);
	demand(utf8_check(shown, strlen(shown)) == strlen(shown), "rules show as UTF-8");
}

static void check_pattern(struct arena *a, const char *text, bool ignore_case, const char *subject)
{
	struct findings f;
	struct pattern_match m;
	size_t length = strlen(subject), from = 0;
	findings_init(&f, a);
	struct pattern *p = pattern_compile(a, text, ignore_case, (struct place){"f", 1, 1}, &f);
	demand((p == NULL) == (f.count > 0), "a pattern or a finding");
	while (p && pattern_find(p, subject, length, from, &m) == PATTERN_YES) {
		demand(m.set[0] && m.from[0] <= m.to[0] && m.to[0] <= length, "a match inside");
		for (int i = 1; i < PATTERN_GROUPS; i++)
			demand(!m.set[i] || (m.from[i] <= m.to[i] && m.to[i] <= length), "a group inside");
		if (m.to[0] <= from)
			break;
		from = m.to[0];
	}
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	if (setjmp(escape))
		abort();
	if (size > 0 && data[0] < 0x80 && utf8_check((const char *)data, size) == size) {
		char *rule = arena_copy(&a, (const char *)data + 1, size - 1);
		char *pattern = rule + strcspn(rule, "\n");
		char *subject = pattern + strcspn(pattern + (*pattern != '\0'), "\n") + (*pattern != '\0');
		if (*subject)
			*subject++ = '\0';
		if (*pattern)
			*pattern++ = '\0';
		check_rule(&a, rule);
		check_pattern(&a, pattern, data[0] & 1, subject);
	}
	arena_release(&a);
	return 0;
}
