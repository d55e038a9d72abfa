/* new: start a job. */
#include "base/text.h"
#include "cli/session.h"
#include "work/begin.h"
#include "work/job.h"
#include "work/shipped.h"
#include "work/skeleton.h"

static const struct option_row OPTIONS[] = {{"--type", "TYPE"}, {"--like", "JOB"}, {NULL, NULL}};

static void list_types(const struct session *s, FILE *to, const struct library *l)
{
	fprintf(to, "%s\n", session_words(s, "new-types"));
	for (size_t i = 0; i < l->types_count; i++) {
		const char *title = phrasebook_part(s->words, "types", l->types[i].note.id, "title");
		fprintf(to, "  %-22s %s\n", l->types[i].note.id, title ? title : "");
	}
}

static enum exit_status begin(struct session *s, const char *folder, const char *text)
{
	const char *path, *why = "";
	switch (job_begin(s->arena, folder, text, &path, &why)) {
	case BEGIN_EXISTS:
		print_error(s, path, session_words(s, "new-exists"));
		return EXIT_BAD_INPUT;
	case BEGIN_FAILED:
		print_error(s, path, why);
		return EXIT_SYSTEM;
	case BEGIN_FINE:
		break;
	}
	printf("%s\n", text_harmless(s->arena, path));
	print_wrapped(s, stdout, "", session_words(s, "new-next"));
	return EXIT_IN_ORDER;
}

static enum exit_status run(struct session *s)
{
	struct findings findings;
	struct job like = {0};
	const char *type_id = session_option(s, "--type"), *like_folder = session_option(s, "--like");
	findings_init(&findings, s->arena);
	/* A folder may hold the firm's library already, with a type of its own. */
	const struct library *l = shipped_library(s->arena, s->arguments[0], &findings);
	if (findings_worst(&findings) == FINDING_INPUT) {
		print_findings(s, stderr, &findings);
		return EXIT_BAD_INPUT;
	}
	if (like_folder) {
		job_open(s->arena, like_folder, s->words, &like);
		if (!like.record || !like.record->type) {
			print_findings(s, stderr, &like.findings);
			print_error(s, like_folder, session_words(s, "new-like"));
			return EXIT_BAD_INPUT;
		}
		if (!type_id)
			type_id = like.record->type->note.id;
	}
	const struct lib_type *type = library_type(l, type_id);
	if (!type) {
		if (type_id)
			print_error(s, type_id, session_words(s, "new-no-type"));
		list_types(s, type_id ? stderr : stdout, l);
		return type_id ? EXIT_BAD_INPUT : EXIT_IN_ORDER;
	}
	return begin(s, s->arguments[0], skeleton_text(s->arena, l, type, s->words, like.record));
}

const struct command COMMAND_NEW = {"new", "FOLDER", 1, 1, OPTIONS, run};
