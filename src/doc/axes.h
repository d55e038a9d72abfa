/* The frame of a plot: two axes with ticks and numbers, and where a value stands on paper. */
#ifndef DOC_AXES_H
#define DOC_AXES_H

#include "doc/tree.h"

/* Values upright begin at 0. */
struct axes {
	double left, right, bottom, top; /* mm, in the drawing */
	double x_from, x_to, y_to;       /* values at left, right and top */
};

/* Words on and around a plot are as high as this, in points. */
#define AXES_TEXT 7.5

double axes_x(const struct axes *s, double value);
/* Held within the frame. */
double axes_y(const struct axes *s, double value);

/* 1, 2 or 5 times a power of ten, so that about `about` steps fit in `span`. */
double axes_step(double span, int about);

/* The two lines, ticks at every `step` of the upright one, with the value times `unit` beside them,
 * and a light line across where `across`. */
void axes_draw(struct arena *a, struct drawing *d, const struct axes *s, double step, double unit,
	bool across);

/* A tick under the lower axis, with words whose base line is `below` mm under it. */
void axes_mark(struct arena *a, struct drawing *d, const struct axes *s, double value, double below,
	const char *words);

void axes_words(struct arena *a, struct drawing *d, double x, double y, const char *words,
	enum doc_align align);

#endif
