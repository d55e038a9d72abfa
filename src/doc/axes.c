#include "doc/axes.h"

#include <math.h>

#include "base/text.h"

static const double TICK = 1.2;

double axes_x(const struct axes *s, double value)
{
	return s->left + (value - s->x_from) / (s->x_to - s->x_from) * (s->right - s->left);
}

double axes_y(const struct axes *s, double value)
{
	double y = s->bottom + value / s->y_to * (s->top - s->bottom);
	return y < s->bottom ? s->bottom : y > s->top ? s->top : y;
}

double axes_step(double span, int about)
{
	double raw = span / about, power = pow(10, floor(log10(raw)));
	double lead = raw / power;
	return power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
}

void axes_words(struct arena *a, struct drawing *d, double x, double y, const char *words,
	enum doc_align align)
{
	drawing_text(a, d, x, y, words, AXES_TEXT, align);
}

void axes_draw(struct arena *a, struct drawing *d, const struct axes *s, double step, double unit,
	bool across)
{
	drawing_line(a, d, s->left, s->bottom, s->right, s->bottom, 0.2);
	drawing_line(a, d, s->left, s->bottom, s->left, s->top, 0.2);
	for (int i = 0; i * step <= s->y_to * (1 + 1e-9); i++) {
		double y = axes_y(s, i * step);
		drawing_line(a, d, s->left - TICK, y, s->left, y, 0.2);
		if (i && across)
			drawing_line(a, d, s->left, y, s->right, y, 0.08)->grey = 0.8;
		axes_words(a, d, s->left - 2, y - 0.9, text_number(a, i * step * unit, 0),
			ALIGN_RIGHT);
	}
}

void axes_mark(struct arena *a, struct drawing *d, const struct axes *s, double value, double below,
	const char *words)
{
	double x = axes_x(s, value);
	drawing_line(a, d, x, s->bottom - TICK, x, s->bottom, 0.2);
	axes_words(a, d, x, s->bottom - below, words, ALIGN_CENTRE);
}
