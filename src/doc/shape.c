#include "doc/shape.h"

#include <math.h>
#include <stdlib.h>

#include "base/text.h"

const struct geo_point *shape_pose(const struct geo_body *body, size_t pose)
{
	return body->poses ? body->poses + pose * body->count : body->points;
}

struct shapes shapes_of(struct builder *b, bool elevation)
{
	const struct geometry *g = b->assessment->geometry;
	struct shapes all = {.x0 = INFINITY, .y0 = INFINITY, .x1 = -INFINITY, .y1 = -INFINITY};
	if (!g)
		return all;
	all.items = arena_array(b->arena, g->body_count, sizeof *all.items);
	all.left_out = g->left_out;
	for (size_t i = 0; i < g->body_count; i++) {
		const struct geo_body *body = &g->bodies[i];
		if (body->elevation != elevation)
			continue;
		all.items[all.count++] = body;
		for (size_t k = 0; k < body->count * (body->poses ? GEOMETRY_POSES : 1); k++) {
			struct geo_point p = shape_pose(body, 0)[k];
			all.x0 = fmin(all.x0, p.x);
			all.x1 = fmax(all.x1, p.x);
			all.y0 = fmin(all.y0, p.y);
			all.y1 = fmax(all.y1, p.y);
		}
	}
	return all;
}

bool shape_is_mover(const struct geometry *g, const struct geo_body *body)
{
	bool mover = body->poses != NULL;
	for (size_t i = 0; !mover && i < g->body_count; i++) {
		const struct geo_body *other = &g->bodies[i];
		mover = other->poses && other->elevation != body->elevation && !body->item &&
			other->leaf == body->leaf && text_begins(body->role, other->role);
	}
	return mover;
}

static int by_x_then_y(const void *x, const void *y)
{
	const struct draw_point *a = x, *b = y;
	if (a->x != b->x)
		return a->x < b->x ? -1 : 1;
	return (a->y > b->y) - (a->y < b->y);
}

static double turn(struct draw_point o, struct draw_point a, struct draw_point b)
{
	return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

/* Andrew's monotone chain: lower hull from left to right, then upper hull back. */
size_t shape_swept(struct arena *a, const struct geo_body *body, size_t pose, struct draw_point **out)
{
	size_t n = body->count * 2, k = 0;
	struct draw_point *p = arena_array(a, n, sizeof *p);
	struct draw_point *hull = arena_array(a, 2 * n + 1, sizeof *hull);
	const struct geo_point *here = shape_pose(body, pose), *next = shape_pose(body, pose + 1);
	for (size_t i = 0; i < body->count; i++) {
		p[i] = (struct draw_point){here[i].x, here[i].y};
		p[body->count + i] = (struct draw_point){next[i].x, next[i].y};
	}
	qsort(p, n, sizeof *p, by_x_then_y);
	for (size_t i = 0; i < n; i++) {
		while (k >= 2 && turn(hull[k - 2], hull[k - 1], p[i]) <= 0)
			k--;
		hull[k++] = p[i];
	}
	for (size_t i = n - 1, lower = k + 1; i-- > 0;) {
		while (k >= lower && turn(hull[k - 2], hull[k - 1], p[i]) <= 0)
			k--;
		hull[k++] = p[i];
	}
	*out = hull;
	return k > 1 ? k - 1 : k;
}
