/* explain: a field, type, zone, hazard, measure, limit, check, function, standard, law or finding. */
#include "base/text.h"
#include "cli/session.h"
#include "out/json.h"
#include "work/explain.h"
#include "work/shipped.h"

static const struct option_row OPTIONS[] = {{"--json", NULL}, {NULL, NULL}};

static void print_entry(const struct session *s, const struct explained *e)
{
	printf("%s  (%s)\n", text_harmless(s->arena, e->id), e->kind_label);
	for (size_t i = 0; i < e->count; i++) {
		const struct explained_line *l = &e->lines[i];
		const char *lead = "  ";
		if (l->label && text_equal(l->key, "value"))
			lead = arena_format(s->arena, "    %-10s ", l->label);
		else if (l->label)
			lead = arena_format(s->arena, "  %s: ", l->label);
		print_wrapped(s, stdout, lead, l->value);
	}
}

static enum exit_status run(struct session *s)
{
	struct findings findings;
	const char *closest;
	findings_init(&findings, s->arena);
	const struct library *library = shipped_library(s->arena, NULL, &findings);
	if (findings_worst(&findings) == FINDING_INPUT) {
		print_findings(s, stderr, &findings);
		return EXIT_SYSTEM;
	}
	struct explained_list found = explain_word(s->arena, library, s->words, s->arguments[0], &closest);
	if (session_option(s, "--json"))
		fputs(json_explained(s->arena, s->arguments[0], &found), stdout);
	for (size_t i = 0; i < found.count && !session_option(s, "--json"); i++) {
		if (i)
			fputc('\n', stdout);
		print_entry(s, &found.items[i]);
	}
	if (found.count)
		return EXIT_IN_ORDER;
	print_error(s, s->arguments[0], session_words(s, "explain-nothing"));
	if (closest)
		print_error(s, closest, session_words(s, "meant"));
	return EXIT_BAD_INPUT;
}

const struct command COMMAND_EXPLAIN = {"explain", "WORD", 1, 1, OPTIONS, run};
