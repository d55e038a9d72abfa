#include "assess/bodies.h"

#include <math.h>

bool body_amount(struct context *c, const struct rule *r, struct dimension dim, double *out, double *doubt)
{
	struct value v = r ? rule_value(c->arena, r, &c->names) : value_unknown();
	if (v.kind != VALUE_QUANTITY || !dimension_equal(v.quantity.dim, dim) || !isfinite(v.quantity.value) ||
		!isfinite(v.quantity.low) || !isfinite(v.quantity.high))
		return false;
	double unit = dimension_equal(dim, DIM_ANGLE) ? M_PI / 180 : 1;
	*out = v.quantity.value * unit;
	*doubt = fmax(v.quantity.high - v.quantity.value, v.quantity.value - v.quantity.low) * unit;
	return true;
}

void body_scope_begin(struct context *c, struct body_scope *s, const struct item *leaf, size_t order)
{
	s->leaf = (struct scope){.prefix = "leaf", .item = leaf, .key_prefix = "", .outer = c->scope};
	s->order = (struct scope){.prefix = "leaf.order",
		.value = value_of_quantity(quantity_of((double)order, DIM_NUMBER)), .outer = &s->leaf};
	if (leaf)
		c->scope = &s->order;
}

void body_scope_end(struct context *c, const struct body_scope *s)
{
	c->scope = s->leaf.outer;
}

/* ---- one body of the type ---------------------------------------------------------------------- */

struct building {
	struct context *c;
	struct body_set *set;
	const struct lib_type *type;
	bool mirrored;             /* the leaf in hand is the second one of a mirrored pair */
	double mirror, mirror_doubt;
	const struct item *leaf;
	bool several;              /* leaves */
};

static bool outline(struct building *b, const struct lib_body *lib, struct geo_body *body)
{
	struct geo_point *points = arena_array(b->c->arena, lib->count, sizeof *points);
	for (size_t i = 0; i < lib->count; i++) {
		double dx, dy;
		if (!body_amount(b->c, lib->points[i][0], DIM_LENGTH, &points[i].x, &dx) ||
			!body_amount(b->c, lib->points[i][1], DIM_LENGTH, &points[i].y, &dy))
			return false;
		body->doubt = fmax(body->doubt, hypot(dx, dy));
	}
	body->points = points;
	body->count = lib->count;
	return lib->count >= 3;
}

static bool extent_across(struct building *b, const struct lib_body *lib, struct geo_body *body)
{
	double low_doubt = 0, high_doubt = 0;
	body->low = -INFINITY;
	body->high = INFINITY;
	if (lib->from && !body_amount(b->c, lib->from, DIM_LENGTH, &body->low, &low_doubt))
		return false;
	if (lib->to && !body_amount(b->c, lib->to, DIM_LENGTH, &body->high, &high_doubt))
		return false;
	body->across_doubt = fmax(low_doubt, high_doubt);
	return true;
}

static void mirror_points(const struct building *b, struct geo_body *body)
{
	struct geo_point *turned = arena_array(b->c->arena, body->count, sizeof *turned);
	for (size_t i = 0; i < body->count; i++)
		turned[i] = (struct geo_point){2 * b->mirror - body->points[i].x, body->points[i].y};
	body->points = turned;
	body->doubt += 2 * b->mirror_doubt;
}

static void mirror_motion(const struct building *b, struct motion *m)
{
	struct motion_step *steps = arena_array(b->c->arena, m->count, sizeof *steps);
	for (size_t i = 0; i < m->count; i++) {
		steps[i] = m->steps[i];
		steps[i].by.x = steps[i].kind == MOTION_TURN ? 2 * b->mirror - steps[i].by.x : -steps[i].by.x;
		steps[i].angle = -steps[i].angle;
	}
	m->steps = steps;
}

static const struct lib_motion *motion_named(const struct lib_type *type, const char *id)
{
	for (size_t i = 0; i < type->motion_count; i++)
		if (text_equal(type->motions[i].id, id))
			return &type->motions[i];
	return NULL;
}

static bool build(struct building *b, const struct lib_body *lib, struct geo_body *body, struct moving_body *moving,
	const struct lib_motion **motion)
{
	struct context *c = b->c;
	double doubt = 0;
	bool moves = lib->moves && !text_equal(lib->moves, "no");
	*body = (struct geo_body){.id = lib->id, .role = lib->role ? lib->role : lib->id,
		.leaf = lib->per_leaf ? b->leaf : NULL, .elevation = lib->elevation, .moves = moves,
		.drawn_only = lib->drawn_only};
	body->name = body->leaf && b->several ? arena_format(c->arena, "%s@%s", lib->id, b->leaf->id) : lib->id;
	if (!outline(b, lib, body) || !extent_across(b, lib, body))
		return false;
	/* What is not known to be closed may be reached through. */
	body->open_work = lib->open_work && !context_excludes(c, lib->open_work);
	*motion = moves ? motion_named(b->type, lib->moves) : NULL;
	*moving = (struct moving_body){.count = body->count};
	if (moves && (!*motion || !body_motion(c, b->type, *motion, body, &moving->motion, &doubt)))
		return false;
	body->doubt += doubt;
	if (b->mirrored && lib->per_leaf) {
		mirror_points(b, body);
		mirror_motion(b, &moving->motion);
	}
	moving->points = body->points;
	return true;
}

/* ---- fixed objects on record ------------------------------------------------------------------- */

static bool item_amount(const struct item *item, const char *key, double *m, double *doubt)
{
	const struct fact *f = item_fact(item, key);
	if (!fact_given(f) || f->kind != FIELD_QUANTITY)
		return false;
	*m = f->quantity.value;
	*doubt += fmax(f->quantity.high - f->quantity.value, f->quantity.value - f->quantity.low);
	return true;
}

static bool asks_thickness(const struct lib_type *type)
{
	for (size_t i = 0; type && i < type->dimension_count; i++)
		if (text_equal(type->dimensions[i].id, "leaf-thickness"))
			return true;
	return false;
}

/* By tape: from the origin along the gate to the near end, and from the face of the closed leaf, or by its middle. */
static bool middle_of(struct context *c, const struct item *item, double length, double depth, struct geo_point *out,
	double *doubt)
{
	const struct lib_type *type = c->record->type;
	double ox = 0, oy = 0, unsure_x = 0, unsure_y = 0, thick = 0, along, off;
	if (type && type->origin[0] && (!body_amount(c, type->origin[0], DIM_LENGTH, &ox, &unsure_x) ||
		!body_amount(c, type->origin[1], DIM_LENGTH, &oy, &unsure_y)))
		return false;
	*doubt += hypot(unsure_x, unsure_y);
	if (item_amount(item, "x", &out->x, doubt) && item_amount(item, "y", &out->y, doubt)) {
		out->x += ox;
		out->y += oy;
		return true;
	}
	const struct fact *leaf = record_fact(c->record, "gate.dimensions.leaf-thickness");
	const struct fact *side = item_fact(item, "side");
	if (!item_amount(item, "along", &along, doubt) || !item_amount(item, "off", &off, doubt) || !fact_given(side))
		return false;
	/* Where the faces are cannot be told of a leaf that has a thickness and it is not on record. */
	if (!fact_given(leaf) && asks_thickness(type))
		return false;
	if (fact_given(leaf)) {
		thick = leaf->quantity.value;
		*doubt += fmax(leaf->quantity.high - thick, thick - leaf->quantity.low) / 2;
	}
	*out = (struct geo_point){ox + along + length / 2, oy + thick / 2 + off + depth / 2};
	if (fact_is(side, "outside"))
		out->y = oy - thick / 2 - off - depth / 2;
	return true;
}

struct span {
	double low, high;
};

/* How much higher the ground is under these points than where the gap under the leaf was measured:
 * at the free end of a turning leaf. Other leaves may follow the slope of their track or hang
 * level: there what falls does not count, and it is taken from the origin. A slope that is not on
 * record is an open point of its own. */
static struct span ground_rise(struct context *c, const struct geo_point *points, size_t count)
{
	const struct lib_type *type = c->record->type;
	const struct lib_underside *under = type && type->underside_count ? type->underside : NULL;
	const struct fact *along = record_fact(c->record, "gate.ground.slope");
	const struct fact *across = record_fact(c->record, "gate.ground.across");
	const struct item_list *leaves = record_list(c->record, "gate.leaves");
	struct body_scope scope;
	struct span rise = {INFINITY, -INFINITY};
	double end = 0, doubt = 0;
	body_scope_begin(c, &scope, leaves->count ? &leaves->items[0] : NULL, 1);
	bool turns = under && body_amount(c, under->radius, DIM_LENGTH, &end, &doubt);
	body_scope_end(c, &scope);
	for (size_t i = 0; i < count; i++) {
		double low = 0, high = 0;
		for (int side = -1; side <= 1; side += 2) {
			double x = points[i].x - end + side * doubt, y = points[i].y, up[2] = {0, 0};
			if (fact_given(along)) {
				up[0] += fmin(along->quantity.low * x, along->quantity.high * x);
				up[1] += fmax(along->quantity.low * x, along->quantity.high * x);
			}
			if (fact_given(across)) {
				up[0] += fmin(across->quantity.low * y, across->quantity.high * y);
				up[1] += fmax(across->quantity.low * y, across->quantity.high * y);
			}
			low = side < 0 ? up[0] : fmin(low, up[0]);
			high = side < 0 ? up[1] : fmax(high, up[1]);
		}
		rise.low = fmin(rise.low, turns ? low : fmax(low, 0));
		rise.high = fmax(rise.high, turns ? high : fmax(high, 0));
	}
	return rise;
}

static struct geo_point turned_corner(struct geo_point middle, double length, double depth, double turn, size_t i)
{
	double u = (i == 1 || i == 2 ? 1 : -1) * length / 2, v = (i >= 2 ? 1 : -1) * depth / 2;
	return (struct geo_point){middle.x + u * cos(turn) - v * sin(turn), middle.y + u * sin(turn) + v * cos(turn)};
}

/* In elevation a turned object is as wide, and reaches as far across the view, as its corners do. */
static void upright(struct geo_body *body, struct geo_point *p)
{
	double left = INFINITY, right = -INFINITY, top = body->high;
	body->low = INFINITY;
	body->high = -INFINITY;
	for (size_t i = 0; i < body->count; i++) {
		left = fmin(left, p[i].x);
		right = fmax(right, p[i].x);
		body->low = fmin(body->low, p[i].y);
		body->high = fmax(body->high, p[i].y);
	}
	double aside = body->doubt;
	body->doubt = hypot(body->doubt, body->across_doubt);
	body->across_doubt = aside;
	for (size_t i = 0; i < body->count; i++)
		p[i] = (struct geo_point){i == 1 || i == 2 ? right : left, i >= 2 ? top : 0};
}

static bool build_recorded(struct context *c, const struct item *item, bool elevation, struct geo_body *body)
{
	double length, depth, height, turn = 0, turn_doubt = 0, doubt = 0, unsure = 0;
	struct geo_point at;
	const struct fact *role = item_fact(item, "at"), *kind = item_fact(item, "kind");
	*body = (struct geo_body){.id = item->id, .item = item, .elevation = elevation,
		.role = fact_given(role) ? role->text : item->id,
		.name = fact_given(kind) ? arena_format(c->arena, "%s %s", kind->text, item->id) : item->id};
	if (!item_amount(item, "length", &length, &doubt) || !item_amount(item, "depth", &depth, &doubt) ||
		!item_amount(item, "height", &height, &unsure) || !middle_of(c, item, length, depth, &at, &doubt))
		return false;
	if (item_amount(item, "turn", &turn, &turn_doubt))
		doubt += hypot(length, depth) / 2 * turn_doubt * M_PI / 180;
	body->doubt = doubt;
	body->count = 4;
	struct geo_point *p = arena_array(c->arena, body->count, sizeof *p);
	for (size_t i = 0; i < body->count; i++)
		p[i] = turned_corner(at, length, depth, turn * M_PI / 180, i);
	struct span rise = ground_rise(c, p, body->count);
	body->high = height + (rise.low + rise.high) / 2;
	body->across_doubt = unsure + (rise.high - rise.low) / 2;
	if (elevation)
		upright(body, p);
	body->points = p;
	return true;
}

/* ---- all of them ------------------------------------------------------------------------------- */

static void leave_out(struct body_set *set, const struct geo_body *body)
{
	set->missing[set->left_out++] = *body;
}

static void add_body(struct building *b, const struct lib_body *lib)
{
	struct body_set *set = b->set;
	enum truth exists = lib->when ? context_test(b->c, lib->when).truth : TRUTH_YES;
	if (exists == TRUTH_NO)
		return;
	struct geo_body *body = &set->bodies[set->count];
	if (build(b, lib, body, &set->moving[set->count], &set->motions[set->count]) && exists == TRUTH_YES)
		set->count++;
	else
		leave_out(set, body);
}

/* Of a leaf that cannot be placed. */
static void leave_out_of_leaf(struct building *b, const struct lib_body *lib)
{
	struct geo_body body = {.id = lib->id, .role = lib->role ? lib->role : lib->id, .name = lib->id,
		.leaf = b->leaf, .elevation = lib->elevation, .drawn_only = lib->drawn_only};
	leave_out(b->set, &body);
}

static void add_leaf(struct building *b, const struct item_list *leaves, size_t i)
{
	struct body_scope scope;
	const struct lib_type *type = b->type;
	b->leaf = leaves->count ? &leaves->items[i] : NULL;
	b->mirrored = i == 1 && type->mirror;
	body_scope_begin(b->c, &scope, b->leaf, i + 1);
	bool known = !b->mirrored || body_amount(b->c, type->mirror, DIM_LENGTH, &b->mirror, &b->mirror_doubt);
	for (size_t k = 0; k < type->body_count; k++) {
		if (!type->bodies[k].per_leaf)
			continue;
		if (known)
			add_body(b, &type->bodies[k]);
		else
			leave_out_of_leaf(b, &type->bodies[k]);
	}
	body_scope_end(b->c, &scope);
}

struct body_set bodies_build(struct context *c)
{
	const struct item_list *around = record_list(c->record, "gate.bodies");
	const struct item_list *leaves = record_list(c->record, "gate.leaves");
	const struct lib_type *type = c->record->type;
	size_t room = (type ? type->body_count * BODY_LEAVES : 0) + 2 * around->count;
	struct body_set set = {.bodies = arena_array(c->arena, room, sizeof *set.bodies),
		.moving = arena_array(c->arena, room, sizeof *set.moving),
		.motions = arena_array(c->arena, room, sizeof *set.motions),
		.missing = arena_array(c->arena, room + leaves->count, sizeof *set.missing)};
	if (!type)
		return set;
	struct building b = {.c = c, .set = &set, .type = type, .several = leaves->count > 1};
	size_t count = leaves->count ? leaves->count : 1;
	for (size_t i = 0; i < count && i < BODY_LEAVES; i++)
		add_leaf(&b, leaves, i);
	for (size_t i = BODY_LEAVES; i < count; i++)
		leave_out(&set, &(struct geo_body){.id = "leaf", .role = "leaf", .leaf = &leaves->items[i],
			.name = arena_format(c->arena, "leaf@%s", leaves->items[i].id)});
	b.mirrored = false;
	b.leaf = NULL;
	for (size_t k = 0; k < type->body_count; k++)
		if (!type->bodies[k].per_leaf)
			add_body(&b, &type->bodies[k]);
	for (size_t i = 0; i < 2 * around->count; i++) {
		struct geo_body *body = &set.bodies[set.count];
		if (build_recorded(c, &around->items[i / 2], i % 2, body))
			set.moving[set.count++] = (struct moving_body){.points = body->points, .count = body->count};
		else if (i % 2)
			leave_out(&set, body);
	}
	return set;
}

/* ---- poses ------------------------------------------------------------------------------------- */

static void stretch_box(double box[4], struct geo_point p)
{
	box[0] = fmin(box[0], p.x);
	box[1] = fmin(box[1], p.y);
	box[2] = fmax(box[2], p.x);
	box[3] = fmax(box[3], p.y);
}

static void pose(struct context *c, struct geo_body *body, const struct moving_body *moving, double box[4])
{
	size_t poses = body->moves ? GEOMETRY_POSES : 1;
	struct geo_point *p = arena_array(c->arena, poses * body->count, sizeof *p);
	for (size_t i = 0; i < poses; i++)
		for (size_t k = 0; k < body->count; k++) {
			double t = (double)i / (GEOMETRY_POSES - 1);
			p[i * body->count + k] = motion_apply(&moving->motion, body->points[k], t);
			stretch_box(box, p[i * body->count + k]);
		}
	body->poses = body->moves ? p : NULL;
}

void bodies_pose(struct context *c, const struct body_set *set, struct geometry *out)
{
	double box[2][4] = {{INFINITY, INFINITY, -INFINITY, -INFINITY}, {INFINITY, INFINITY, -INFINITY, -INFINITY}};
	for (size_t i = 0; i < set->count; i++)
		pose(c, &set->bodies[i], &set->moving[i], box[set->bodies[i].elevation]);
	out->x0 = box[0][0];
	out->y0 = box[0][1];
	out->x1 = box[0][2];
	out->y1 = box[0][3];
	out->e0 = box[1][0];
	out->f0 = box[1][1];
	out->e1 = box[1][2];
	out->f1 = box[1][3];
}

/* ---- strips ------------------------------------------------------------------------------------ */

/* Keeps what lies on one side of a line x = at. */
static size_t cut_at(const struct geo_point *in, size_t n, double at, double side, struct geo_point *out)
{
	size_t kept = 0;
	for (size_t i = 0; i < n; i++) {
		struct geo_point p = in[i], q = in[(i + 1) % n];
		double sp = side * (p.x - at), sq = side * (q.x - at);
		if (sp >= 0)
			out[kept++] = p;
		if ((sp > 0 && sq < 0) || (sp < 0 && sq > 0))
			out[kept++] = (struct geo_point){at, p.y + (q.y - p.y) * sp / (sp - sq)};
	}
	return kept;
}

size_t body_strip(struct arena *a, const struct moving_body *body, double from, double to, struct geo_point **out)
{
	struct geo_point *half = arena_array(a, 2 * body->count, sizeof *half);
	*out = arena_array(a, 4 * body->count, sizeof **out);
	size_t n = cut_at(body->points, body->count, from, 1, half);
	return cut_at(half, n, to, -1, *out);
}
