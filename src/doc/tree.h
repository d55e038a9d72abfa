/* The document tree: what a document says, before anything is known of pages. Built by the document
 * builders, typeset by `type`. All strings UTF-8, all lengths in millimetres; everything lives in one
 * arena. */
#ifndef DOC_TREE_H
#define DOC_TREE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

enum doc_kind {
	DOC_HEADING,    /* level 1..3, spans, label; numbered when `number` is set */
	DOC_PARAGRAPH,  /* spans */
	DOC_LIST,       /* children: DOC_ITEM; ordered or not */
	DOC_ITEM,       /* children: any but headings */
	DOC_TABLE,      /* columns, rows */
	DOC_FIGURE,     /* drawing, caption spans, alternative text */
	DOC_PICTURE,    /* raster picture, caption spans, alternative text */
	DOC_BOX,        /* children in a ruled box: cautions */
	DOC_LITERAL,    /* fixed-width text as it stands, wrapped at the margin with a mark */
	DOC_CONTENTS,   /* table of contents, made from the headings of level 1 and 2 */
	DOC_PAGE_BREAK,
	DOC_SPACE,      /* `space` mm */
	DOC_RULE,       /* hairline across the text width */
	DOC_SIGN,       /* a line to sign on with a caption beneath (spans), `space` mm of room above */
};

enum span_style { SPAN_BOLD = 1, SPAN_ITALIC = 2, SPAN_MONO = 4, SPAN_SMALL = 8, SPAN_GREY = 16 };

struct span {
	const char *text;    /* may hold '\n': a forced line break */
	unsigned style;      /* enum span_style bits */
	const char *target;  /* label this text links to, or NULL */
	bool page_of_target; /* text is replaced by the page number of `target` ("–" when unknown) */
	struct span *next;
};

struct spans {
	struct span *first, *last;
};

enum doc_align { ALIGN_LEFT, ALIGN_RIGHT, ALIGN_CENTRE, ALIGN_DECIMAL };

struct doc_column {
	double weight;        /* share of the width left over; 0: as wide as its content wants */
	double least;         /* mm, least width; 0: none */
	enum doc_align align;
	struct spans head;
};

struct doc_cell {
	struct spans spans;
	int across;           /* columns taken, 1 normally; 0 = covered by the cell before it */
};

struct doc_row {
	struct doc_cell *cells; /* as many as the table has columns */
	bool strong_rule;       /* a full hairline above the row: a new group begins */
	bool keep_with_next;
	const char *label;      /* target for links, or NULL */
	struct doc_row *next;
};

/* Device-free drawing. Origin at the lower left, x right, y up, millimetres on paper. */
enum draw_kind { DRAW_LINE, DRAW_POLYGON, DRAW_CIRCLE, DRAW_TEXT };

struct draw_point {
	double x, y;
};

struct draw {
	enum draw_kind kind;
	struct draw_point *points; /* line: polyline; polygon: closed; circle and text: [0] is centre / base point */
	size_t count;
	double radius;             /* circle */
	double stroke;             /* line width in mm, 0: not stroked */
	double grey;               /* stroke or text grey, 0 black … 1 white */
	double fill;               /* fill grey 0…1; negative: not filled */
	double dash, gap;          /* mm; dash 0: solid */
	const char *text;
	double size;               /* text height in points */
	enum doc_align align;      /* text: about points[0] */
	double turn;               /* text: degrees anticlockwise */
	bool bold;
	struct draw *next;
};

struct drawing {
	double width, height; /* mm */
	struct draw *first, *last;
};

/* A decoded picture: 8 bits a channel, rows top to bottom without padding. `pixels` may be NULL when one of
 * the forms that can be embedded as they are is there. */
struct doc_picture {
	int width, height, channels; /* channels 1 or 3 */
	const unsigned char *pixels;
	const unsigned char *jpeg; /* the cleaned JPEG file, when it may be embedded as it is; else NULL */
	size_t jpeg_length;
	const unsigned char *packed; /* rows filtered and packed as in PNG, embedded as they are; else NULL */
	size_t packed_length;
	int packed_bits;             /* a channel */
};

struct doc_node {
	enum doc_kind kind;
	int level;               /* heading */
	bool numbered;           /* heading, list */
	const char *label;       /* target for links and bookmarks, unique in the document, or NULL */
	struct spans spans;      /* heading, paragraph, caption */
	struct doc_node *first, *last, *next; /* children, sibling */
	struct doc_column *columns; /* table */
	size_t column_count;
	struct doc_row *first_row, *last_row;
	const char *summary;     /* table, figure, picture: alternative text */
	struct drawing *drawing; /* figure */
	const struct doc_picture *picture;
	double width;            /* picture: wanted width in mm, 0: the text width */
	double space;            /* DOC_SPACE, DOC_SIGN */
	const char *literal;     /* DOC_LITERAL */
	bool keep_with_next;
	bool small;              /* set in the small size: tables, literals */
};

/* A document with what the device needs beside the content. */
struct document {
	struct arena *arena;
	const char *title, *subject, *author, *language; /* language: BCP 47 */
	const char *head_left, *head_right;   /* running head */
	const char *foot;                     /* left part of the footer; page x of y stands right */
	const char *page_of;                  /* words for the page count, as "Page %1 of %2" */
	const char *draft;                    /* said on every page above the footer, or NULL */
	const char *stamp;                    /* ISO date for the metadata, from the record */
	const char *continued;                /* word set beside a table head repeated on a new page */
	unsigned char id[16];                 /* file identifier, from the record's digest */
	struct doc_node *first, *last;
};

struct document *document_new(struct arena *a);
struct doc_node *doc_add(struct document *d, enum doc_kind kind);
struct doc_node *doc_add_to(struct document *d, struct doc_node *parent, enum doc_kind kind);

/* Strings are kept, not copied. */
struct span *spans_add(struct arena *a, struct spans *s, const char *text, unsigned style);
struct span *spans_link(struct arena *a, struct spans *s, const char *text, const char *target);
struct span *spans_page(struct arena *a, struct spans *s, const char *target);

struct doc_node *doc_heading(struct document *d, int level, const char *text, const char *label);
struct doc_node *doc_paragraph(struct document *d, const char *text);

/* A table of `count` columns; heads and weights are set by the caller in node->columns. */
struct doc_node *doc_table(struct document *d, size_t count, const char *summary);
struct doc_row *doc_row(struct document *d, struct doc_node *table);
/* Plain text into cell `i` of `row`; "\n" breaks the line. */
struct span *doc_cell_text(struct document *d, struct doc_row *row, size_t i, const char *text);

struct drawing *drawing_new(struct arena *a, double width, double height);
struct draw *drawing_line(struct arena *a, struct drawing *d, double x0, double y0, double x1, double y1,
	double stroke);
struct draw *drawing_polyline(struct arena *a, struct drawing *d, const struct draw_point *points,
	size_t count, double stroke);
struct draw *drawing_polygon(struct arena *a, struct drawing *d, const struct draw_point *points,
	size_t count, double stroke, double fill);
struct draw *drawing_circle(struct arena *a, struct drawing *d, double x, double y, double radius,
	double stroke, double fill);
struct draw *drawing_text(struct arena *a, struct drawing *d, double x, double y, const char *text,
	double size, enum doc_align align);

/* Copies what `from` shows into `d`, moved by (x, y). Texts are shared. */
void drawing_place(struct arena *a, struct drawing *d, const struct drawing *from, double x, double y);
/* Moves all that `d` shows. */
void drawing_move(struct drawing *d, double x, double y);

/* Plain text dump of the tree, for tests. */
char *document_dump(struct arena *a, const struct document *d);

#endif
