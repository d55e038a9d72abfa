#include "yaml/tree.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <yaml.h>

#include "base/text.h"

enum {
	STRIDE = 64,   /* characters between two known byte offsets */
	EXCERPT = 60,  /* characters of a line that a message shows */
	KEY_SHOWN = 20, /* characters of an overlong key that a message shows */
};

/* One step from the root to the node being read: a key, or an entry of a list (key NULL). */
struct step {
	const char *key;
	size_t index;
};

struct reading {
	struct arena *arena;
	struct findings *findings; /* its arena holds the words of findings */
	const char *file, *bytes; /* bytes after a byte order mark */
	size_t length, skipped;   /* skipped: the byte order mark */
	uint32_t *offsets;        /* of every STRIDE-th character; libyaml counts characters */
	size_t characters;
	yaml_parser_t parser;
	yaml_event_t event;
	size_t nodes, reasons, depth;
	struct step path[TREE_DEPTH];
};

/* Both calls leave zeroed structures behind, so that releasing twice is harmless. */
static void release(void *subject)
{
	struct reading *r = subject;
	yaml_event_delete(&r->event);
	yaml_parser_delete(&r->parser);
}

static const char *path_text(struct reading *r)
{
	struct buf b;
	buf_init(&b, r->findings->arena);
	for (size_t i = 0; i < r->depth; i++) {
		const struct step *s = &r->path[i];
		if (s->key)
			buf_format(&b, "%s%s", i ? "." : "",
				text_harmless(r->findings->arena, s->key));
		else
			buf_format(&b, "[%zu]", s->index + 1);
	}
	return b.bytes;
}

static struct finding *refuse(struct reading *r, enum finding_code code, struct place at)
{
	r->reasons++;
	return finding_add(r->findings, code, path_text(r), at);
}

static void give(struct reading *r, struct finding *f, const char *name, const char *value)
{
	finding_with(r->findings, f, name, value);
}

static bool is_break(char c)
{
	return c == '\n' || c == '\r';
}

static bool is_gap(char c)
{
	return c == ' ' || c == '\t' || is_break(c);
}

static bool inside_character(char c)
{
	return ((unsigned char)c & 0xC0) == 0x80;
}

static struct place place_at(const struct reading *r, size_t offset)
{
	struct place at = {r->file, 1, 1};
	for (size_t i = 0; i < offset && i < r->length; i++) {
		bool pair = r->bytes[i] == '\r' && i + 1 < r->length && r->bytes[i + 1] == '\n';
		if (is_break(r->bytes[i]) && !pair) {
			at.line++;
			at.column = 1;
		} else if (!inside_character(r->bytes[i])) {
			at.column++;
		}
	}
	return at;
}

/* The last character that is no blank: where a complaint about the end of the file points. */
static size_t last_character(const struct reading *r)
{
	size_t end = r->length;
	while (end && is_gap(r->bytes[end - 1]))
		end--;
	if (end)
		end--;
	while (end && inside_character(r->bytes[end]))
		end--;
	return end;
}

static size_t byte_of(const struct reading *r, size_t character)
{
	if (character >= r->characters)
		return r->length;
	size_t at = r->offsets[character / STRIDE];
	for (size_t i = character % STRIDE; i; i--)
		for (at++; at < r->length && inside_character(r->bytes[at]); at++)
			;
	return at;
}

static struct place place_of(const struct reading *r, const yaml_mark_t *mark)
{
	if (mark->index >= r->characters)
		return place_at(r, last_character(r));
	return (struct place){r->file, (int)mark->line + 1, (int)mark->column + 1};
}

/* Line ends of YAML 1.1 that YAML 1.2 and text editors do not know count as damage too: two readers
 * would count different lines. */
static bool is_allowed(uint32_t c)
{
	if (c < 0x80)
		return c == '\t' || c == '\n' || c == '\r' || (c >= 0x20 && c < 0x7F);
	return c >= 0xA0 && c != 0x2028 && c != 0x2029 && c != 0xFEFF && c != 0xFFFE && c != 0xFFFF;
}

static void refuse_character(struct reading *r, size_t offset, bool formed, uint32_t c)
{
	struct place at = place_at(r, offset);
	if (formed && c == 0) {
		refuse(r, FINDING_CODE_YAML_NUL, at);
		return;
	}
	unsigned byte = (unsigned char)r->bytes[offset];
	struct finding *f = refuse(r, FINDING_CODE_YAML_ENCODING, at);
	struct arena *a = r->findings->arena;
	give(r, f, "found",
		formed ? arena_format(a, "U+%04X", (unsigned)c) : arena_format(a, "0x%02X", byte));
	finding_way(r->findings, f, formed ? "remove-character" : "save-as-utf-8");
}

/* Notes where characters begin; stops at the first one that may not stand in the file. */
static bool scan_characters(struct reading *r)
{
	r->offsets = arena_array(r->arena, r->length / STRIDE + 1, sizeof *r->offsets);
	for (size_t at = 0; at < r->length;) {
		uint32_t c = 0;
		size_t n = utf8_decode(r->bytes + at, r->length - at, &c);
		if (n == 0 || !is_allowed(c)) {
			refuse_character(r, at, n != 0, c);
			return false;
		}
		if (r->characters % STRIDE == 0)
			r->offsets[r->characters / STRIDE] = (uint32_t)at;
		r->characters++;
		at += n;
	}
	return true;
}

static size_t line_start(const struct reading *r, size_t offset)
{
	while (offset && !is_break(r->bytes[offset - 1]))
		offset--;
	return offset;
}

static const char *excerpt(struct reading *r, size_t offset, size_t most)
{
	size_t from = line_start(r, offset), to, shown = 0;
	while (from < r->length && (r->bytes[from] == ' ' || r->bytes[from] == '\t'))
		from++;
	for (to = from; to < r->length && !is_break(r->bytes[to]); to++)
		if (!inside_character(r->bytes[to]) && ++shown > most)
			break;
	char *line = text_trim(r->findings->arena, arena_copy(r->arena, r->bytes + from, to - from));
	return shown > most ? arena_format(r->findings->arena, "%s…", line) : line;
}

/* What a complaint of libyaml usually comes from. `at_start`: the fault lies where the construct
 * began, not where reading gave up. The first row whose words occur applies. */
static const struct cause {
	const char *problem, *context;
	const char *way;
	bool at_start;
} CAUSES[] = {
	{"mapping keys are not allowed", "", "quote-question-mark", false},
	{"block sequence entries are not allowed", "", "list-on-new-line", false},
	{"", "while scanning a quoted scalar", "close-quote", true},
	{"unknown escape character", "", "single-quotes", false},
	{"escape", "while parsing a quoted scalar", "single-quotes", false},
	{"expected hexdecimal number", "", "single-quotes", false},
	{"", "while parsing a flow sequence", "close-bracket", true},
	{"", "while parsing a flow mapping", "close-bracket", true},
	{"", "while scanning a block scalar", "block-text", false},
	{"", "while scanning an anchor", "quote-text", false},
	{"", "while scanning an alias", "quote-text", false},
	{"", "while scanning a tag", "quote-text", false},
	{"", "while parsing a tag", "quote-text", false},
	{"found undefined tag handle", "", "quote-text", false},
	{"cannot start any token", "", "quote-text", false},
	{"", "while scanning a plain scalar", "quote-text", false},
	{"", "while scanning a directive", "quote-text", false},
	{"expected '-' indicator", "", "indent-alike", false},
	{"expected key", "", "indent-alike", false},
	{"expected <document start>", "", "indent-alike", false},
};

static bool tab_indented(const struct reading *r, size_t offset)
{
	size_t i = line_start(r, offset);
	while (i < r->length && r->bytes[i] == ' ')
		i++;
	return i < r->length && r->bytes[i] == '\t';
}

/* Whether a colon stands between the start of the line and `end` (or its end when 0): one with a
 * blank behind it, or one with none. */
static bool has_colon(const struct reading *r, size_t offset, size_t end, bool blank_behind)
{
	for (size_t i = line_start(r, offset); i + 1 < r->length && !is_break(r->bytes[i]); i++) {
		if (end && i >= end)
			return false;
		if (r->bytes[i] == ':' && is_gap(r->bytes[i + 1]) == blank_behind)
			return true;
	}
	return false;
}

/* Something follows a closing quote or bracket on the same line. */
static bool after_closing(const struct reading *r, size_t offset)
{
	size_t i = offset;
	while (i && (r->bytes[i - 1] == ' ' || r->bytes[i - 1] == '\t'))
		i--;
	return i && strchr("'\"]}", r->bytes[i - 1]);
}

static const char *way_out(const struct reading *r, const char *problem, const char *context,
	size_t offset, size_t start, bool *at_start)
{
	*at_start = false;
	if (tab_indented(r, offset))
		return "spaces-not-tabs";
	if (strstr(problem, "a tab character"))
		return "spaces-not-tabs";
	if (strstr(problem, "mapping values are not allowed"))
		return has_colon(r, offset, offset, true) ? "quote-text" : "indent-alike";
	if (strstr(problem, "could not find expected ':'")) {
		*at_start = true;
		return has_colon(r, start, 0, false) ? "blank-after-colon" : "name-and-colon";
	}
	if (strstr(problem, "expected key") && after_closing(r, offset))
		return "quote-all";
	if (strstr(problem, "expected key") && offset < r->length && r->bytes[offset] == ':')
		return "name-and-colon";
	for (size_t i = 0; i < sizeof CAUSES / sizeof *CAUSES; i++)
		if (strstr(problem, CAUSES[i].problem) && strstr(context, CAUSES[i].context)) {
			*at_start = CAUSES[i].at_start;
			return CAUSES[i].way;
		}
	return NULL;
}

static void refuse_syntax(struct reading *r)
{
	const yaml_parser_t *p = &r->parser;
	const char *problem = p->problem ? p->problem : "";
	const char *context = p->context ? p->context : "";
	/* Where a tag finds no memory the scanner stops without naming an error. */
	if (p->error == YAML_MEMORY_ERROR || p->error == YAML_NO_ERROR)
		arena_exhausted(r->arena);
	/* A reader error carries no mark. It is not to be expected: characters were checked. */
	bool reader = p->error == YAML_READER_ERROR;
	size_t offset = reader ? p->problem_offset : byte_of(r, p->problem_mark.index);
	size_t start = byte_of(r, p->context_mark.index);
	bool at_start;
	const char *way = way_out(r, problem, context, offset, start, &at_start);
	struct place at = reader ? place_at(r, offset)
		: place_of(r, at_start ? &p->context_mark : &p->problem_mark);
	size_t shown = at_start ? start : offset;
	/* Without a path: the scanner is ahead of the tree, and a slip of indentation misleads it. */
	r->reasons++;
	struct finding *f = finding_add(r->findings, FINDING_CODE_YAML_SYNTAX, "", at);
	give(r, f, "near", excerpt(r, shown < r->length ? shown : last_character(r), EXCERPT));
	give(r, f, "reason", problem);
	if (way)
		finding_way(r->findings, f, way);
	else
		way_with(r->findings, finding_way(r->findings, f, "reader-says"), "reason", problem);
}

static bool next(struct reading *r)
{
	yaml_event_delete(&r->event);
	if (r->reasons >= TREE_REASONS)
		return false;
	if (yaml_parser_parse(&r->parser, &r->event))
		return true;
	refuse_syntax(r);
	return false;
}

static void refuse_mark(struct reading *r, enum finding_code code, const char *found)
{
	struct finding *f = refuse(r, code, place_of(r, &r->event.start_mark));
	give(r, f, "found", text_harmless(r->findings->arena, found));
}

/* An anchor and a tag would vanish from the text that the user wrote, or change what it means. */
static void check_properties(struct reading *r, const yaml_char_t *anchor, const yaml_char_t *tag)
{
	if (anchor)
		refuse_mark(r, FINDING_CODE_YAML_ALIAS,
			arena_format(r->findings->arena, "&%s", (const char *)anchor));
	if (tag)
		refuse_mark(r, FINDING_CODE_YAML_TAG, (const char *)tag);
}

static struct node *node_new(struct reading *r, enum node_kind kind)
{
	struct node *n = arena_alloc(r->arena, sizeof *n);
	n->kind = kind;
	n->at = place_of(r, &r->event.start_mark);
	n->from = byte_of(r, r->event.start_mark.index) + r->skipped;
	n->to = byte_of(r, r->event.end_mark.index) + r->skipped;
	n->text = "";
	return n;
}

static bool has_room(struct reading *r)
{
	if (++r->nodes <= TREE_NODES)
		return true;
	struct finding *f = refuse(r, FINDING_CODE_YAML_SIZE, place_of(r, &r->event.start_mark));
	give(r, f, "limit", arena_format(r->findings->arena, "%d values", TREE_NODES));
	return false;
}

static struct node *read_scalar(struct reading *r)
{
	const char *value = (const char *)r->event.data.scalar.value;
	size_t length = r->event.data.scalar.length;
	yaml_scalar_style_t style = r->event.data.scalar.style;
	struct node *n = node_new(r, NODE_SCALAR);
	check_properties(r, r->event.data.scalar.anchor, r->event.data.scalar.tag);
	if (memchr(value, '\0', length))
		refuse(r, FINDING_CODE_YAML_NUL, n->at);
	n->text = arena_copy(r->arena, value, length);
	n->plain = style == YAML_PLAIN_SCALAR_STYLE;
	/* libyaml lets block text run on over the blank lines behind it. */
	if (style == YAML_LITERAL_SCALAR_STYLE || style == YAML_FOLDED_SCALAR_STYLE)
		while (n->to > n->from && is_gap(r->bytes[n->to - r->skipped - 1]))
			n->to--;
	return n;
}

static struct node *read_node(struct reading *r);

static bool enter(struct reading *r)
{
	if (r->depth < TREE_DEPTH)
		return true;
	struct finding *f = refuse(r, FINDING_CODE_YAML_DEPTH, place_of(r, &r->event.start_mark));
	give(r, f, "limit", arena_format(r->findings->arena, "%d", TREE_DEPTH));
	return false;
}

static struct node *read_list(struct reading *r)
{
	bool flow = r->event.data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE;
	struct node *n = node_new(r, NODE_LIST);
	size_t room = 0, last = n->to;
	check_properties(r, r->event.data.sequence_start.anchor, r->event.data.sequence_start.tag);
	if (!enter(r))
		return NULL;
	while (next(r) && r->event.type != YAML_SEQUENCE_END_EVENT) {
		if (n->count == room) {
			room = room ? room * 2 : 4;
			n->items = arena_grow(r->arena, n->items, n->count, room, sizeof *n->items);
		}
		r->path[r->depth++] = (struct step){NULL, n->count};
		struct node *item = read_node(r);
		r->depth--;
		if (!item)
			return NULL;
		n->items[n->count++] = item;
		last = item->to;
	}
	if (r->event.type != YAML_SEQUENCE_END_EVENT)
		return NULL;
	/* A block collection ends with its last entry; libyaml would include what follows. */
	n->to = flow ? byte_of(r, r->event.end_mark.index) + r->skipped : last;
	return n;
}

static void refuse_key(struct reading *r, struct place at, const char *key, const char *way)
{
	struct finding *f = refuse(r, FINDING_CODE_YAML_KEY, at);
	give(r, f, "key", key);
	finding_way(r->findings, f, way);
}

/* Reads a key into `pair`; a key that is no plain name is refused and stands as "". */
static bool read_key(struct reading *r, struct node_pair *pair)
{
	bool flow_map = r->event.type == YAML_MAPPING_START_EVENT &&
		r->event.data.mapping_start.style == YAML_FLOW_MAPPING_STYLE;
	pair->key = "";
	pair->key_at = place_of(r, &r->event.start_mark);
	r->path[r->depth++] = (struct step){"", 0};
	struct node *key = read_node(r);
	r->depth--;
	if (!key)
		return false;
	size_t length = strlen(key->text);
	if (key->kind != NODE_SCALAR)
		refuse_key(r, pair->key_at, key->kind == NODE_MAP ? "{…}" : "[…]",
			flow_map ? "quote-braces" : "plain-key");
	else if (length == 0)
		refuse_key(r, pair->key_at, "?", "quote-question-mark");
	else if (key->plain && text_equal(key->text, "<<"))
		refuse_key(r, pair->key_at, "<<", "no-merge");
	else if (length > TREE_KEY)
		refuse_key(r, pair->key_at, excerpt(r, key->from - r->skipped, KEY_SHOWN), "short-key");
	else
		pair->key = key->text;
	return true;
}

static int compare_pairs(const void *x, const void *y)
{
	const struct node_pair *a = *(const struct node_pair *const *)x;
	const struct node_pair *b = *(const struct node_pair *const *)y;
	int order = strcmp(a->key, b->key);
	return order ? order : (a > b) - (a < b);
}

/* By sorting: a hash could be driven into quadratic time by a file made for it. */
static void check_duplicates(struct reading *r, struct node *map)
{
	if (map->count < 2)
		return;
	const struct node_pair **sorted = arena_array(r->arena, map->count, sizeof *sorted);
	for (size_t i = 0; i < map->count; i++)
		sorted[i] = &map->pairs[i];
	qsort(sorted, map->count, sizeof *sorted, compare_pairs);
	const struct node_pair *first = sorted[0];
	for (size_t i = 1; i < map->count && r->reasons < TREE_REASONS; i++) {
		if (!text_equal(first->key, sorted[i]->key)) {
			first = sorted[i];
		} else if (*first->key) {
			struct finding *f = refuse(r, FINDING_CODE_YAML_DUPLICATE, sorted[i]->key_at);
			give(r, f, "key", text_harmless(r->findings->arena, first->key));
			give(r, f, "line", arena_format(r->findings->arena, "%d", first->key_at.line));
		}
	}
}

static struct node *read_map(struct reading *r)
{
	bool flow = r->event.data.mapping_start.style == YAML_FLOW_MAPPING_STYLE;
	struct node *n = node_new(r, NODE_MAP);
	size_t room = 0, last = n->to;
	check_properties(r, r->event.data.mapping_start.anchor, r->event.data.mapping_start.tag);
	if (!enter(r))
		return NULL;
	while (next(r) && r->event.type != YAML_MAPPING_END_EVENT) {
		if (n->count == room) {
			room = room ? room * 2 : 4;
			n->pairs = arena_grow(r->arena, n->pairs, n->count, room, sizeof *n->pairs);
		}
		struct node_pair *pair = &n->pairs[n->count];
		if (!read_key(r, pair) || !next(r))
			return NULL;
		r->path[r->depth++] = (struct step){pair->key, 0};
		pair->value = read_node(r);
		r->depth--;
		if (!pair->value)
			return NULL;
		n->count++;
		last = pair->value->to;
	}
	if (r->event.type != YAML_MAPPING_END_EVENT)
		return NULL;
	n->to = flow ? byte_of(r, r->event.end_mark.index) + r->skipped : last;
	check_duplicates(r, n);
	return n;
}

/* Reads the node that the current event begins. NULL: reading cannot go on. */
static struct node *read_node(struct reading *r)
{
	if (!has_room(r))
		return NULL;
	switch (r->event.type) {
	case YAML_SCALAR_EVENT:
		return read_scalar(r);
	case YAML_SEQUENCE_START_EVENT:
		return read_list(r);
	case YAML_MAPPING_START_EVENT:
		return read_map(r);
	default: /* an alias: nothing else can stand for a node */
		refuse_mark(r, FINDING_CODE_YAML_ALIAS,
			arena_format(r->findings->arena, "*%s", (const char *)r->event.data.alias.anchor));
		return node_new(r, NODE_SCALAR);
	}
}

static struct node *read_document(struct reading *r)
{
	/* Stream start, then document start or the end of an empty stream. */
	if (!next(r) || !next(r))
		return NULL;
	if (r->event.type == YAML_STREAM_END_EVENT) {
		refuse(r, FINDING_CODE_YAML_EMPTY, (struct place){r->file, 1, 1});
		return NULL;
	}
	if (!next(r))
		return NULL;
	struct node *root = read_node(r);
	if (!root || !next(r) || !next(r))
		return NULL;
	if (r->event.type != YAML_STREAM_END_EVENT)
		refuse(r, FINDING_CODE_YAML_DOCUMENTS, place_of(r, &r->event.start_mark));
	else if (root->kind == NODE_SCALAR && root->plain && *root->text == '\0')
		refuse(r, FINDING_CODE_YAML_EMPTY, (struct place){r->file, 1, 1});
	return root;
}

struct node *tree_read(struct arena *a, const char *bytes, size_t length, const char *file,
	struct findings *findings)
{
	struct reading *r = arena_alloc(a, sizeof *r);
	r->arena = a;
	r->findings = findings;
	r->file = file;
	r->skipped = length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
	r->bytes = bytes + r->skipped;
	r->length = length - r->skipped;
	if (length > TREE_BYTES) {
		struct finding *f = refuse(r, FINDING_CODE_YAML_SIZE, (struct place){file, 1, 1});
		give(r, f, "limit", arena_format(findings->arena, "%d MiB", TREE_BYTES / 1024 / 1024));
		return NULL;
	}
	if (!scan_characters(r))
		return NULL;
	arena_defer(a, release, r);
	if (!yaml_parser_initialize(&r->parser))
		arena_exhausted(a);
	yaml_parser_set_encoding(&r->parser, YAML_UTF8_ENCODING);
	yaml_parser_set_input_string(&r->parser, (const unsigned char *)r->bytes, r->length);
	struct node *root = read_document(r);
	release(r);
	return r->reasons ? NULL : root;
}

struct node *node_get(const struct node *map, const char *key)
{
	if (!map || map->kind != NODE_MAP)
		return NULL;
	for (size_t i = 0; i < map->count; i++)
		if (strcmp(map->pairs[i].key, key) == 0)
			return map->pairs[i].value;
	return NULL;
}

const char *node_text(const struct node *map, const char *key)
{
	const struct node *n = node_get(map, key);
	return n && n->kind == NODE_SCALAR ? n->text : NULL;
}

static void dump_text(struct buf *b, const char *text)
{
	size_t left = strlen(text);
	buf_char(b, '"');
	while (left) {
		uint32_t c = 0;
		size_t n = utf8_decode(text, left, &c);
		if (*text == '"' || *text == '\\')
			buf_format(b, "\\%c", *text);
		else if (is_allowed(c) && c >= 0x20)
			buf_add(b, text, n);
		else
			buf_format(b, c < 0x100 ? "\\x%02X" : "\\u%04X", (unsigned)c);
		text += n;
		left -= n;
	}
	buf_char(b, '"');
}

static void dump_node(struct buf *b, const struct node *n, int depth)
{
	if (n->kind == NODE_SCALAR) {
		buf_char(b, ' ');
		dump_text(b, n->text);
		return;
	}
	if (n->count == 0) {
		buf_put(b, n->kind == NODE_MAP ? " {}" : " []");
		return;
	}
	for (size_t i = 0; i < n->count; i++) {
		buf_format(b, "\n%*s", depth * 2, "");
		if (n->kind == NODE_LIST) {
			buf_char(b, '-');
			dump_node(b, n->items[i], depth + 1);
		} else {
			dump_text(b, n->pairs[i].key);
			buf_char(b, ':');
			dump_node(b, n->pairs[i].value, depth + 1);
		}
	}
}

char *tree_dump(struct arena *a, const struct node *root)
{
	struct buf b;
	buf_init(&b, a);
	buf_put(&b, "---");
	dump_node(&b, root, 0);
	buf_char(&b, '\n');
	return b.bytes;
}
