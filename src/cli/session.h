/* One run of the program: what was asked, and where answers go. Only `cli` prints, reads clock and
 * environment, or ends the program. */
#ifndef CLI_SESSION_H
#define CLI_SESSION_H

#include <stdbool.h>
#include <stdio.h>

#include "base/finding.h"
#include "model/phrase.h"

enum exit_status { EXIT_IN_ORDER = 0, EXIT_ANSWER_NO = 1, EXIT_BAD_INPUT = 2, EXIT_SYSTEM = 3 };

struct option_row {
	const char *name;     /* "--json" */
	const char *takes;    /* word for its value in the usage, NULL: takes none */
};

struct option_value {
	const struct option_row *row;
	const char *value;
};

struct session;

struct command {
	const char *name;
	const char *arguments;          /* for the usage: "FOLDER" */
	int least, most;                /* arguments; most < 0: any number */
	const struct option_row *options; /* ends with a NULL name */
	enum exit_status (*run)(struct session *s);
};

enum { SESSION_OPTIONS = 16 };

struct session {
	struct arena *arena;
	struct phrasebook *words;
	struct findings word_findings;
	const struct command *command;
	const char **arguments;
	int argument_count;
	struct option_value options[SESSION_OPTIONS];
	int option_count;
	bool colour;                    /* stdout is a terminal and NO_COLOR is not set */
	int width;                      /* of text for people */
};

extern const struct command COMMAND_NEW, COMMAND_CHECK, COMMAND_CURVE, COMMAND_RECKON, COMMAND_EXPLAIN,
	COMMAND_BIND, COMMAND_DRAW, COMMAND_WALK;

/* All commands, ended by NULL. */
extern const struct command *const COMMANDS[];

/* The value of an option, "" when it takes none; NULL when it was not given. */
const char *session_option(const struct session *s, const char *name);

/* Words of templates/<language>/cli.yaml: "cli.<key>"; the key itself when there are none. */
const char *session_words(const struct session *s, const char *key);

/* Fills `command`, arguments and options from the command line. On failure says what would be right on
 * stderr and returns false. */
bool session_parse(struct session *s, int argc, char **argv);

void print_usage(const struct session *s, FILE *to, const struct command *command);

/* Text wrapped at the session's width: `lead` before the first line, its width in blanks before others.
 * Control characters in `text` are shown harmless. */
void print_wrapped(const struct session *s, FILE *to, const char *lead, const char *text);

/* "name: message", for people, on stderr. */
void print_error(const struct session *s, const char *about, const char *message);

/* All findings, each with its place, message, ways and source. */
void print_findings(const struct session *s, FILE *to, const struct findings *findings);

/* The line at the end of every judgement meant for people. */
void print_deferring(const struct session *s, FILE *to);

/* 2 when the input could not be read as meant, 1 when anything is open, else 0. */
enum exit_status status_of(const struct findings *findings);

#endif
