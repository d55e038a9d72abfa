/* What is taken on a drawing: places that words must leave free, and lines that they had better not
 * stand on. In mm. */
#ifndef DOC_ROOM_H
#define DOC_ROOM_H

#include "doc/tree.h"

struct box {
	double x0, y0, x1, y1;
};

struct room_line {
	struct draw_point from, to;
};

struct room {
	struct arena *arena;
	struct box *boxes;
	size_t box_count, box_room;
	struct room_line *lines;
	size_t line_count, line_room;
};

void room_take(struct room *r, struct box box);
void room_draw(struct room *r, struct draw_point from, struct draw_point to);
/* Every edge of a closed outline. */
void room_outline(struct room *r, const struct draw_point *points, size_t count);

/* Whether no place that is taken lies under the box. */
bool room_is_free(const struct room *r, struct box box);
/* Whether a line would run through a place that is taken. */
bool room_struck(const struct room *r, struct draw_point from, struct draw_point to);
/* How many lines run through the box. */
int room_crossed(const struct room *r, struct box box);

bool box_meets(struct box a, struct box b);
bool box_meets_line(struct box b, struct draw_point from, struct draw_point to);
/* The box around words in the size of drawings. */
struct box box_of_words(double x, double y, const char *words, enum doc_align align);

/* Distance from `p` to the line between `from` and `to`. */
double line_distance(struct draw_point p, struct draw_point from, struct draw_point to);
/* Whether two lines cross; touching at an end does not count. */
bool lines_cross(
	struct draw_point a, struct draw_point b, struct draw_point c, struct draw_point d);
bool outline_holds(const struct draw_point *points, size_t count, struct draw_point p);

#endif
