#include "calc/polygon.h"

#include <math.h>

enum { CORNERS_MAX = 24 }; /* of a merged piece: more would only make the search of features slow */

static double cross(struct geo_point o, struct geo_point a, struct geo_point b)
{
	return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

/* ---- cutting ----------------------------------------------------------------------------------- */

/* Without doubled and idle corners, anticlockwise. */
static size_t clean(struct geo_point *p, size_t n)
{
	bool changed = true;
	while (changed && n > 2) {
		changed = false;
		for (size_t i = 0; i < n && n > 2; i++) {
			struct geo_point a = p[(i + n - 1) % n], b = p[i], c = p[(i + 1) % n];
			double scale = fabs(b.x - a.x) + fabs(b.y - a.y) + fabs(c.x - b.x) + fabs(c.y - b.y);
			if (fabs(cross(a, b, c)) > 1e-12 * scale * scale)
				continue;
			for (size_t k = i; k + 1 < n; k++)
				p[k] = p[k + 1];
			n--;
			changed = true;
			break;
		}
	}
	double area = 0;
	for (size_t i = 0; i < n; i++)
		area += p[i].x * p[(i + 1) % n].y - p[(i + 1) % n].x * p[i].y;
	for (size_t i = 0; area < 0 && i < n / 2; i++) {
		struct geo_point swap = p[i];
		p[i] = p[n - 1 - i];
		p[n - 1 - i] = swap;
	}
	return n;
}

static bool is_convex(const struct geo_point *p, size_t n)
{
	for (size_t i = 0; n > 3 && i < n; i++)
		if (cross(p[i], p[(i + 1) % n], p[(i + 2) % n]) < 0)
			return false;
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

/* Takes a corner off the last piece where that leaves it convex: fewer pieces than triangles. */
static bool join_last(struct polygon *g, const struct geo_point ear[3])
{
	if (!g->piece_count)
		return false;
	struct convex *last = &g->pieces[g->piece_count - 1];
	struct geo_point joined[CORNERS_MAX + 1];
	const struct geo_point *p = &g->points[last->first];
	if (last->count >= CORNERS_MAX)
		return false;
	for (size_t i = 0; i < last->count; i++)
		for (size_t k = 0; k < 3; k++) {
			struct geo_point a = p[i], b = p[(i + 1) % last->count], c = ear[k], d = ear[(k + 1) % 3];
			if (a.x != d.x || a.y != d.y || b.x != c.x || b.y != c.y)
				continue;
			size_t n = 0;
			for (size_t m = 0; m <= i; m++)
				joined[n++] = p[m];
			joined[n++] = ear[(k + 2) % 3];
			for (size_t m = i + 1; m < last->count; m++)
				joined[n++] = p[m];
			if (!is_convex(joined, n))
				return false;
			g->count = last->first;
			for (size_t m = 0; m < n; m++)
				g->points[g->count++] = joined[m];
			last->count = n;
			return true;
		}
	return false;
}

struct polygon polygon_cut(struct arena *a, const struct geo_point *points, size_t count)
{
	struct polygon g = {.points = arena_array(a, 3 * count + 1, sizeof *g.points),
		.pieces = arena_array(a, count + 1, sizeof *g.pieces)};
	struct geo_point *p = arena_array(a, count + 1, sizeof *p);
	for (size_t i = 0; i < count; i++)
		p[i] = points[i];
	size_t n = clean(p, count);
	if (is_convex(p, n)) {
		add_piece(&g, p, n);
		return g;
	}
	while (n > 3) {
		size_t i = 0;
		while (i < n && !is_ear(p, n, i))
			i++;
		/* No ear: the outline crosses itself. Some corner goes, so that an end is reached. */
		i = i < n ? i : 0;
		struct geo_point ear[] = {p[(i + n - 1) % n], p[i], p[(i + 1) % n]};
		if (cross(ear[0], ear[1], ear[2]) < 0) {
			struct geo_point swap = ear[0];
			ear[0] = ear[2];
			ear[2] = swap;
		}
		if (!join_last(&g, ear))
			add_piece(&g, ear, 3);
		for (size_t k = i; k + 1 < n; k++)
			p[k] = p[k + 1];
		n--;
	}
	if (cross(p[0], p[1], p[2]) < 0) {
		struct geo_point swap = p[0];
		p[0] = p[2];
		p[2] = swap;
	}
	if (!join_last(&g, p))
		add_piece(&g, p, n);
	return g;
}

/* ---- distance ---------------------------------------------------------------------------------- */

struct search {
	double best;   /* square of the distance */
	size_t corner, from, to; /* the nearest corner, and the edge nearest to it */
	double u;      /* where on that edge: 0 and below at its beginning, 1 and above at its end */
	bool swapped;  /* the corner is one of the second piece */
	bool separated;
};

/* Corners of `p` against the edges of `q`. */
static void corners_to_edges(struct search *s, const struct geo_point *p, struct convex cp, const struct geo_point *q,
	struct convex cq, bool swapped)
{
	const struct geo_point *end = p + cp.first + cp.count;
	for (size_t k = 0; k < cq.count; k++) {
		size_t a = cq.first + k, b = cq.first + (k + 1 == cq.count ? 0 : k + 1);
		double ex = q[b].x - q[a].x, ey = q[b].y - q[a].y, length = ex * ex + ey * ey;
		double least = INFINITY;
		for (const struct geo_point *c = p + cp.first; c < end; c++) {
			double dx = c->x - q[a].x, dy = c->y - q[a].y;
			double out = dx * ey - dy * ex, along = dx * ex + dy * ey, far;
			least = out < least ? out : least;
			if (along <= 0)
				far = dx * dx + dy * dy;
			else if (along >= length)
				far = (dx - ex) * (dx - ex) + (dy - ey) * (dy - ey);
			else
				far = out * out / length;
			if (far >= s->best)
				continue;
			s->best = far;
			s->corner = (size_t)(c - p);
			s->from = a;
			s->to = b;
			s->u = length > 0 ? along / length : 0;
			s->swapped = swapped;
		}
		s->separated = s->separated || least >= 0;
	}
}

/* The middle of what two overlapping pieces share: `p` cut by each edge of `q`. */
static struct geo_point shared_point(const struct geo_point *p, struct convex cp, const struct geo_point *q,
	struct convex cq)
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

static struct feature feature_of(const struct search *s, const struct geo_point *p, const struct geo_point *q)
{
	const struct geo_point *cornered = s->swapped ? q : p, *edged = s->swapped ? p : q;
	struct geo_point a = edged[s->from], b = edged[s->to];
	bool within = s->u > 0 && s->u < 1;
	struct geo_point on = within ? (struct geo_point){a.x + s->u * (b.x - a.x), a.y + s->u * (b.y - a.y)}
			      : s->u >= 1 ? b : a;
	size_t other = s->u >= 1 ? s->to : s->from;
	struct feature f = {.distance = sqrt(s->best),
		.kind = !within ? FEATURE_CORNERS : s->swapped ? FEATURE_EDGE_FIRST : FEATURE_EDGE_SECOND,
		.p = s->swapped ? other : s->corner, .q = s->swapped ? s->corner : other,
		.on_p = s->swapped ? on : cornered[s->corner], .on_q = s->swapped ? cornered[s->corner] : on};
	return f;
}

struct feature convex_distance(const struct geo_point *p, struct convex cp, const struct geo_point *q, struct convex cq)
{
	struct search s = {.best = INFINITY};
	corners_to_edges(&s, p, cp, q, cq, false);
	corners_to_edges(&s, q, cq, p, cp, true);
	if (s.separated)
		return feature_of(&s, p, q);
	struct geo_point shared = shared_point(p, cp, q, cq);
	return (struct feature){.kind = FEATURE_OVERLAP, .p = cp.first, .q = cq.first, .on_p = shared, .on_q = shared};
}

static double least_out(const struct geo_point *p, struct convex cp, struct geo_point a, struct geo_point n)
{
	double least = INFINITY;
	for (size_t i = cp.first; i < cp.first + cp.count; i++)
		least = fmin(least, (p[i].x - a.x) * n.x + (p[i].y - a.y) * n.y);
	return least;
}

static void least_overlap_of(const struct geo_point *p, struct convex cp, const struct geo_point *q, struct convex cq,
	double sign, double *best, struct geo_point *normal)
{
	for (size_t k = 0; k < cq.count; k++) {
		struct geo_point a = q[cq.first + k], b = q[cq.first + (k + 1) % cq.count];
		double ex = b.x - a.x, ey = b.y - a.y, length = hypot(ex, ey);
		if (length <= 0)
			continue;
		struct geo_point n = {ey / length, -ex / length};
		double out = least_out(p, cp, a, n);
		if (out > *best) {
			*best = out;
			*normal = (struct geo_point){sign * n.x, sign * n.y};
		}
	}
}

void convex_least_overlap(const struct geo_point *p, struct convex cp, const struct geo_point *q, struct convex cq,
	struct geo_point *normal)
{
	double best = -INFINITY;
	*normal = (struct geo_point){1, 0};
	least_overlap_of(p, cp, q, cq, 1, &best, normal);
	least_overlap_of(q, cq, p, cp, -1, &best, normal);
}
