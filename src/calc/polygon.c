#include "calc/polygon.h"

#include <math.h>

enum { CORNERS_MAX = 24 }; /* of a merged piece: more would only make the search of features slow */

static double cross(struct geo_point o, struct geo_point a, struct geo_point b)
{
	return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

/* ---- cutting -----------------------------------------------------------------------------------
 */

/* A corner that adds nothing: doubled, or on the way straight on. */
static bool is_idle(struct geo_point a, struct geo_point b, struct geo_point c)
{
	double ux = b.x - a.x, uy = b.y - a.y, vx = c.x - b.x, vy = c.y - b.y;
	double scale = fabs(ux) + fabs(uy) + fabs(vx) + fabs(vy);
	return fabs(ux * vy - uy * vx) <= 1e-12 * scale * scale && ux * vx + uy * vy >= 0;
}

static void reverse(struct geo_point *p, size_t n)
{
	for (size_t i = 0; i < n / 2; i++) {
		struct geo_point swap = p[i];
		p[i] = p[n - 1 - i];
		p[n - 1 - i] = swap;
	}
}

/* Twice the area, less than 0 when clockwise. */
static double area_of(const struct geo_point *p, size_t n)
{
	double area = 0;
	for (size_t k = 1; k + 1 < n; k++)
		area += cross(p[0], p[k], p[k + 1]);
	return area;
}

/* Without idle corners, anticlockwise. */
static size_t clean(struct geo_point *p, size_t n)
{
	size_t idle = 0, i = 0;
	while (n > 1 && idle < n) {
		i = i < n ? i : 0;
		if (!is_idle(p[i ? i - 1 : n - 1], p[i], p[i + 1 < n ? i + 1 : 0])) {
			idle++;
			i++;
			continue;
		}
		for (size_t k = i; k + 1 < n; k++)
			p[k] = p[k + 1];
		n--;
		/* Its neighbours are looked at again. */
		i = i ? i - 1 : n - 1;
		idle = 0;
	}
	if (area_of(p, n) < 0)
		reverse(p, n);
	return n;
}

/* Turns left everywhere, never back on itself, and does not go round twice: seen from its first corner, the others
 * come up from right to left. */
static bool is_convex(const struct geo_point *p, size_t n)
{
	for (size_t i = 0; n > 3 && i < n; i++) {
		size_t k = i + 1 < n ? i + 1 : 0, m = k + 1 < n ? k + 1 : 0;
		if (cross(p[i], p[k], p[m]) <= 0 || (i && k && cross(p[0], p[i], p[k]) <= 0))
			return false;
	}
	return true;
}

static bool inside(struct geo_point a, struct geo_point b, struct geo_point c, struct geo_point p)
{
	return cross(a, b, p) >= 0 && cross(b, c, p) >= 0 && cross(c, a, p) >= 0;
}

static bool is_ear(const struct geo_point *p, size_t n, size_t i)
{
	struct geo_point a = p[(i + n - 1) % n], b = p[i], c = p[(i + 1) % n];
	if (cross(a, b, c) <= 0)
		return false;
	for (size_t k = 0; k < n; k++)
		if (k != i && k != (i + n - 1) % n && k != (i + 1) % n && inside(a, b, c, p[k]))
			return false;
	return true;
}

static void add_piece(struct polygon *g, const struct geo_point *p, size_t n)
{
	g->pieces[g->piece_count++] = (struct convex){g->count, n};
	for (size_t i = 0; i < n; i++)
		g->points[g->count++] = p[i];
}

/* Puts the tip of an ear onto the edge of piece `k` that it stands on, where that leaves the piece
 * convex. */
static bool join(struct polygon *g, size_t k, const struct geo_point ear[3])
{
	struct convex *piece = &g->pieces[k];
	struct geo_point joined[CORNERS_MAX + 1], *p = &g->points[piece->first];
	size_t n = piece->count;
	if (n >= CORNERS_MAX)
		return false;
	for (size_t e = 0; e < 3 * n; e++) {
		size_t i = e / 3, m = e % 3;
		struct geo_point a = p[i], b = p[i + 1 < n ? i + 1 : 0], c = ear[m],
				 d = ear[m < 2 ? m + 1 : 0];
		if (a.x != d.x || a.y != d.y || b.x != c.x || b.y != c.y)
			continue;
		for (size_t j = 0; j <= n; j++)
			joined[j] = j <= i ? p[j] : j == i + 1 ? ear[(m + 2) % 3] : p[j - 1];
		if (!is_convex(joined, n + 1))
			continue;
		for (size_t j = g->count; j > piece->first + n; j--)
			g->points[j] = g->points[j - 1];
		for (size_t j = 0; j <= n; j++)
			p[j] = joined[j];
		for (size_t j = k + 1; j < g->piece_count; j++)
			g->pieces[j].first++;
		piece->count++;
		g->count++;
		return true;
	}
	return false;
}

/* Onto a piece that is there already, so that there are fewer of them than triangles; else it is a
 * piece of its own. */
static void add_ear(struct polygon *g, struct geo_point ear[3])
{
	if (cross(ear[0], ear[1], ear[2]) < 0)
		reverse(ear, 3);
	for (size_t k = g->piece_count; k > 0; k--)
		if (join(g, k - 1, ear))
			return;
	add_piece(g, ear, 3);
}

static void add_outline(struct polygon *g, const struct geo_point *p, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		struct geo_point edge[] = {p[i], p[i + 1 < n ? i + 1 : 0]};
		add_piece(g, edge, 2);
	}
}

struct polygon polygon_cut(struct arena *a, const struct geo_point *points, size_t count)
{
	struct polygon g = {.points = arena_array(a, 5 * count + 1, sizeof *g.points),
		.pieces = arena_array(a, 2 * count + 1, sizeof *g.pieces)};
	struct geo_point *p = arena_array(a, count + 1, sizeof *p);
	for (size_t i = 0; i < count; i++)
		p[i] = points[i];
	size_t n = count ? clean(p, count) : 1;
	if (is_convex(p, n)) {
		add_piece(&g, p, n);
		return g;
	}
	const double area = area_of(p, n);
	double covered = 0;
	while (n >= 3) {
		size_t i = 0;
		while (i < n && !is_ear(p, n, i))
			i++;
		/* No ear: the outline crosses itself. Some corner goes, so that an end is reached.
		 */
		i = i < n ? i : 0;
		struct geo_point ear[] = {p[i ? i - 1 : n - 1], p[i], p[i + 1 < n ? i + 1 : 0]};
		covered += fabs(cross(ear[0], ear[1], ear[2]));
		add_ear(&g, ear);
		for (size_t k = i; k + 1 < n; k++)
			p[k] = p[k + 1];
		n--;
	}
	/* Triangles one over the other: what they leave out of an outline that crosses itself
	 * cannot be told, but the outline can be kept. */
	if (covered > area * (1 + 1e-9))
		add_outline(&g, points, count);
	return g;
}

/* ---- distance ----------------------------------------------------------------------------------
 */

struct search {
	double best; /* square of the distance */
	struct feature found;
	bool separated;
};

/* Corner `i` of the first list, p, in front of the edge of the second from a to b: at right angles
 * to it, or beyond an end of it. */
static void take_nearer(struct search *s, struct geo_point p, size_t i, struct geo_point at,
	size_t k, bool on_edge, bool swapped, double square)
{
	s->best = square;
	s->found = (struct feature){.kind = !on_edge  ? FEATURE_CORNERS
					    : swapped ? FEATURE_EDGE_FIRST
						      : FEATURE_EDGE_SECOND,
		.p = swapped ? k : i,
		.q = swapped ? i : k,
		.on_p = swapped ? at : p,
		.on_q = swapped ? p : at};
}

/* Corners of `p` against the edges of `q`. */
static void corners_to_edges(struct search *s, const struct geo_point *p, struct convex cp,
	const struct geo_point *q, struct convex cq, bool swapped)
{
	for (size_t k = 0; k < cq.count; k++) {
		size_t a = cq.first + k, b = cq.first + (k + 1 == cq.count ? 0 : k + 1);
		double ex = q[b].x - q[a].x, ey = q[b].y - q[a].y, length = ex * ex + ey * ey,
		       nearest = INFINITY;
		for (size_t i = cp.first; i < cp.first + cp.count; i++) {
			double dx = p[i].x - q[a].x, dy = p[i].y - q[a].y;
			double out = dx * ey - dy * ex, along = dx * ex + dy * ey;
			nearest = out < nearest ? out : nearest;
			if (along > 0 && along < length) {
				if (out * out < s->best * length)
					take_nearer(s, p[i], i,
						(struct geo_point){q[a].x + along / length * ex,
							q[a].y + along / length * ey},
						a, true, swapped, out * out / length);
				continue;
			}
			size_t c = along <= 0 ? a : b;
			double x = p[i].x - q[c].x, y = p[i].y - q[c].y;
			if (x * x + y * y < s->best)
				take_nearer(s, p[i], i, q[c], c, false, swapped, x * x + y * y);
		}
		/* An edge without length has no side. */
		s->separated = s->separated || (nearest >= 0 && length > 0);
	}
}

/* All of `p` is beyond the edge of `q` from `k`, and the nearest corner of it beside the edge. */
static bool still_over_edge(const struct geo_point *p, struct convex cp, const struct geo_point *q,
	struct convex cq, size_t k, bool swapped, struct feature *out)
{
	size_t b = k + 1 == cq.first + cq.count ? cq.first : k + 1, corner = cp.first;
	double ex = q[b].x - q[k].x, ey = q[b].y - q[k].y, length = ex * ex + ey * ey,
	       nearest = INFINITY;
	for (size_t i = cp.first; i < cp.first + cp.count; i++) {
		double beyond = (p[i].x - q[k].x) * ey - (p[i].y - q[k].y) * ex;
		corner = beyond < nearest ? i : corner;
		nearest = beyond < nearest ? beyond : nearest;
	}
	double along = (p[corner].x - q[k].x) * ex + (p[corner].y - q[k].y) * ey;
	if (!(nearest >= 0 && along > 0 && along < length))
		return false;
	struct geo_point at = {q[k].x + along / length * ex, q[k].y + along / length * ey};
	*out = (struct feature){.kind = swapped ? FEATURE_EDGE_FIRST : FEATURE_EDGE_SECOND,
		.p = swapped ? k : corner,
		.q = swapped ? corner : k,
		.distance = nearest / sqrt(length),
		.on_p = swapped ? at : p[corner],
		.on_q = swapped ? p[corner] : at};
	return true;
}

/* Across the line between both corners, neither piece has anything nearer to the other one. */
static bool still_corners(const struct geo_point *p, struct convex cp, const struct geo_point *q,
	struct convex cq, const struct feature *last, struct feature *out)
{
	struct geo_point a = p[last->p], b = q[last->q], n = {a.x - b.x, a.y - b.y};
	for (size_t i = cp.first; i < cp.first + cp.count; i++)
		if ((p[i].x - a.x) * n.x + (p[i].y - a.y) * n.y < 0)
			return false;
	for (size_t i = cq.first; i < cq.first + cq.count; i++)
		if ((q[i].x - b.x) * n.x + (q[i].y - b.y) * n.y > 0)
			return false;
	*out = *last;
	out->on_p = a;
	out->on_q = b;
	out->distance = sqrt(n.x * n.x + n.y * n.y);
	return out->distance > 0;
}

bool convex_still(const struct geo_point *p, struct convex cp, const struct geo_point *q,
	struct convex cq, const struct feature *last, struct feature *out)
{
	if (last->overlap)
		return false;
	if (last->kind == FEATURE_CORNERS)
		return still_corners(p, cp, q, cq, last, out);
	return last->kind == FEATURE_EDGE_SECOND
		       ? still_over_edge(p, cp, q, cq, last->q, false, out)
		       : still_over_edge(q, cq, p, cp, last->p, true, out);
}

/* The middle of what two overlapping pieces share: `p` cut by each edge of `q`. */
struct geo_point convex_shared(
	const struct geo_point *p, struct convex cp, const struct geo_point *q, struct convex cq)
{
	enum { MOST = 4 * CORNERS_MAX };
	struct geo_point in[MOST], out[MOST], middle = {0, 0};
	size_t n = 0;
	for (size_t i = 0; i < cp.count && n < MOST; i++)
		in[n++] = p[cp.first + i];
	for (size_t k = 0; k < cq.count; k++) {
		struct geo_point a = q[cq.first + k], b = q[cq.first + (k + 1) % cq.count];
		size_t m = 0;
		for (size_t i = 0; i < n && m + 2 < MOST; i++) {
			struct geo_point c = in[i], d = in[(i + 1) % n];
			double sc = cross(a, b, c), sd = cross(a, b, d);
			if (sc >= 0)
				out[m++] = c;
			if ((sc > 0 && sd < 0) || (sc < 0 && sd > 0))
				out[m++] = (struct geo_point){c.x + (d.x - c.x) * sc / (sc - sd),
					c.y + (d.y - c.y) * sc / (sc - sd)};
		}
		n = m;
		for (size_t i = 0; i < n; i++)
			in[i] = out[i];
	}
	for (size_t i = 0; i < n; i++) {
		middle.x += in[i].x / (double)n;
		middle.y += in[i].y / (double)n;
	}
	return n ? middle : p[cp.first];
}

/* Of two pieces, the edge of one that the other lies farthest beyond, and the corner that is nearest to it. */
struct beyond {
	double out, length; /* out / √length is how far */
	size_t edge, corner;
	bool swapped, found;
};

static void look_beyond(struct beyond *b, const struct geo_point *p, struct convex cp, const struct geo_point *q,
	struct convex cq, bool swapped)
{
	for (size_t k = 0; k < cq.count; k++) {
		size_t a = cq.first + k, e = cq.first + (k + 1 == cq.count ? 0 : k + 1), corner = cp.first;
		double ex = q[e].x - q[a].x, ey = q[e].y - q[a].y, length = ex * ex + ey * ey, least = INFINITY;
		for (size_t i = cp.first; i < cp.first + cp.count; i++) {
			double out = (p[i].x - q[a].x) * ey - (p[i].y - q[a].y) * ex;
			corner = out < least ? i : corner;
			least = out < least ? out : least;
		}
		if (least > 0 && (!b->found || least * least * b->length > b->out * b->out * length))
			*b = (struct beyond){least, length, a, corner, swapped, true};
	}
}

/* Where that corner is beside that edge, they are the nearest: nothing can be nearer than the line
 * between the pieces. */
static bool beyond_an_edge(const struct geo_point *p, struct convex cp, const struct geo_point *q, struct convex cq,
	struct feature *out)
{
	struct beyond b = {.found = false};
	look_beyond(&b, p, cp, q, cq, false);
	look_beyond(&b, q, cq, p, cp, true);
	if (!b.found)
		return false;
	const struct geo_point *edges = b.swapped ? p : q;
	struct convex piece = b.swapped ? cp : cq;
	struct geo_point at = b.swapped ? q[b.corner] : p[b.corner], from = edges[b.edge],
			 to = edges[b.edge + 1 == piece.first + piece.count ? piece.first : b.edge + 1];
	double ex = to.x - from.x, ey = to.y - from.y, along = (at.x - from.x) * ex + (at.y - from.y) * ey;
	if (!(along > 0 && along < b.length))
		return false;
	struct geo_point on = {from.x + along / b.length * ex, from.y + along / b.length * ey};
	*out = (struct feature){.kind = b.swapped ? FEATURE_EDGE_FIRST : FEATURE_EDGE_SECOND,
		.p = b.swapped ? b.edge : b.corner,
		.q = b.swapped ? b.corner : b.edge,
		.distance = b.out / sqrt(b.length),
		.on_p = b.swapped ? on : at,
		.on_q = b.swapped ? at : on};
	return true;
}

struct feature convex_distance(
	const struct geo_point *p, struct convex cp, const struct geo_point *q, struct convex cq)
{
	struct search s = {.best = INFINITY};
	struct feature f;
	if (beyond_an_edge(p, cp, q, cq, &f))
		return f;
	corners_to_edges(&s, p, cp, q, cq, false);
	corners_to_edges(&s, q, cq, p, cp, true);
	s.found.overlap = !s.separated && cp.count + cq.count > 2;
	s.found.distance = s.found.overlap ? 0 : sqrt(s.best);
	return s.found;
}

/* The greatest distance from an edge of `q` to all of `p`, less than 0 when they overlap. */
static double most_apart(const struct geo_point *p, struct convex cp, const struct geo_point *q,
	struct convex cq, struct geo_point *normal)
{
	double most = -INFINITY;
	for (size_t k = 0; k < cq.count; k++) {
		struct geo_point a = q[cq.first + k], b = q[cq.first + (k + 1) % cq.count];
		double ex = b.x - a.x, ey = b.y - a.y, length = hypot(ex, ey), least = INFINITY;
		struct geo_point n = {ey / length, -ex / length};
		for (size_t i = cp.first; i < cp.first + cp.count; i++)
			least = fmin(least, (p[i].x - a.x) * n.x + (p[i].y - a.y) * n.y);
		if (length > 0 && least > most) {
			most = least;
			*normal = n;
		}
	}
	return most;
}

struct geo_point convex_least_overlap(
	const struct geo_point *p, struct convex cp, const struct geo_point *q, struct convex cq)
{
	struct geo_point of_q = {1, 0}, of_p = {-1, 0};
	bool second = most_apart(p, cp, q, cq, &of_q) >= most_apart(q, cq, p, cp, &of_p);
	return second ? of_q : (struct geo_point){-of_p.x, -of_p.y};
}
