#include "rule/pattern.h"

#define PCRE2_CODE_UNIT_WIDTH 8
#include <pcre2.h>
#include <string.h>

#include "base/text.h"

/* A sane pattern needs a few hundred steps on the text of one field or line. PCRE2 starts its limits
 * anew at every place where a match could begin; STEPS counts over all of them. */
enum { STEPS = 1000000, MATCH_LIMIT = 100000, DEPTH_LIMIT = 20000, HEAP_LIMIT_KIB = 8192 };

struct pattern {
	struct arena *arena;
	pcre2_code *code;
};

static void release(void *subject)
{
	struct pattern *p = subject;
	pcre2_code_free(p->code);
}

/* Called before each item of the pattern. */
static int count_step(pcre2_callout_block *block, void *steps)
{
	(void)block;
	int *taken = steps;
	return ++*taken > STEPS ? PCRE2_ERROR_CALLOUT : 0;
}

static void refuse(struct findings *findings, const char *text, struct place at, size_t offset,
	const char *reason)
{
	struct arena *a = findings->arena;
	struct finding *f = finding_add(findings, FINDING_CODE_PATTERN_SYNTAX, "", at);
	size_t length = utf8_length(arena_copy(a, text, offset));
	finding_with(findings, f, "pattern", text_harmless(a, text));
	finding_with(findings, f, "column", arena_format(a, "%zu", length + 1));
	finding_with(findings, f, "reason", reason);
}

static void refuse_code(struct findings *findings, const char *text, struct place at,
	size_t offset, int error)
{
	unsigned char reason[256];
	if (pcre2_get_error_message(error, reason, sizeof reason) < 0)
		reason[0] = '\0';
	size_t length = strlen(text);
	refuse(findings, text, at, offset < length ? offset : length,
		arena_string(findings->arena, (const char *)reason));
}

struct pattern *pattern_compile(struct arena *a, const char *text, bool ignore_case,
	struct place at, struct findings *findings)
{
	size_t length = strlen(text), offset = 0;
	uint32_t groups = 0;
	int error = 0;
	if (length > PATTERN_LENGTH) {
		refuse(findings, text, at, PATTERN_LENGTH,
			arena_format(findings->arena, "longer than %d bytes", PATTERN_LENGTH));
		return NULL;
	}
	struct pattern *p = arena_alloc(a, sizeof *p);
	p->arena = a;
	arena_defer(a, release, p);
	p->code = pcre2_compile((PCRE2_SPTR)text, length,
		PCRE2_UTF | PCRE2_NEVER_BACKSLASH_C | PCRE2_AUTO_CALLOUT |
			(ignore_case ? PCRE2_CASELESS : 0),
		&error, &offset, NULL);
	if (!p->code && error == PCRE2_ERROR_HEAP_FAILED)
		arena_exhausted(a);
	if (!p->code) {
		refuse_code(findings, text, at, offset, error);
		return NULL;
	}
	pcre2_pattern_info(p->code, PCRE2_INFO_CAPTURECOUNT, &groups);
	if (groups >= PATTERN_GROUPS) {
		refuse(findings, text, at, 0,
			arena_format(findings->arena, "more than %d groups", PATTERN_GROUPS - 1));
		return NULL;
	}
	return p;
}

static void copy_groups(pcre2_match_data *data, int count, struct pattern_match *match)
{
	const PCRE2_SIZE *pairs = pcre2_get_ovector_pointer(data);
	memset(match, 0, sizeof *match);
	for (int i = 0; i < count && i < PATTERN_GROUPS; i++) {
		if (pairs[2 * i] == PCRE2_UNSET)
			continue;
		match->set[i] = true;
		match->from[i] = pairs[2 * i];
		match->to[i] = pairs[2 * i + 1];
	}
}

enum pattern_outcome pattern_find(const struct pattern *p, const char *subject, size_t length,
	size_t from, struct pattern_match *match)
{
	if (from > length)
		return PATTERN_NO;
	if (length > PATTERN_SUBJECT)
		return PATTERN_GAVE_UP;
	/* Made anew for each search, so that one pattern may serve several threads. */
	int steps = 0, count = PCRE2_ERROR_NOMEMORY;
	pcre2_match_context *limits = pcre2_match_context_create(NULL);
	pcre2_match_data *data = pcre2_match_data_create(PATTERN_GROUPS, NULL);
	if (limits && data) {
		pcre2_set_match_limit(limits, MATCH_LIMIT);
		pcre2_set_depth_limit(limits, DEPTH_LIMIT);
		pcre2_set_heap_limit(limits, HEAP_LIMIT_KIB);
		pcre2_set_callout(limits, count_step, &steps);
		count = pcre2_match(p->code, (PCRE2_SPTR)subject, length, from, 0, data, limits);
	}
	if (count > 0)
		copy_groups(data, count, match);
	pcre2_match_data_free(data);
	pcre2_match_context_free(limits);
	if (count == PCRE2_ERROR_NOMEMORY)
		arena_exhausted(p->arena);
	if (count > 0)
		return PATTERN_YES;
	return count == PCRE2_ERROR_NOMATCH ? PATTERN_NO : PATTERN_GAVE_UP;
}

int pattern_group(const struct pattern *p, const char *name)
{
	int number = pcre2_substring_number_from_name(p->code, (PCRE2_SPTR)name);
	return number > 0 ? number : -1;
}
