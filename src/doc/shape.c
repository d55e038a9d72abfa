#include "doc/shape.h"

#include <math.h>
#include <stdlib.h>

#include "base/text.h"

static bool length_of(struct builder *b, const struct rule *r, double *m)
{
	struct value v = rule_value(b->arena, r, b->input->names);
	if (v.kind != VALUE_QUANTITY || !dimension_equal(v.quantity.dim, DIM_LENGTH) ||
		!isfinite(v.quantity.value))
		return false;
	*m = v.quantity.value;
	return true;
}

static bool present(struct builder *b, const struct lib_body *body)
{
	return !body->when || rule_test(b->arena, body->when, b->input->names).truth == TRUTH_YES;
}

static void type_shape(struct builder *b, struct shapes *all, const struct lib_body *body)
{
	struct shape s = {.id = body->id, .moves = body->moves && !text_equal(body->moves, "no"), .count = body->count,
		.points = arena_array(b->arena, body->count, sizeof *s.points)};
	for (size_t i = 0; i < body->count; i++)
		if (!length_of(b, body->points[i][0], &s.points[i].x) ||
			!length_of(b, body->points[i][1], &s.points[i].y)) {
			all->left_out++;
			return;
		}
	if (s.count >= 3)
		all->items[all->count++] = s;
}

static bool item_length(const struct item *item, const char *key, double *m)
{
	const struct fact *f = item_fact(item, key);
	*m = f->quantity.value;
	return fact_given(f) && f->kind == FIELD_QUANTITY;
}

/* A body on record is a box: in plan about its middle, which is measured from the middle of the leaf,
 * while the type's bodies count from the leaf's outer face; in elevation it stands on the ground. */
static void recorded_shape(struct builder *b, struct shapes *all, const struct item *item, bool elevation)
{
	double x, y, length, depth, height;
	bool known = item_length(item, "x", &x) && item_length(item, "y", &y) &&
		item_length(item, "length", &length) && item_length(item, "depth", &depth) &&
		item_length(item, "height", &height);
	if (!known) {
		all->left_out++;
		return;
	}
	const struct fact *f = record_fact(b->record, "gate.dimensions.leaf-thickness");
	double middle = fact_given(f) ? f->quantity.value / 2 : 0;
	double low = elevation ? 0 : y + middle - depth / 2, high = elevation ? height : low + depth;
	struct draw_point box[] = {{x - length / 2, low}, {x + length / 2, low}, {x + length / 2, high},
		{x - length / 2, high}};
	struct shape s = {.id = item->id, .recorded = true, .count = COUNT_OF(box),
		.points = arena_array(b->arena, COUNT_OF(box), sizeof *s.points)};
	for (size_t i = 0; i < COUNT_OF(box); i++)
		s.points[i] = box[i];
	all->items[all->count++] = s;
}

static void find_extent(struct shapes *all)
{
	all->x0 = all->y0 = INFINITY;
	all->x1 = all->y1 = -INFINITY;
	for (size_t i = 0; i < all->count; i++)
		for (size_t k = 0; k < all->items[i].count; k++) {
			struct draw_point p = all->items[i].points[k];
			double far = all->items[i].moves ? all->travel : 0;
			all->x0 = fmin(all->x0, p.x + fmin(far, 0));
			all->x1 = fmax(all->x1, p.x + fmax(far, 0));
			all->y0 = fmin(all->y0, p.y);
			all->y1 = fmax(all->y1, p.y);
		}
}

struct shapes shapes_of(struct builder *b, bool elevation)
{
	const struct lib_type *type = b->record->type;
	const struct item_list *around = record_list(b->record, "gate.bodies");
	size_t most = (type ? type->body_count : 0) + (around ? around->count : 0);
	struct shapes all = {.items = arena_array(b->arena, most, sizeof *all.items)};
	if (type && type->travel && !length_of(b, type->travel, &all.travel))
		all.travel = 0;
	for (size_t i = 0; type && i < type->body_count; i++)
		if (type->bodies[i].elevation == elevation && present(b, &type->bodies[i]))
			type_shape(b, &all, &type->bodies[i]);
	for (size_t i = 0; around && i < around->count; i++)
		recorded_shape(b, &all, &around->items[i], elevation);
	find_extent(&all);
	return all;
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
size_t shape_swept(struct arena *a, const struct shape *s, double travel, struct draw_point **out)
{
	size_t n = s->count * 2, k = 0;
	struct draw_point *p = arena_array(a, n, sizeof *p);
	struct draw_point *hull = arena_array(a, 2 * n + 1, sizeof *hull);
	for (size_t i = 0; i < s->count; i++) {
		p[2 * i] = s->points[i];
		p[2 * i + 1] = (struct draw_point){s->points[i].x + travel, s->points[i].y};
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
