#include "doc/room.h"

#include <math.h>

#include "base/text.h"

void room_take(struct room *r, struct box box)
{
	if (r->box_count == r->box_room) {
		size_t more = r->box_room ? 2 * r->box_room : 32;
		r->boxes = arena_grow(r->arena, r->boxes, r->box_count, more, sizeof *r->boxes);
		r->box_room = more;
	}
	r->boxes[r->box_count++] = box;
}

void room_draw(struct room *r, struct draw_point from, struct draw_point to)
{
	if (r->line_count == r->line_room) {
		size_t more = r->line_room ? 2 * r->line_room : 128;
		r->lines = arena_grow(r->arena, r->lines, r->line_count, more, sizeof *r->lines);
		r->line_room = more;
	}
	r->lines[r->line_count++] = (struct room_line){from, to};
}

void room_outline(struct room *r, const struct draw_point *points, size_t count)
{
	for (size_t i = 0; i < count; i++)
		room_draw(r, points[i], points[(i + 1) % count]);
}

bool room_is_free(const struct room *r, struct box box)
{
	for (size_t i = 0; i < r->box_count; i++)
		if (box_meets(r->boxes[i], box))
			return false;
	return true;
}

bool room_struck(const struct room *r, struct draw_point from, struct draw_point to)
{
	for (size_t i = 0; i < r->box_count; i++)
		if (box_meets_line(r->boxes[i], from, to))
			return true;
	return false;
}

int room_crossed(const struct room *r, struct box box)
{
	int n = 0;
	for (size_t i = 0; i < r->line_count; i++)
		n += box_meets_line(box, r->lines[i].from, r->lines[i].to);
	return n;
}

bool box_meets(struct box a, struct box b)
{
	return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
}

/* Liang and Barsky: what is left of the line within each pair of edges. */
bool box_meets_line(struct box b, struct draw_point from, struct draw_point to)
{
	double first = 0, last = 1;
	double dx = to.x - from.x, dy = to.y - from.y;
	const double p[] = {-dx, dx, -dy, dy},
		     q[] = {from.x - b.x0, b.x1 - from.x, from.y - b.y0, b.y1 - from.y};
	for (int i = 0; i < 4; i++) {
		if (p[i] == 0) {
			if (q[i] < 0)
				return false;
			continue;
		}
		if (p[i] < 0)
			first = fmax(first, q[i] / p[i]);
		else
			last = fmin(last, q[i] / p[i]);
	}
	return first < last || (first == last && dx == 0 && dy == 0);
}

struct box box_of_words(double x, double y, const char *words, enum doc_align align)
{
	/* Wide enough for the bold of any common face. */
	static const double LETTER = 1.95, BELOW = 0.6, ABOVE = 2.2;
	double width = LETTER * (double)utf8_length(words);
	double x0 = align == ALIGN_CENTRE ? x - width / 2 : align == ALIGN_RIGHT ? x - width : x;
	return (struct box){x0, y - BELOW, x0 + width, y + ABOVE};
}

double line_distance(struct draw_point p, struct draw_point from, struct draw_point to)
{
	double dx = to.x - from.x, dy = to.y - from.y, length = dx * dx + dy * dy;
	double t = length > 0 ? ((p.x - from.x) * dx + (p.y - from.y) * dy) / length : 0;
	t = fmin(fmax(t, 0), 1);
	double x = from.x + t * dx - p.x, y = from.y + t * dy - p.y;
	return sqrt(x * x + y * y);
}

static double side(struct draw_point a, struct draw_point b, struct draw_point p)
{
	return (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
}

bool lines_cross(struct draw_point a, struct draw_point b, struct draw_point c, struct draw_point d)
{
	return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

bool outline_holds(const struct draw_point *points, size_t count, struct draw_point p)
{
	bool inside = false;
	for (size_t i = 0, k = count - 1; i < count; k = i++)
		if ((points[i].y > p.y) != (points[k].y > p.y) &&
			p.x < points[i].x + (p.y - points[i].y) / (points[k].y - points[i].y) *
						    (points[k].x - points[i].x))
			inside = !inside;
	return inside;
}
