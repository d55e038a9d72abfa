#include "type/svg.h"

#include <math.h>
#include <string.h>

/* Char of XML 1.0, 2.2, without the surrogates, which utf8_decode() refuses. */
static bool is_char(uint32_t code)
{
	return code >= 0x20 ? code != 0xfffe && code != 0xffff
			    : code == '\t' || code == '\n' || code == '\r';
}

static void put_text(struct buf *out, const char *text)
{
	size_t left = strlen(text);
	while (left) {
		uint32_t code = 0;
		size_t taken = utf8_decode(text, left, &code);
		if (code == '&')
			buf_put(out, "&amp;");
		else if (code == '<')
			buf_put(out, "&lt;");
		else if (code == '>')
			buf_put(out, "&gt;");
		else if (code == '"')
			buf_put(out, "&quot;");
		else if (taken && is_char(code))
			buf_add(out, text, taken);
		text += taken ? taken : 1;
		left -= taken ? taken : 1;
	}
}

/* Hundredths of a millimetre, without the sign of a zero. */
static double tidy(double mm)
{
	double v = round(mm * 100) / 100;
	return v == 0 || !isfinite(v) ? 0 : v;
}

static int grey_level(double grey)
{
	return (int)lround(fmin(fmax(grey, 0), 1) * 255);
}

static void put_paint(struct buf *out, const struct draw *w, bool filled)
{
	int stroke = grey_level(w->grey), fill = grey_level(w->fill);
	if (filled && w->fill >= 0)
		buf_format(out, " fill=\"rgb(%d,%d,%d)\"", fill, fill, fill);
	else
		buf_put(out, " fill=\"none\"");
	if (w->stroke > 0)
		buf_format(out, " stroke=\"rgb(%d,%d,%d)\" stroke-width=\"%g\"", stroke, stroke,
			stroke, w->stroke);
	if (w->stroke > 0 && w->dash > 0)
		buf_format(out, " stroke-dasharray=\"%g %g\"", w->dash, w->gap);
	buf_put(out, "/>\n");
}

static void put_points(struct buf *out, const struct drawing *d, const struct draw *w)
{
	buf_format(out, "<%s points=\"", w->kind == DRAW_POLYGON ? "polygon" : "polyline");
	for (size_t i = 0; i < w->count; i++)
		buf_format(out, "%s%g,%g", i ? " " : "", tidy(w->points[i].x),
			tidy(d->height - w->points[i].y));
	buf_put(out, "\"");
	put_paint(out, w, w->kind == DRAW_POLYGON);
}

static void put_words(struct buf *out, const struct drawing *d, const struct draw *w)
{
	static const double POINT = 25.4 / 72;
	double x = tidy(w->points[0].x), y = tidy(d->height - w->points[0].y);
	const char *anchor = w->align == ALIGN_CENTRE  ? "middle"
			     : w->align == ALIGN_RIGHT ? "end"
						       : "start";
	int level = grey_level(w->grey);
	buf_format(out,
		"<text x=\"%g\" y=\"%g\" font-size=\"%g\" text-anchor=\"%s\" "
		"fill=\"rgb(%d,%d,%d)\"",
		x, y, tidy(w->size * POINT), anchor, level, level, level);
	if (w->bold)
		buf_put(out, " font-weight=\"bold\"");
	if (w->turn != 0)
		buf_format(out, " transform=\"rotate(%g %g %g)\"", tidy(-w->turn), x, y);
	buf_put(out, ">");
	put_text(out, w->text);
	buf_put(out, "</text>\n");
}

static void put_shape(struct buf *out, const struct drawing *d, const struct draw *w)
{
	if (!w->count)
		return;
	switch (w->kind) {
	case DRAW_LINE:
	case DRAW_POLYGON:
		put_points(out, d, w);
		break;
	case DRAW_CIRCLE:
		buf_format(out, "<circle cx=\"%g\" cy=\"%g\" r=\"%g\"", tidy(w->points[0].x),
			tidy(d->height - w->points[0].y), tidy(w->radius));
		put_paint(out, w, true);
		break;
	case DRAW_TEXT:
		if (w->text)
			put_words(out, d, w);
		break;
	}
}

void svg_write(struct buf *out, const struct drawing *d, const char *title, const char *description)
{
	buf_format(out,
		"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
		"<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"%gmm\" "
		"height=\"%gmm\" viewBox=\"0 0 %g %g\""
		" font-family=\"sans-serif\" role=\"img\">\n<title>",
		tidy(d->width), tidy(d->height), tidy(d->width), tidy(d->height));
	put_text(out, title);
	buf_put(out, "</title>\n");
	if (description) {
		buf_put(out, "<desc>");
		put_text(out, description);
		buf_put(out, "</desc>\n");
	}
	buf_format(out, "<rect width=\"%g\" height=\"%g\" fill=\"rgb(255,255,255)\"/>\n",
		tidy(d->width), tidy(d->height));
	for (const struct draw *w = d->first; w; w = w->next)
		put_shape(out, d, w);
	buf_put(out, "</svg>\n");
}
