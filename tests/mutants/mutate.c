/* Writes sources in which every comparison, every `&&` and `||`, every sum and product and every
 * constant can be switched to another one while the program runs.
 *
 *   mutate FOLDER SOURCE...
 *
 * FOLDER takes the sources of the same name and list.tsv: number, file, line, kind, what it was,
 * what it becomes, the line as it is written. Number n is in force while mutant_is(n). Works on
 * tokens: what an operator takes is found by the precedence of the operators around it. Constants
 * of constant expressions (enumerators, sizes of arrays, labels) cannot be switched; they are
 * listed with number 0.
 */
#include <ctype.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TOKENS = 20000, EDITS = 40000, SOURCE_SIZE = 1 << 20 };

enum kind { WORD, NUMBER, MARK, OTHER };

struct token {
	enum kind kind;
	const char *at;
	size_t length;
	int line;
	int match;    /* the other bracket; -1 */
	bool in_body; /* of a function */
	bool fixed;   /* within a constant expression */
	bool listed;
	bool binary;
	int precedence; /* of a binary operator; 0: none */
};

/* Text put before or after a token. */
struct edit {
	int token;
	bool before;
	int other; /* the token at the other end of what is enclosed */
	int order;
	char *text;
};

static char source[SOURCE_SIZE];
static struct token tokens[TOKENS];
static struct edit edits[EDITS];
static int token_count, edit_count, number;
static const char *replaced[TOKENS]; /* instead of the token */
static const char *file_name;
static FILE *list;

static _Noreturn void die(const char *what)
{
	fprintf(stderr, "mutate: %s: %s\n", file_name, what);
	exit(1);
}

static bool is(int i, const char *text)
{
	return i >= 0 && i < token_count && strlen(text) == tokens[i].length &&
	       memcmp(tokens[i].at, text, tokens[i].length) == 0;
}

static bool is_any(int i, const char *const *texts)
{
	for (; *texts; texts++)
		if (is(i, *texts))
			return true;
	return false;
}

__attribute__((format(printf, 1, 2))) static char *print(const char *format, ...)
{
	char *out;
	va_list v;
	va_start(v, format);
	if (vasprintf(&out, format, v) < 0)
		die("no memory");
	va_end(v);
	return out;
}

/* --- tokens
 * ---------------------------------------------------------------------------------------- */

static const char *const MARKS[] = {"<<=", ">>=", "...", "->", "++", "--", "<<", ">>",
	"<=", ">=", "==", "!=", "&&", "||", "+=", "-=", "*=", "/=", "%=", "&=", "|=", "^=", NULL};

static size_t blank(const char *p)
{
	const char *q = p;
	if (isspace((unsigned char)*p))
		return 1;
	if (p[0] == '/' && p[1] == '*') {
		q = strstr(p + 2, "*/");
		return q ? (size_t)(q + 2 - p) : strlen(p);
	}
	/* A line for the preprocessor, with those it goes on in. */
	if (*p == '#') {
		while (*q && !(*q == '\n' && q[-1] != '\\'))
			q++;
		return (size_t)(q - p);
	}
	return 0;
}

static size_t token_length(const char *p, enum kind *kind)
{
	const char *q = p;
	*kind = MARK;
	if (isalpha((unsigned char)*p) || *p == '_') {
		*kind = WORD;
		while (isalnum((unsigned char)*q) || *q == '_')
			q++;
	} else if (isdigit((unsigned char)*p) || (*p == '.' && isdigit((unsigned char)p[1]))) {
		*kind = NUMBER;
		while (isalnum((unsigned char)*q) || *q == '.' ||
			((*q == '-' || *q == '+') && strchr("eE", q[-1])))
			q++;
	} else if (*p == '"' || *p == '\'') {
		*kind = OTHER;
		for (q++; *q && *q != *p; q++)
			q += *q == '\\';
		q++;
	} else {
		for (const char *const *m = MARKS; *m; m++)
			if (strncmp(p, *m, strlen(*m)) == 0)
				return strlen(*m);
		q++;
	}
	return (size_t)(q - p);
}

static void read_tokens(void)
{
	int line = 1;
	token_count = 0;
	for (const char *p = source; *p;) {
		size_t n = blank(p);
		enum kind kind;
		if (!n) {
			if (token_count >= TOKENS)
				die("too many tokens");
			n = token_length(p, &kind);
			tokens[token_count++] = (struct token){
				.kind = kind, .at = p, .length = n, .line = line, .match = -1};
		}
		for (; n; n--)
			line += *p++ == '\n';
	}
}

static void match_brackets(void)
{
	static int open[TOKENS];
	int depth = 0;
	for (int i = 0; i < token_count; i++) {
		if (is(i, "(") || is(i, "[") || is(i, "{"))
			open[depth++] = i;
		if (is(i, ")") || is(i, "]") || is(i, "}")) {
			if (!depth)
				die("brackets");
			tokens[i].match = open[--depth];
			tokens[open[depth]].match = i;
		}
	}
}

/* --- what is where
 * ---------------------------------------------------------------------------------- */

static const char *const TYPES[] = {"char", "int", "unsigned", "signed", "long", "short", "double",
	"float", "void", "bool", "size_t", "const", "static", NULL};
static const char *const TAGGED[] = {"struct", "enum", "union", NULL};
static const char *const KEYWORDS[] = {"return", "case", "else", "do", "sizeof", "goto", NULL};
static const char *const ENDS[] = {";", ",", "{", "}", "?", ":", "=",
	"+=", "-=", "*=", "/=", "%=", "&=", "|=", "^=", "<<=", ">>=", "return", "case", "else",
	"do", NULL};

static const struct {
	const char *mark;
	int precedence;
} BINARY[] = {
	{"*", 10},
	{"/", 10},
	{"%", 10},
	{"+", 9},
	{"-", 9},
	{"<<", 8},
	{">>", 8},
	{"<", 7},
	{">", 7},
	{"<=", 7},
	{">=", 7},
	{"==", 6},
	{"!=", 6},
	{"&", 5},
	{"^", 4},
	{"|", 3},
	{"&&", 2},
	{"||", 1},
};

static bool is_type(int i)
{
	return is_any(i, TYPES) || is_any(i, TAGGED) || is_any(i - 1, TAGGED);
}

static void mark_bodies(void)
{
	for (int i = 1; i < token_count; i++) {
		if (!is(i, "{") || !is(i - 1, ")"))
			continue;
		for (int k = i; k <= tokens[i].match; k++)
			tokens[k].in_body = true;
		i = tokens[i].match;
	}
}

/* The parentheses of a cast hold a type alone. */
static bool is_cast(int close)
{
	int open = tokens[close].match;
	return is(close, ")") && is_type(open + 1) && !is(open - 1, "sizeof");
}

/* if (…) *x = …: what follows is no product. */
static bool is_condition(int close)
{
	int before = tokens[close].match - 1;
	return is(close, ")") && (is(before, "if") || is(before, "while") || is(before, "for") ||
					 is(before, "switch"));
}

static void mark_operators(void)
{
	for (int i = 1; i < token_count; i++) {
		bool after_value =
			tokens[i - 1].kind == NUMBER || tokens[i - 1].kind == OTHER ||
			is(i - 1, "]") ||
			(is(i - 1, ")") && !is_cast(i - 1) && !is_condition(i - 1)) ||
			is(i - 1, "++") || is(i - 1, "--") ||
			(tokens[i - 1].kind == WORD && !is_any(i - 1, KEYWORDS) && !is_type(i - 1));
		if (!after_value || tokens[i].kind != MARK)
			continue;
		for (size_t k = 0; k < sizeof BINARY / sizeof *BINARY; k++)
			if (is(i, BINARY[k].mark)) {
				tokens[i].binary = true;
				tokens[i].precedence = BINARY[k].precedence;
			}
	}
}

static void fix(int from, int to)
{
	for (int i = from; i <= to; i++)
		tokens[i].fixed = true;
}

static int end_of_statement(int i)
{
	while (i < token_count && !is(i, ";"))
		i = tokens[i].match > i ? tokens[i].match + 1 : i + 1;
	return i;
}

/* Labels, sizes of arrays in declarations, designators, enumerators. */
static void mark_fixed(void)
{
	for (int i = 0; i < token_count; i++) {
		if (is(i, "case")) {
			int end = i;
			while (!is(end, ":"))
				end++;
			fix(i, end);
		}
		if (is(i, "enum") && (is(i + 1, "{") || is(i + 2, "{")))
			fix(i, end_of_statement(i));
		bool size =
			is(i, "[") && (is_type(i - 2) || (is(i - 2, "*") && !tokens[i - 2].binary));
		bool designator = is(i, "[") && (is(i - 1, "{") || is(i - 1, ","));
		if ((size || designator) && tokens[i].match > 0)
			fix(i, tokens[i].match);
		/* A second name of the same declaration: double a[2], b[2]; */
		for (int k = tokens[i].match + 1; size && is(k, ",") && is(k + 2, "[");
			k = tokens[k + 2].match + 1)
			fix(k + 2, tokens[k + 2].match);
	}
}

/* --- what an operator takes
 * ------------------------------------------------------------------------- */

static int left_of(int i)
{
	int k = i - 1;
	for (;;) {
		if (k < 0 || is_any(k, ENDS) || is(k, "(") || is(k, "["))
			return k + 1;
		if (tokens[k].binary && tokens[k].precedence < tokens[i].precedence)
			return k + 1;
		/* A condition: if (…) x = … */
		if (is_condition(k))
			return k + 1;
		k = tokens[k].match >= 0 && tokens[k].match < k ? tokens[k].match - 1 : k - 1;
	}
}

static int right_of(int i)
{
	int k = i + 1;
	for (;;) {
		if (k >= token_count || is(k, ")") || is(k, "]"))
			return k - 1;
		/* The braces of a compound literal belong to it. */
		if (is_any(k, ENDS) && !(is(k, "{") && is(k - 1, ")")))
			return k - 1;
		if (tokens[k].binary && tokens[k].precedence <= tokens[i].precedence)
			return k - 1;
		k = tokens[k].match > k ? tokens[k].match + 1 : k + 1;
	}
}

/* --- macros
 * ----------------------------------------------------------------------------------------- */

/* What a constant becomes: whole numbers one more and one less, others 5 % more; tolerances a
 * thousandfold and none. */
static int other_constants(const char *at, size_t length, char **out)
{
	char *text = print("%.*s", (int)length, at);
	double value = strtod(text, NULL);
	int count = 0;
	if (!strpbrk(text, ".eE") || strncmp(text, "0x", 2) == 0) {
		out[count++] = print("%s + 1", text);
		if (value >= 1)
			out[count++] = print("%s - 1", text);
	} else if (value == 0) {
		out[count++] = print("1.0");
	} else if (value < 1e-6) {
		out[count++] = print("%s * 1000", text);
		out[count++] = print("0.0");
	} else {
		out[count++] = print("%s * 1.05", text);
	}
	return count;
}

/* One line with the constants of a macro without arguments switched. */
static char *switched_macro(const char *line, size_t length, int line_number)
{
	const char *p = line + strlen("#define "), *end = line + length;
	char *out;
	while (p < end && (isalnum((unsigned char)*p) || *p == '_'))
		p++;
	if (p < end && *p == '(')
		return print("%.*s", (int)length, line);
	out = print("%.*s", (int)(p - line), line);
	while (p < end && strncmp(p, "/*", 2) != 0) {
		enum kind kind;
		char *others[2], *text;
		size_t n = isspace((unsigned char)*p) ? 1 : token_length(p, &kind);
		text = print("%.*s", (int)n, p);
		int count = !isspace((unsigned char)*p) && kind == NUMBER
				    ? other_constants(p, n, others)
				    : 0;
		for (int k = 0; k < count; k++) {
			fprintf(list, "%d\t%s\t%d\tconstant\t%.*s\t%s\t%.*s\n", ++number, file_name,
				line_number, (int)n, p, others[k], (int)strcspn(line, "\n"), line);
			text = print("(mutant_is(%d) ? %s : %s)", number, others[k], text);
		}
		out = print("%s%s", out, text);
		p += n;
	}
	return print("%s%.*s", out, (int)(end - p), p);
}

static void switch_macros(void)
{
	char *out = print("%s", "");
	int line_number = 1;
	for (const char *p = source; *p; line_number++) {
		size_t n = strcspn(p, "\n");
		char *line = strncmp(p, "#define ", 8) == 0 ? switched_macro(p, n, line_number)
							    : print("%.*s", (int)n, p);
		out = print("%s%s\n", out, line);
		p += n + (p[n] == '\n');
	}
	if (strlen(out) >= sizeof source)
		die("too long");
	strcpy(source, out);
}

/* --- writing
 * ---------------------------------------------------------------------------------------- */

static const char *line_text(int i)
{
	const char *from = tokens[i].at, *end;
	while (from > source && from[-1] != '\n')
		from--;
	from += strspn(from, "\t ");
	end = from + strcspn(from, "\n");
	char *out = print("%.*s", (int)(end - from), from);
	for (char *p = out; *p; p++)
		*p = *p == '\t' ? ' ' : *p;
	return out;
}

static int record(int i, const char *kind, const char *becomes, bool fixed)
{
	int n = fixed ? 0 : ++number;
	fprintf(list, "%d\t%s\t%d\t%s\t%.*s\t%s\t%s\n", n, file_name, tokens[i].line, kind,
		(int)tokens[i].length, tokens[i].at, becomes, line_text(i));
	return n;
}

static void put_around(int from, int to, char *before, char *after)
{
	if (edit_count + 2 > EDITS)
		die("too many places");
	edits[edit_count] = (struct edit){from, true, to, edit_count, before};
	edit_count++;
	edits[edit_count] = (struct edit){to, false, from, edit_count, after};
	edit_count++;
}

static void switch_logic(int i, int from, int to)
{
	bool and = is(i, "&&");
	int n = record(i, "logic", and? "||" : "&&", false);
	put_around(from, i - 1, print("(!!("), print(")"));
	put_around(i + 1, to, print("!!("), and? print(") : mutant_is(%d))", n) : print("))"));
	replaced[i] = and? print(" != mutant_is(%d) ?", n)
			 : print(" != mutant_is(%d) ? !mutant_is(%d) :", n, n);
	/* The opening of the first and the closing of the second enclose both. */
	edits[edit_count - 4].other = to;
	edits[edit_count - 1].other = from;
}

static void switch_operator(int i, int from, int to, const char *kind, const char *const *others)
{
	char *text = print("l_%d %.*s r_%d", i, (int)tokens[i].length, tokens[i].at, i);
	for (; *others; others++)
		text = print("mutant_is(%d) ? l_%d %s r_%d : %s", record(i, kind, *others, false),
			i, *others, i, text);
	put_around(from, i - 1, print("({ __auto_type l_%d = (", i), print(")"));
	put_around(i + 1, to, print("("), print("); (%s); })", text));
	replaced[i] = print("; __auto_type r_%d =", i);
	edits[edit_count - 4].other = to;
	edits[edit_count - 1].other = from;
}

static const struct {
	const char *mark, *kind, *others[3];
} CHANGES[] = {
	{"<", "comparison", {"<=", ">=", NULL}},
	{"<=", "comparison", {"<", ">", NULL}},
	{">", "comparison", {">=", "<=", NULL}},
	{">=", "comparison", {">", "<", NULL}},
	{"==", "comparison", {"!=", NULL, NULL}},
	{"!=", "comparison", {"==", NULL, NULL}},
	{"+", "arithmetic", {"-", NULL, NULL}},
	{"-", "arithmetic", {"+", NULL, NULL}},
	{"*", "arithmetic", {"/", NULL, NULL}},
	{"/", "arithmetic", {"*", NULL, NULL}},
};

static void mutate_operator(int i)
{
	int from = left_of(i), to = right_of(i);
	if (is(i, "&&") || is(i, "||"))
		switch_logic(i, from, to);
	for (size_t k = 0; k < sizeof CHANGES / sizeof *CHANGES; k++)
		if (is(i, CHANGES[k].mark))
			switch_operator(i, from, to, CHANGES[k].kind, CHANGES[k].others);
}

static void mutate_constant(int i)
{
	char *others[2], *text = print("%.*s", (int)tokens[i].length, tokens[i].at);
	int count = other_constants(tokens[i].at, tokens[i].length, others);
	for (int k = 0; k < count; k++)
		text = print("mutant_is(%d) ? %s : %s", record(i, "constant", others[k], false),
			others[k], text);
	replaced[i] = print("(%s)", text);
}

/* A constant object: as many copies of it as it has mutants, each of which may take its place. */
static void mutate_static(int from, int end)
{
	int equals = from, name, k = from;
	while (equals < end && !is(equals, "="))
		equals = tokens[equals].match > equals ? tokens[equals].match + 1 : equals + 1;
	for (name = equals - 1; is(name, "]"); name = tokens[name].match - 1)
		continue;
	bool any = false, body = tokens[from].in_body;
	char *copies = print("%s", "");
	for (int i = equals; i < end; i++) {
		char *others[2];
		int count = tokens[i].kind == NUMBER && !tokens[i].fixed
				    ? other_constants(tokens[i].at, tokens[i].length, others)
				    : 0;
		for (int o = 0; o < count; o++) {
			int n = record(i, "constant", others[o], false);
			tokens[i].listed = true;
			const char *name_at = tokens[name].at, *stop = tokens[end].at;
			int length = (int)tokens[name].length,
			    head = (int)(tokens[i].at - tokens[equals].at);
			const char *tail = tokens[i].at + tokens[i].length;
			char *copy = print("static __typeof__(%.*s) %.*s_m%d %.*s (%s) %.*s;",
				length, name_at, length, name_at, n, head, tokens[equals].at,
				others[o], (int)(stop - tail), tail);
			char *set = print("memcpy((void *)&%.*s, &%.*s_m%d, sizeof %.*s);", length,
				name_at, length, name_at, n, length, name_at);
			copies = body ? print("%s %s if (mutant_is(%d)) %s", copies, copy, n, set)
				      : print("%s %s static void set_m%d(void) { %s } "
					      "__attribute__((constructor)) "
					      "static void enter_m%d(void) { mutant_setter(%d, "
					      "set_m%d); }",
						copies, copy, n, set, n, n, n);
			any = true;
		}
	}
	fix(from, end);
	if (!any)
		return;
	while (k < equals && !is(k, "const"))
		k++;
	if (k < equals)
		replaced[k] = "";
	replaced[end] = print("; %s", copies);
}

static void mutate_all(void)
{
	for (int i = 0; i < token_count; i++)
		if (is(i, "static") && (is_any(i - 1, ENDS) || i == 0)) {
			int end = end_of_statement(i), k = i;
			while (k < end && !is(k, "(") && !is(k, "="))
				k++;
			if (is(k, "="))
				mutate_static(i, end);
		}
	for (int i = 0; i < token_count; i++) {
		const struct token *t = &tokens[i];
		char *others[2];
		if (t->in_body && !t->fixed && t->binary)
			mutate_operator(i);
		else if (t->in_body && !t->fixed && t->kind == NUMBER)
			mutate_constant(i);
		else if (t->fixed && t->kind == NUMBER && !t->listed && is(i - 1, "=") &&
			 other_constants(tokens[i].at, tokens[i].length, others))
			record(i, "fixed constant", others[0], true);
	}
}

/* What opens at one token: the wider first; what closes: the narrower first. */
static int by_place(const void *x, const void *y)
{
	const struct edit *a = x, *b = y;
	if (a->token != b->token)
		return a->token - b->token;
	if (a->before != b->before)
		return a->before ? -1 : 1;
	if (a->other != b->other)
		return b->other - a->other;
	return a->order - b->order;
}

static void write_out(FILE *out)
{
	const char *from = source;
	int e = 0;
	qsort(edits, (size_t)edit_count, sizeof *edits, by_place);
	for (int i = 0; i < token_count; i++) {
		const struct token *t = &tokens[i];
		fwrite(from, 1, (size_t)(t->at - from), out);
		for (; e < edit_count && edits[e].token == i && edits[e].before; e++)
			fputs(edits[e].text, out);
		if (replaced[i])
			fputs(replaced[i], out);
		else
			fwrite(t->at, 1, t->length, out);
		for (; e < edit_count && edits[e].token == i; e++)
			fputs(edits[e].text, out);
		from = t->at + t->length;
	}
	fputs(from, out);
}

static FILE *open_in(const char *folder, const char *name)
{
	FILE *f = fopen(print("%s/%s", folder, name), "w");
	if (!f)
		die("cannot write");
	return f;
}

int main(int argc, char **argv)
{
	file_name = argc > 1 ? argv[1] : "";
	if (argc < 3)
		die("usage: mutate FOLDER SOURCE...");
	list = open_in(argv[1], "list.tsv");
	for (int a = 2; a < argc; a++) {
		file_name = argv[a];
		FILE *in = fopen(argv[a], "r");
		if (!in)
			die("cannot read");
		source[fread(source, 1, sizeof source - 1, in)] = '\0';
		fclose(in);
		edit_count = 0;
		memset(replaced, 0, sizeof replaced);
		switch_macros();
		read_tokens();
		match_brackets();
		mark_bodies();
		mark_operators();
		mark_fixed();
		mutate_all();
		const char *slash = strrchr(argv[a], '/');
		FILE *out = open_in(argv[1], slash ? slash + 1 : argv[a]);
		write_out(out);
		fclose(out);
	}
	fclose(list);
	return 0;
}
