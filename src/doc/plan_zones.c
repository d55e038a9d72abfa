/* The numbers of the zones. Zones that lie at one place share a line and stand in a row. Each row
 * takes the nearest place at which it covers nothing and its line crosses no words; then each in
 * turn moves to where it does better among the others. Nothing here is left to chance: the same
 * gate gives the same drawing. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "doc/plan.h"

static const double RADIUS = 2.6, STEP = 5.6; /* of a balloon; from one to the next in a row */
static const double CELL = 2.8, MARGIN = 20;  /* of the places tried; above and below the extent */
static const double SAME = 1.2;               /* nearer than this is the same place */
/* A step is CELLS cells: every balloon of a row stands in the middle of a cell. */
enum { TOGETHER = 6, FAR = 22, CELLS = 2, PASSES = 4, WAYS = 4 };
static const struct {
	int x, y;
} WAY[WAYS] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};

/* What a place costs beside the length of its line, mm. */
static const double CROSSES = 25, COVERS = 60, PASSES_DOT = 8, UPRIGHT = 2;
static const double BESIDE = 0.3, DOT = 0.7; /* of lines from balloons and dots */

struct group {
	struct draw_point site;
	const struct zone_result *zones[TOGETHER];
	size_t count;
	bool placed;
	struct draw_point at; /* of the first balloon, and its cell */
	int column, row;
	size_t way; /* to the others */
};

struct offset {
	signed char x, y;
};

struct layout {
	struct view *v;
	struct group *groups;
	size_t count;
	int columns, rows;
	double x0, y0;          /* of the first cell */
	unsigned char *blocked; /* never to be taken */
	unsigned char *taken;   /* by how many balloons, those about them counted */
	struct offset *offsets; /* nearest first */
	size_t offset_count;
};

static struct draw_point balloon(const struct group *g, size_t i)
{
	return (struct draw_point){g->at.x + (double)i * STEP * WAY[g->way].x,
		g->at.y + (double)i * STEP * WAY[g->way].y};
}

/* ---- which, and where they lie -----------------------------------------------------------------
 */

static void add_zone(struct layout *l, const struct zone_result *z, struct draw_point site)
{
	for (size_t i = 0; i < l->count; i++) {
		struct group *g = &l->groups[i];
		if (g->count < TOGETHER && hypot(g->site.x - site.x, g->site.y - site.y) < SAME) {
			g->zones[g->count++] = z;
			return;
		}
	}
	l->groups[l->count++] = (struct group){.site = site, .zones = {z}, .count = 1};
}

static int by_site(const void *x, const void *y)
{
	const struct group *a = x, *b = y;
	if (a->site.x != b->site.x)
		return a->site.x < b->site.x ? -1 : 1;
	if (a->site.y != b->site.y)
		return a->site.y < b->site.y ? -1 : 1;
	return (a->zones[0]->number > b->zones[0]->number) -
	       (a->zones[0]->number < b->zones[0]->number);
}

static void gather(struct layout *l)
{
	const struct assessment *s = l->v->b->assessment;
	l->groups = arena_array(l->v->b->arena, s->zone_count, sizeof *l->groups);
	for (size_t i = 0; i < s->zone_count; i++) {
		const struct zone_result *z = &s->zones[i];
		bool placed = l->v->elevation ? z->has_elevation : z->has_plan;
		struct draw_point p = plan_place(l->v, l->v->elevation ? z->elevation_x : z->plan_x,
			l->v->elevation ? z->elevation_y : z->plan_y);
		if (placed && isfinite(p.x) && isfinite(p.y) && p.x >= 0 && p.x <= PLAN_WIDTH &&
			p.y >= l->v->bottom - MARGIN && p.y <= l->v->top + MARGIN)
			add_zone(l, z, p);
	}
	if (l->count)
		qsort(l->groups, l->count, sizeof *l->groups, by_site);
}

/* ---- places that a balloon can take ------------------------------------------------------------
 */

static struct draw_point cell_centre(const struct layout *l, int column, int row)
{
	return (struct draw_point){l->x0 + column * CELL, l->y0 + row * CELL};
}

static int within(double value, int count)
{
	return value < 0 ? 0 : value > count - 1 ? count - 1 : (int)value;
}

/* Blocks the cells in `box` whose centre `taken` tells to be. */
static void block(struct layout *l, struct box box,
	bool (*taken)(const void *what, struct draw_point p), const void *what)
{
	int from = within(floor((box.x0 - l->x0) / CELL), l->columns),
	    to = within(ceil((box.x1 - l->x0) / CELL), l->columns);
	int low = within(floor((box.y0 - l->y0) / CELL), l->rows),
	    high = within(ceil((box.y1 - l->y0) / CELL), l->rows);
	for (int row = low; row <= high; row++)
		for (int column = from; column <= to; column++)
			if (taken(what, cell_centre(l, column, row)))
				l->blocked[row * l->columns + column] = 1;
}

static const double CLEAR = 3.1; /* of the centre of a balloon from what it must not touch */

static bool near_line(const void *what, struct draw_point p)
{
	const struct room_line *line = what;
	return line_distance(p, line->from, line->to) < CLEAR;
}

static bool near_box(const void *what, struct draw_point p)
{
	const struct box *b = what;
	double dx = fmax(fmax(b->x0 - p.x, p.x - b->x1), 0),
	       dy = fmax(fmax(b->y0 - p.y, p.y - b->y1), 0);
	return hypot(dx, dy) < CLEAR;
}

struct outline {
	const struct draw_point *points;
	size_t count;
};

static bool inside_outline(const void *what, struct draw_point p)
{
	const struct outline *o = what;
	return outline_holds(o->points, o->count, p);
}

static struct box around(struct draw_point a, struct draw_point b, double by)
{
	return (struct box){
		fmin(a.x, b.x) - by, fmin(a.y, b.y) - by, fmax(a.x, b.x) + by, fmax(a.y, b.y) + by};
}

/* Bodies that stand around the gate are filled in plan: nothing is written on them. In elevation they may lie behind
 * all of it. */
static void block_bodies(struct layout *l)
{
	const struct view *v = l->v;
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct geo_body *body = v->shapes.items[i];
		if (!body->item || v->elevation)
			continue;
		struct outline o = {plan_outline(v, body->points, body->count), body->count};
		struct box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
		for (size_t k = 0; k < o.count; k++) {
			struct box corner = around(o.points[k], o.points[k], 0);
			box = (struct box){fmin(box.x0, corner.x0), fmin(box.y0, corner.y0),
				fmax(box.x1, corner.x1), fmax(box.y1, corner.y1)};
		}
		block(l, box, inside_outline, &o);
	}
}

static void block_taken(struct layout *l)
{
	const struct room *r = &l->v->room;
	for (size_t i = 0; i < r->line_count; i++)
		block(l, around(r->lines[i].from, r->lines[i].to, CLEAR), near_line, &r->lines[i]);
	for (size_t i = 0; i < r->box_count; i++) {
		struct box b = r->boxes[i];
		block(l, (struct box){b.x0 - CLEAR, b.y0 - CLEAR, b.x1 + CLEAR, b.y1 + CLEAR},
			near_box, &b);
	}
	for (size_t i = 0; i < l->count; i++) {
		struct room_line dot = {l->groups[i].site, l->groups[i].site};
		block(l, around(dot.from, dot.to, CLEAR), near_line, &dot);
	}
	block_bodies(l);
}

static int by_distance(const void *x, const void *y)
{
	const struct offset *a = x, *b = y;
	int d = (a->x * a->x + a->y * a->y) - (b->x * b->x + b->y * b->y);
	return d ? d : a->y != b->y ? a->y - b->y : a->x - b->x;
}

static void prepare(struct layout *l)
{
	struct arena *a = l->v->b->arena;
	l->x0 = RADIUS + 0.2;
	l->y0 = l->v->bottom - MARGIN;
	l->columns = (int)((PLAN_WIDTH - 2 * l->x0) / CELL) + 1;
	l->rows = (int)((l->v->top - l->v->bottom + 2 * MARGIN) / CELL) + 1;
	size_t cells = (size_t)l->columns * (size_t)l->rows;
	l->blocked = arena_array(a, cells, 1);
	l->taken = arena_array(a, cells, 1);
	memset(l->blocked, 0, cells);
	memset(l->taken, 0, cells);
	l->offsets = arena_array(a, (2 * FAR + 1) * (2 * FAR + 1), sizeof *l->offsets);
	for (int y = -FAR; y <= FAR; y++)
		for (int x = -FAR; x <= FAR; x++)
			l->offsets[l->offset_count++] =
				(struct offset){(signed char)x, (signed char)y};
	qsort(l->offsets, l->offset_count, sizeof *l->offsets, by_distance);
	block_taken(l);
}

/* ---- what a place costs ------------------------------------------------------------------------
 */

/* Whether the balloons of `g` have room. */
static bool has_room(const struct layout *l, const struct group *g)
{
	for (int i = 0; i < (int)g->count; i++) {
		int column = g->column + i * CELLS * WAY[g->way].x,
		    row = g->row + i * CELLS * WAY[g->way].y;
		if (column < 0 || column >= l->columns || row < 0 || row >= l->rows)
			return false;
		if (l->blocked[row * l->columns + column] || l->taken[row * l->columns + column])
			return false;
	}
	return true;
}

/* Counts the balloons of `g` in or out, with the cells in which another would touch them. */
static void count_taken(struct layout *l, const struct group *g, int by)
{
	for (int i = 0; i < (int)g->count; i++)
		for (int y = 1 - CELLS; y < CELLS; y++)
			for (int x = 1 - CELLS; x < CELLS; x++) {
				int column = g->column + i * CELLS * WAY[g->way].x + x,
				    row = g->row + i * CELLS * WAY[g->way].y + y;
				if (column >= 0 && column < l->columns && row >= 0 && row < l->rows)
					l->taken[row * l->columns + column] =
						(unsigned char)(l->taken[row * l->columns +
									 column] +
								by);
			}
}

static bool holds(struct box b, struct draw_point p)
{
	return p.x >= b.x0 && p.x <= b.x1 && p.y >= b.y0 && p.y <= b.y1;
}

/* How many balloons of one lie on the line of the other, all of which is in `box`. */
static int covered(const struct group *balloons, const struct group *line, struct box box)
{
	int n = 0;
	for (size_t i = 0; i < balloons->count; i++) {
		struct draw_point p = balloon(balloons, i);
		n += holds(box, p) && line_distance(p, line->site, line->at) < RADIUS + BESIDE;
	}
	return n;
}

/* Of two lines: balloons that stand on them, and whether they cross. */
static double cost_between(const struct group *g, struct box box, const struct group *other)
{
	struct box theirs = around(other->site, other->at, RADIUS + BESIDE);
	double cost = COVERS * (covered(other, g, box) + covered(g, other, theirs));
	if (box_meets(box, theirs) && lines_cross(g->site, g->at, other->site, other->at))
		cost += CROSSES;
	return cost;
}

/* Never less for any place than for its line alone. */
static double cost_of_line(const struct group *g)
{
	double dx = g->at.x - g->site.x, dy = g->at.y - g->site.y;
	return sqrt(dx * dx + dy * dy) + fabs(dx) / 2 + (g->count > 1 && g->way > 1 ? UPRIGHT : 0);
}

static double cost_of(const struct layout *l, const struct group *g, double most)
{
	const struct room *r = &l->v->room;
	double cost = cost_of_line(g);
	struct box box = around(g->site, g->at, RADIUS + BESIDE);
	for (size_t i = 0; i < r->box_count && cost < most; i++)
		if (box_meets(box, r->boxes[i]) && box_meets_line(r->boxes[i], g->site, g->at))
			cost += COVERS;
	for (size_t i = 1; i < g->count && cost < most; i++)
		if (line_distance(balloon(g, i), g->site, g->at) < RADIUS)
			cost += COVERS;
	for (size_t i = 0; i < l->count && cost < most; i++) {
		const struct group *other = &l->groups[i];
		if (other == g)
			continue;
		if (other->placed)
			cost += cost_between(g, box, other);
		if (holds(box, other->site) && line_distance(other->site, g->site, g->at) < DOT)
			cost += PASSES_DOT;
	}
	return cost;
}

/* ---- placing -----------------------------------------------------------------------------------
 */

static void place(struct layout *l, struct group *g)
{
	int column = (int)lround((g->site.x - l->x0) / CELL),
	    row = (int)lround((g->site.y - l->y0) / CELL);
	struct group best = *g;
	double least = INFINITY;
	if (g->placed)
		count_taken(l, g, -1);
	best.placed = g->placed = false;
	for (size_t i = 0; i < l->offset_count; i++) {
		struct offset o = l->offsets[i];
		if (CELL * sqrt(o.x * o.x + o.y * o.y) > least + CELL)
			break;
		g->column = column + o.x;
		g->row = row + o.y;
		g->at = cell_centre(l, g->column, g->row);
		for (g->way = 0; g->way < (g->count > 1 ? WAYS : 1); g->way++) {
			if (cost_of_line(g) >= least || !has_room(l, g))
				continue;
			double cost = cost_of(l, g, least);
			if (cost < least) {
				least = cost;
				best = *g;
				best.placed = true;
			}
		}
	}
	*g = best;
	if (g->placed)
		count_taken(l, g, 1);
}

static void draw_group(struct view *v, const struct group *g)
{
	struct arena *a = v->b->arena;
	double far = hypot(g->at.x - g->site.x, g->at.y - g->site.y),
	       cut = far > RADIUS ? (far - RADIUS) / far : 0;
	drawing_line(a, v->d, g->site.x, g->site.y, g->site.x + (g->at.x - g->site.x) * cut,
		g->site.y + (g->at.y - g->site.y) * cut, 0.1);
	drawing_circle(a, v->d, g->site.x, g->site.y, 0.45, 0, 0);
	for (size_t i = 0; i < g->count; i++) {
		struct draw_point p = balloon(g, i);
		drawing_circle(a, v->d, p.x, p.y, RADIUS, 0.18, 1);
		plan_words(v, p.x, p.y - 0.95, arena_format(a, "%d", g->zones[i]->number),
			ALIGN_CENTRE);
		v->lowest = fmin(v->lowest, p.y - RADIUS - 0.2);
		v->highest = fmax(v->highest, p.y + RADIUS + 0.2);
	}
}

/* Without a place that is free it stands where it belongs, over what is there. */
void plan_zones(struct view *v)
{
	struct layout l = {.v = v};
	gather(&l);
	if (!l.count)
		return;
	prepare(&l);
	for (int pass = 0; pass < PASSES; pass++)
		for (size_t i = 0; i < l.count; i++)
			place(&l, &l.groups[pass % 2 ? l.count - 1 - i : i]);
	for (size_t i = 0; i < l.count; i++) {
		if (!l.groups[i].placed)
			l.groups[i].at = l.groups[i].site;
		draw_group(v, &l.groups[i]);
	}
}
