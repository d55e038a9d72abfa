#include <errno.h>
#include <malloc.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/mman.h>
#include <unistd.h>

#include "base/text.h"
#include "cli/session.h"
#include "work/shipped.h"

enum { WIDTH_LEAST = 60, WIDTH_MOST = 100, WIDTH_FILE = 96 };

static const struct {
	const char *file, *package, *sha256, *licence;
} FONT_LICENCES[] = {
#define FONT(file, package, sha256, licence) {file, package, sha256, licence},
#include "type/fonts.def"
#undef FONT
};

static void print_version(const struct session *s, bool licences)
{
	printf("pintle %s\n", PINTLE_VERSION);
	if (!licences)
		return;
	print_wrapped(s, stdout, "", session_words(s, "licence-program"));
	for (size_t i = 0; i < sizeof FONT_LICENCES / sizeof *FONT_LICENCES; i++)
		printf("  %-28s %-26s %s\n", FONT_LICENCES[i].file, FONT_LICENCES[i].package,
			FONT_LICENCES[i].licence);
	print_wrapped(s, stdout, "", session_words(s, "licence-libraries"));
}

static void look_at_terminal(struct session *s)
{
	struct winsize size;
	const char *no_colour = getenv("NO_COLOR");
	bool terminal = isatty(STDOUT_FILENO);
	s->colour = terminal && !(no_colour && *no_colour);
	s->width = WIDTH_FILE;
	if (terminal && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col)
		s->width = size.ws_col < WIDTH_LEAST ? WIDTH_LEAST
			: size.ws_col > WIDTH_MOST   ? WIDTH_MOST
						     : size.ws_col;
}

static enum exit_status run(struct session *s, int argc, char **argv)
{
	findings_init(&s->word_findings, s->arena);
	s->words = shipped_words(s->arena, "en", &s->word_findings);
	look_at_terminal(s);
	if (findings_worst(&s->word_findings) == FINDING_INPUT) {
		print_findings(s, stderr, &s->word_findings);
		return EXIT_SYSTEM;
	}
	if (argc < 2) {
		print_usage(s, stderr, NULL);
		return EXIT_BAD_INPUT;
	}
	if (text_equal(argv[1], "--version")) {
		bool licences = argc > 2 && text_equal(argv[2], "--licences");
		print_version(s, licences);
		return EXIT_IN_ORDER;
	}
	if (text_equal(argv[1], "--help") || text_equal(argv[1], "-h")) {
		print_usage(s, stdout, NULL);
		return EXIT_IN_ORDER;
	}
	for (int i = 2; i < argc; i++)
		if (text_equal(argv[i], "--help"))
			for (const struct command *const *c = COMMANDS; *c; c++)
				if (text_equal((*c)->name, argv[1])) {
					print_usage(s, stdout, *c);
					return EXIT_IN_ORDER;
				}
	return session_parse(s, argc, argv) ? s->command->run(s) : EXIT_BAD_INPUT;
}

/* A result that did not reach its reader is no result. */
static int finish(int status)
{
	bool lost = fflush(stdout) || ferror(stdout);
	if (fclose(stdout) || lost) {
		fprintf(stderr, "pintle: standard output: %s\n", strerror(errno));
		status = EXIT_SYSTEM;
	}
	if (fclose(stderr))
		status = EXIT_SYSTEM;
	return status;
}

/* A fifth of a bind went into fetching memory page by page. What one file gave back serves the next, and the
 * heap comes in large pages where the system has them. Only hints: nothing depends on them. */
static void prepare_heap(void)
{
	enum { HEAP = 64 * 1024 * 1024, LARGE_PAGE = 2 * 1024 * 1024 };
	mallopt(M_MMAP_THRESHOLD, HEAP);
	mallopt(M_TRIM_THRESHOLD, 4 * HEAP);
	mallopt(M_TOP_PAD, HEAP);
	/* Makes the heap grow now, by all of HEAP; volatile, or the compiler would see through it. */
	void *volatile grown = malloc(LARGE_PAGE);
	free(grown);
	uintptr_t top = (uintptr_t)sbrk(0), from = (top - HEAP + LARGE_PAGE - 1) / LARGE_PAGE * LARGE_PAGE;
	if (top != (uintptr_t)-1 && top > HEAP)
		(void)madvise((void *)from, top - from, MADV_HUGEPAGE);
}

int main(int argc, char **argv)
{
	jmp_buf escape;
	struct arena arena;
	arena_init(&arena, &escape);
	if (setjmp(escape)) {
		arena_release(&arena);
		fputs("pintle: out of memory; no file was changed\n", stderr);
		return finish(EXIT_SYSTEM);
	}
	prepare_heap();
	struct session session = {.arena = &arena};
	int status = (int)run(&session, argc, argv);
	arena_release(&arena);
	return finish(status);
}
