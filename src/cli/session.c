#include "cli/session.h"

#include <string.h>

#include "base/text.h"

const struct command *const COMMANDS[] = {&COMMAND_NEW, &COMMAND_WALK, &COMMAND_CHECK,
	&COMMAND_CURVE, &COMMAND_DRAW, &COMMAND_BIND, &COMMAND_RECKON, &COMMAND_EXPLAIN, NULL};

const char *session_option(const struct session *s, const char *name)
{
	for (int i = 0; i < s->option_count; i++)
		if (text_equal(s->options[i].row->name, name))
			return s->options[i].value;
	return NULL;
}

const char *session_words(const struct session *s, const char *key)
{
	const char *text = phrasebook_find(s->words, arena_format(s->arena, "cli.%s", key));
	return text ? text : key;
}

static void usage_line(const struct session *s, FILE *to, const struct command *c)
{
	const char *lead = arena_format(s->arena, "  pintle %s %s", c->name, c->arguments);
	size_t indent = utf8_length(lead) + 1, column = indent - 1;
	fputs(lead, to);
	for (const struct option_row *o = c->options; o->name; o++) {
		const char *option = arena_format(s->arena, "[%s%s%s]", o->name, o->takes ? " " : "",
			o->takes ? o->takes : "");
		column += 1 + utf8_length(option);
		if (column > (size_t)s->width) {
			fprintf(to, "\n%*s%s", (int)indent, "", option);
			column = indent + utf8_length(option);
		} else {
			fprintf(to, " %s", option);
		}
	}
	fputc('\n', to);
}

void print_usage(const struct session *s, FILE *to, const struct command *command)
{
	if (!command)
		print_wrapped(s, to, "", session_words(s, "intro"));
	fprintf(to, "%s\n", session_words(s, "usage"));
	for (const struct command *const *c = COMMANDS; *c; c++) {
		if (command && *c != command)
			continue;
		usage_line(s, to, *c);
		print_wrapped(s, to, "      ",
			session_words(s, arena_format(s->arena, "%s%s", (*c)->name, command ? "-help" : "")));
	}
	if (command)
		return;
	fputs("  pintle --version [--licences]\n  pintle --help\n", to);
	print_wrapped(s, to, "", session_words(s, "exits"));
}

static bool refuse(const struct session *s, const char *about, const char *key)
{
	print_error(s, about, session_words(s, key));
	print_usage(s, stderr, s->command);
	return false;
}

static bool find_command(struct session *s, const char *name)
{
	const char *names[16];
	size_t count = 0;
	for (const struct command *const *c = COMMANDS; *c; c++) {
		if (text_equal((*c)->name, name))
			s->command = *c;
		names[count++] = (*c)->name;
	}
	if (s->command)
		return true;
	const char *close = text_closest(name, names, count);
	print_error(s, name, session_words(s, "no-command"));
	if (close)
		print_error(s, close, session_words(s, "meant"));
	print_usage(s, stderr, NULL);
	return false;
}

static bool take_option(struct session *s, int argc, char **argv, int *i)
{
	const char *equals = strchr(argv[*i], '=');
	size_t n = equals ? (size_t)(equals - argv[*i]) : strlen(argv[*i]);
	for (const struct option_row *o = s->command->options; o->name; o++) {
		if (strlen(o->name) != n || strncmp(o->name, argv[*i], n) != 0)
			continue;
		const char *value = equals ? equals + 1 : "";
		if (o->takes && !equals) {
			if (*i + 1 >= argc)
				return refuse(s, o->name, "option-value");
			value = argv[++*i];
		}
		if (!o->takes && equals)
			return refuse(s, o->name, "option-no-value");
		if (s->option_count == SESSION_OPTIONS)
			return refuse(s, o->name, "option-many");
		s->options[s->option_count++] = (struct option_value){o, value};
		return true;
	}
	return refuse(s, argv[*i], "no-option");
}

bool session_parse(struct session *s, int argc, char **argv)
{
	bool only_arguments = false;
	if (!find_command(s, argv[1]))
		return false;
	s->arguments = arena_array(s->arena, (size_t)argc, sizeof *s->arguments);
	for (int i = 2; i < argc; i++) {
		if (!only_arguments && text_equal(argv[i], "--"))
			only_arguments = true;
		else if (!only_arguments && argv[i][0] == '-' && argv[i][1]) {
			if (!take_option(s, argc, argv, &i))
				return false;
		} else
			s->arguments[s->argument_count++] = argv[i];
	}
	if (s->argument_count < s->command->least)
		return refuse(s, s->command->name, "arguments-few");
	if (s->command->most >= 0 && s->argument_count > s->command->most)
		return refuse(s, s->command->name, "arguments-many");
	return true;
}
