#include "doc/template.h"

#include <cmark.h>
#include <stdint.h>
#include <string.h>

#include "base/text.h"

/* cmark's own allocator aborts when memory runs out, and its hooks carry no subject. So what it
 * allocates is taken from the arena of the document being expanded, through this one pointer, which is
 * set only while a template is parsed; leaving by the arena's escape then loses nothing. */
static _Thread_local struct arena *parsing;

struct parsed_block {
	size_t size;
	max_align_t bytes[];
};

static void *parse_calloc(size_t count, size_t size)
{
	if (size && count > (SIZE_MAX - sizeof(struct parsed_block)) / size)
		arena_exhausted(parsing);
	struct parsed_block *b = arena_alloc(parsing, sizeof *b + count * size);
	b->size = count * size;
	return b->bytes;
}

static void *parse_realloc(void *old, size_t size)
{
	void *bytes = parse_calloc(1, size);
	if (old) {
		const struct parsed_block *b =
			(const void *)((const char *)old - offsetof(struct parsed_block, bytes));
		memcpy(bytes, old, b->size < size ? b->size : size);
	}
	return bytes;
}

static void parse_free(void *bytes)
{
	(void)bytes;
}

static cmark_node *parse(struct arena *a, const char *text)
{
	cmark_mem memory = {parse_calloc, parse_realloc, parse_free};
	cmark_mem *kept = arena_alloc(a, sizeof *kept);
	*kept = memory;
	parsing = a;
	cmark_parser *parser = cmark_parser_new_with_mem(CMARK_OPT_DEFAULT, kept);
	cmark_parser_feed(parser, text, strlen(text));
	cmark_node *root = cmark_parser_finish(parser);
	cmark_consolidate_text_nodes(root);
	parsing = NULL;
	return root;
}

struct expansion {
	struct document *document;
	const struct phrase *source;
	const struct template *template;
};

static struct place place_of(const struct expansion *e, cmark_node *n)
{
	while (cmark_node_parent(n) && cmark_node_get_start_line(n) == 0)
		n = cmark_node_parent(n);
	return (struct place){e->source->at.file, cmark_node_get_start_line(n),
		cmark_node_get_start_column(n)};
}

static void report(const struct template *t, enum finding_code code, struct place at, const char *name)
{
	finding_with(t->findings, finding_add(t->findings, code, name, at), "name", name);
}

static bool is_name_character(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
		(c && strchr(".-@_", c));
}

/* The placeholder that begins at `open` ("{{"): its name, and where the text goes on. NULL: none. */
static char *placeholder(struct arena *a, const char *open, const char **rest)
{
	const char *p = open + 2;
	while (*p == ' ')
		p++;
	const char *name = p;
	while (is_name_character(*p))
		p++;
	const char *end = p;
	while (*p == ' ')
		p++;
	if (end == name || !text_begins(p, "}}"))
		return NULL;
	*rest = p + 2;
	return arena_copy(a, name, (size_t)(end - name));
}

void template_spans(struct document *d, struct spans *spans, const char *text, unsigned style,
	struct place at, const struct template *t)
{
	struct buf b;
	buf_init(&b, d->arena);
	while (*text) {
		const char *rest = text + 1, *value = NULL;
		char *name = text_begins(text, "{{") ? placeholder(d->arena, text, &rest) : NULL;
		if (name && !(value = t->value(t->subject, name)))
			report(t, FINDING_CODE_TEMPLATE_PLACEHOLDER, at, name);
		if (value)
			buf_put(&b, value);
		else
			buf_add(&b, text, (size_t)(rest - text));
		text = rest;
	}
	if (b.length)
		spans_add(d->arena, spans, b.bytes, style);
}

/* The template is the program's or the firm's own, yet may be spoilt: nesting is bounded. */
enum { DEPTH_MAX = 20 };

static void reject_markup(const struct expansion *e, cmark_node *n)
{
	const char *html = cmark_node_get_literal(n);
	if (!html || !text_begins(html, "<!--"))
		report(e->template, FINDING_CODE_TEMPLATE_MARKUP, place_of(e, n),
			cmark_node_get_type_string(n));
}

static void expand_inlines(const struct expansion *e, struct spans *s, cmark_node *parent, unsigned style,
	int depth);

static void expand_inline(const struct expansion *e, struct spans *s, cmark_node *n, unsigned style,
	int depth)
{
	struct arena *a = e->document->arena;
	switch (cmark_node_get_type(n)) {
	case CMARK_NODE_TEXT:
		template_spans(e->document, s, cmark_node_get_literal(n), style, place_of(e, n),
			e->template);
		break;
	case CMARK_NODE_SOFTBREAK:
		spans_add(a, s, " ", style);
		break;
	case CMARK_NODE_LINEBREAK:
		spans_add(a, s, "\n", style);
		break;
	case CMARK_NODE_CODE:
		spans_add(a, s, arena_string(a, cmark_node_get_literal(n)), style | SPAN_MONO);
		break;
	case CMARK_NODE_EMPH:
		expand_inlines(e, s, n, style | SPAN_ITALIC, depth + 1);
		break;
	case CMARK_NODE_STRONG:
		expand_inlines(e, s, n, style | SPAN_BOLD, depth + 1);
		break;
	case CMARK_NODE_LINK:
		expand_inlines(e, s, n, style, depth + 1);
		break;
	default:
		reject_markup(e, n);
	}
}

static void expand_inlines(const struct expansion *e, struct spans *s, cmark_node *parent, unsigned style,
	int depth)
{
	if (depth > DEPTH_MAX) {
		reject_markup(e, parent);
		return;
	}
	for (cmark_node *n = cmark_node_first_child(parent); n; n = cmark_node_next(n))
		expand_inline(e, s, n, style, depth);
}

/* "Force tests, as made" -> "force-tests-as-made" */
static const char *label_of_words(struct arena *a, const char *text)
{
	struct buf b;
	buf_init(&b, a);
	for (; *text; text++) {
		bool upper = *text >= 'A' && *text <= 'Z';
		bool plain = upper || (*text >= 'a' && *text <= 'z') || (*text >= '0' && *text <= '9');
		if (plain)
			buf_char(&b, (char)(upper ? *text - 'A' + 'a' : *text));
		else if (b.length && b.bytes[b.length - 1] != '-')
			buf_char(&b, '-');
	}
	return b.bytes;
}

static const char *text_of(struct arena *a, const struct spans *spans)
{
	struct buf b;
	buf_init(&b, a);
	for (const struct span *s = spans->first; s; s = s->next)
		buf_put(&b, s->text);
	return b.bytes;
}

/* Cuts "{#label}" off the last span of a heading and returns the label, or NULL. */
static const char *cut_label(struct arena *a, struct spans *spans)
{
	const char *open = spans->last ? strstr(spans->last->text, "{#") : NULL;
	if (!open || !text_ends(open, "}"))
		return NULL;
	const char *text = spans->last->text;
	spans->last->text = text_trim(a, arena_copy(a, text, (size_t)(open - text)));
	return arena_copy(a, open + 2, strlen(open) - 3);
}

static void expand_heading(const struct expansion *e, struct doc_node *parent, cmark_node *n)
{
	struct arena *a = e->document->arena;
	struct doc_node *h = doc_add_to(e->document, parent, DOC_HEADING);
	int level = cmark_node_get_heading_level(n);
	h->level = level > 3 ? 3 : e->template->numbered ? level : level - 1;
	h->numbered = e->template->numbered;
	h->keep_with_next = true;
	expand_inlines(e, &h->spans, n, 0, 0);
	h->label = cut_label(a, &h->spans);
	if (!h->label)
		h->label = label_of_words(a, text_of(a, &h->spans));
}

/* The name of the block when the paragraph holds nothing but {{block name}}, else NULL. */
static char *block_name(struct arena *a, cmark_node *paragraph)
{
	cmark_node *n = cmark_node_first_child(paragraph);
	if (!n || cmark_node_next(n) || cmark_node_get_type(n) != CMARK_NODE_TEXT)
		return NULL;
	const char *text = text_trim(a, cmark_node_get_literal(n));
	if (!text_begins(text, "{{block ") || !text_ends(text, "}}"))
		return NULL;
	return text_trim(a, arena_copy(a, text + 8, strlen(text) - 10));
}

/* What is said just before a block leads into it. */
static bool introduces_block(struct arena *a, cmark_node *paragraph)
{
	cmark_node *next = cmark_node_next(paragraph);
	return next && cmark_node_get_type(next) == CMARK_NODE_PARAGRAPH && block_name(a, next);
}

static void expand_paragraph(const struct expansion *e, struct doc_node *parent, cmark_node *n)
{
	const char *block = block_name(e->document->arena, n);
	if (!block) {
		struct doc_node *p = doc_add_to(e->document, parent, DOC_PARAGRAPH);
		expand_inlines(e, &p->spans, n, 0, 0);
		p->keep_with_next = introduces_block(e->document->arena, n);
	} else if (parent) {
		report(e->template, FINDING_CODE_TEMPLATE_NESTED, place_of(e, n), block);
	} else {
		struct doc_node *before = e->document->last;
		if (!e->template->block(e->template->subject, block))
			report(e->template, FINDING_CODE_TEMPLATE_BLOCK, place_of(e, n), block);
		/* A block with headings of its own may begin a page: half of one would stay empty else. */
		if (before && before->kind == DOC_PARAGRAPH && before->next &&
			before->next->kind == DOC_HEADING)
			before->keep_with_next = false;
	}
}

static void expand_children(const struct expansion *e, struct doc_node *parent, cmark_node *of, int depth);

static void expand_block(const struct expansion *e, struct doc_node *parent, cmark_node *n, int depth)
{
	struct doc_node *made = NULL;
	switch (cmark_node_get_type(n)) {
	case CMARK_NODE_HEADING:
		expand_heading(e, parent, n);
		return;
	case CMARK_NODE_PARAGRAPH:
		expand_paragraph(e, parent, n);
		return;
	case CMARK_NODE_THEMATIC_BREAK:
		doc_add_to(e->document, parent, DOC_RULE);
		return;
	case CMARK_NODE_CODE_BLOCK:
		made = doc_add_to(e->document, parent, DOC_LITERAL);
		made->literal = arena_string(e->document->arena, cmark_node_get_literal(n));
		return;
	case CMARK_NODE_BLOCK_QUOTE:
		made = doc_add_to(e->document, parent, DOC_BOX);
		break;
	case CMARK_NODE_LIST:
		made = doc_add_to(e->document, parent, DOC_LIST);
		made->numbered = cmark_node_get_list_type(n) == CMARK_ORDERED_LIST;
		break;
	case CMARK_NODE_ITEM:
		made = doc_add_to(e->document, parent, DOC_ITEM);
		break;
	default:
		reject_markup(e, n);
		return;
	}
	expand_children(e, made, n, depth + 1);
}

static void expand_children(const struct expansion *e, struct doc_node *parent, cmark_node *of, int depth)
{
	if (depth > DEPTH_MAX) {
		reject_markup(e, of);
		return;
	}
	for (cmark_node *n = cmark_node_first_child(of); n; n = cmark_node_next(n))
		expand_block(e, parent, n, depth);
}

void template_expand(struct document *d, const struct phrase *source, const struct template *t)
{
	struct expansion e = {d, source, t};
	expand_children(&e, NULL, parse(d->arena, source->text), 0);
}
