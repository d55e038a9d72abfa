/* Pages of draw operations: what the layout hands to a device. Origin at the lower left corner of the
 * page, y up, lengths in points (1/72 inch). */
#ifndef TYPE_OPS_H
#define TYPE_OPS_H

#include "type/line.h"

enum tag_kind {
	TAG_DOCUMENT, TAG_HEADING_1, TAG_HEADING_2, TAG_HEADING_3, TAG_TITLE, TAG_PARAGRAPH, TAG_LIST,
	TAG_ITEM, TAG_LABEL, TAG_BODY, TAG_TABLE, TAG_ROW, TAG_HEAD_CELL, TAG_CELL, TAG_FIGURE,
	TAG_CAPTION, TAG_BOX, TAG_CODE, TAG_CONTENTS, TAG_CONTENTS_ITEM, TAG_LINK,
	TAG_ROWS,
};

/* The logical structure, for readers that do not see the page. */
struct tag {
	enum tag_kind kind;
	size_t number;    /* counts from 0 in the order made */
	const char *alt;  /* figures, pictures, tables: in words; else NULL */
	int across;       /* cells: columns taken */
	struct tag *parent, *first, *last, *next;
};

enum op_kind { OP_TEXT, OP_RULE, OP_FRAME, OP_SHAPE, OP_PICTURE };

struct op {
	enum op_kind kind;
	enum face face;               /* text */
	struct tag *tag;              /* NULL: an artifact, no part of the content */
	double x, y;                  /* text: base point; rule: start; frame, picture: lower left corner;
	                                 shape: where the origin of its drawing lies */
	double width, height;         /* rule: end relative to start; frame, picture: size */
	double grey;                  /* text, rule, frame */
	double stroke, dash, gap;     /* rule, frame: line width; dash 0: solid */
	double size, turn;            /* text: points as drawn, degrees anticlockwise */
	double scale;                 /* shape: points per mm of the drawing */
	const struct glyph *glyphs;   /* text */
	size_t count;
	const struct draw *draw;      /* shape, never DRAW_TEXT */
	const struct doc_picture *picture;
	struct op *next;
};

struct link {
	double x, y, width, height;
	const char *target;           /* a label; may be unknown: then the link is not made */
	struct tag *tag;
	struct link *next;
};

struct page {
	struct op *first, *last;
	struct link *links;
};

/* A place that can be linked to. */
struct anchor {
	const char *label;
	size_t page;                  /* from 0 */
	double y;
};

struct bookmark {
	int level;                    /* 1..3 */
	const char *title;
	size_t page;
	double y;
};

struct pages {
	double width, height;
	struct page *pages;
	size_t count;
	struct anchor *anchors;       /* sorted by label, each label once */
	size_t anchor_count;
	struct bookmark *bookmarks;   /* in the order of the document */
	size_t bookmark_count;
	struct tag *tags;             /* the document tag */
	size_t tag_count;
	struct missing *missing;      /* characters that no face shows, or NULL */
};

/* The anchor called `label`, or NULL. */
const struct anchor *anchor_find(const struct pages *pages, const char *label);

#endif
