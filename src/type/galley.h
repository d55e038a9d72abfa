/* The galley: strips of set matter, not yet cut into pages. Inside of the layout. */
#ifndef TYPE_GALLEY_H
#define TYPE_GALLEY_H

#include "type/layout.h"

#define HAIRLINE 0.4
#define TEXT_SIZE 10.5
#define TEXT_LEADING 14.0
#define TABLE_SIZE 9.5
#define TABLE_LEADING 12.0
#define SMALL_SIZE 8.5
#define SMALL_LEADING 11.0
#define GREY_TEXT 0.35
#define GREY_LINE 0.65

/* The head of a table, to be set again where the table goes on. */
struct table_head {
	double height;
	struct op *ops; /* relative to the strip as in struct strip */
};

/* A ruled box around strips; boxes may nest. */
struct box {
	double x, width;
	struct box *outer;
	double top;    /* where it begins on the page being filled; < 0: not on it */
};

struct strip_anchor {
	const char *label;
	struct strip_anchor *next;
};

struct strip {
	double height;
	double above;           /* room before it, dropped at the top of a page */
	double baseline;        /* of its first line, below its top */
	bool keep;              /* on the page of the next strip */
	bool new_page;          /* begins a page */
	bool shared;            /* the operations are also those of a head to be repeated */
	bool glue;              /* empty room: dropped at the top of a page that it did not begin */
	struct op *first, *last; /* x from the page's left edge, y from the strip's top, downwards negative */
	struct link *links;     /* likewise */
	struct strip_anchor *anchors;
	const struct doc_node *heading; /* for the bookmarks */
	const char *title;
	struct box *box;
	const struct table_head *head; /* in a table, behind its head */
	double head_gap;        /* more room below the head where it is repeated before this strip */
};

struct galley {
	struct arena *arena;
	struct setter setter;
	const struct document *document;
	struct strip **strips;
	size_t count, room;
	double pending;         /* room asked for below the last strip */
	bool new_page;          /* asked for the next strip */
	struct strip_anchor *anchors; /* for the next strip */
	struct box *box;
	struct tag *root;
	size_t tag_count;
	struct contents_entry *contents; /* all headings, in order */
	size_t contents_count, heading_next;
};

struct contents_entry {
	const struct doc_node *node;
	const char *number; /* "2.1" or "" */
	const char *title;
	const char *label;  /* the node's own or one made up */
	bool skip;          /* the heading of the contents themselves */
};

/* Where blocks are set: left edge and width, and the tag they belong under. */
struct column_box {
	double x, width;
	struct tag *tag;
	int list_depth;
};

struct tag *tag_new(struct galley *g, struct tag *parent, enum tag_kind kind);

/* A new strip at the end of the galley, with at least `above` room before it. */
struct strip *strip_add(struct galley *g, double above, double height);
struct op *strip_op(struct galley *g, struct strip *s, enum op_kind kind, struct tag *tag, double x,
	double y);
void strip_rule(struct galley *g, struct strip *s, double x, double y, double width, double grey);

/* Sets one line with its base at `y` (negative, from the strip's top). */
void strip_line(struct galley *g, struct strip *s, const struct line *line, double x, double y,
	struct tag *tag);
void strip_words(struct galley *g, struct strip *s, const char *words, const struct text_style *style,
	double x, double y, struct tag *tag);

/* On the first base line, before what the strip holds already, also in reading order. */
void strip_words_before(struct galley *g, struct strip *s, const char *words,
	const struct text_style *style, double x, struct tag *tag);

/* Sets text as strips of lines; the first and last two stay together. Returns its first strip. */
struct strip *galley_text(struct galley *g, const struct column_box *c, const struct text *t,
	double above, double leading, struct tag *tag);

void galley_nodes(struct galley *g, const struct column_box *c, const struct doc_node *first);
void galley_table(struct galley *g, const struct column_box *c, const struct doc_node *n);
void galley_figure(struct galley *g, const struct column_box *c, const struct doc_node *n);
void galley_picture(struct galley *g, const struct column_box *c, const struct doc_node *n);
void galley_contents(struct galley *g, const struct column_box *c);
void headings_collect(struct galley *g);

/* Cuts the galley into pages, with frames, repeated heads, head and foot. */
void galley_paginate(struct galley *g, struct pages *out);

#endif
