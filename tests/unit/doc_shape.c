/* Drawings from a geometry made by hand: 6 m leaf that slides by 4 m, 60 mm thick, and a wall;
 * figures beside the checks are worked out from these. */
#include <criterion/criterion.h>
#include <math.h>
#include <setjmp.h>
#include <string.h>

#include "base/text.h"
#include "doc/block.h"
#include "doc/room.h"
#include "doc/shape.h"

static struct arena a;
static jmp_buf escape;
static struct findings findings;
static bool bare_geometry; /* the next builder has none */

static struct geo_point *box(double x0, double y0, double x1, double y1)
{
	struct geo_point *p = arena_array(&a, 4, sizeof *p);
	p[0] = (struct geo_point){x0, y0};
	p[1] = (struct geo_point){x1, y0};
	p[2] = (struct geo_point){x1, y1};
	p[3] = (struct geo_point){x0, y1};
	return p;
}

/* Poses of a box that slides along x by `travel`. */
static struct geo_point *slide(const struct geo_point *p, double travel)
{
	struct geo_point *poses = arena_array(&a, 4 * GEOMETRY_POSES, sizeof *poses);
	for (size_t i = 0; i < 4 * GEOMETRY_POSES; i++)
		poses[i] = (struct geo_point){p[i % 4].x + travel * (double)(i / 4) / (GEOMETRY_POSES - 1), p[i % 4].y};
	return poses;
}

static const struct item LEAF = {.id = "leaf-1"}, WALL = {.id = "wall"};

static struct clearance_result clearance(const struct geo_body *leaf, const struct geo_body *wall)
{
	struct clearance_knot *knots = arena_array(&a, 2, sizeof *knots);
	struct clearance_stretch *stretch = arena_alloc(&a, sizeof *stretch);
	knots[0] = (struct clearance_knot){0, 0.5};
	knots[1] = (struct clearance_knot){1, 0.3};
	*stretch = (struct clearance_stretch){.to = 1, .start = 0.5, .end = 0.3, .opening = true, .speed = 0.1,
		.kinds = CLEARANCE_CRUSHING, .parts = 1};
	return (struct clearance_result){.key = "leaf~wall@leaf-1", .a = leaf, .b = wall, .leaf = &LEAF, .knots = knots,
		.knot_count = 2, .stretches = stretch, .stretch_count = 1, .least = 0.3, .greatest = 0.5, .least_at = 1,
		.doubt = 0.01, .kinds = CLEARANCE_CRUSHING, .parts = 1, .listed = "z", .x = 10.3, .y = 0.5};
}

static struct builder *make_builder(void)
{
	static struct record record;
	static struct assessment assessment;
	static struct phrasebook book;
	static struct zone_result zones[2];
	static struct lib_zone lib_zone = {.note = {.id = "edge"}};
	static struct library library;
	static struct geometry geometry;
	static struct item_list none;
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	findings_init(&findings, &a);
	struct geo_body *bodies = arena_array(&a, 3, sizeof *bodies);
	const struct geo_point *leaf = box(0, 0, 6, 0.06);
	bodies[0] = (struct geo_body){.id = "leaf",
		.role = "leaf",
		.name = "leaf",
		.leaf = &LEAF,
		.moves = true,
		.count = 4,
		.points = leaf,
		.poses = slide(leaf, 4)};
	bodies[1] = (struct geo_body){.id = "wall", .role = "wall", .name = "wall", .item = &WALL, .count = 4,
		.points = box(10.4, 0.98, 10.6, 1.08)};
	bodies[2] = (struct geo_body){.id = "wall",
		.role = "wall",
		.name = "wall",
		.item = &WALL,
		.elevation = true,
		.count = 4,
		.points = box(10.4, 0, 10.6, 2)};
	struct clearance_result *clearances = arena_alloc(&a, sizeof *clearances);
	*clearances = clearance(&bodies[0], &bodies[1]);
	geometry = (struct geometry){.bodies = bodies, .body_count = 3, .left_out = 1, .clearances = clearances,
		.clearance_count = 1};
	none = (struct item_list){.path = "gate.bodies"};
	record = (struct record){.file = "gate.yaml", .text = "", .digest = "00", .lists = &none, .list_count = 1};
	for (int i = 0; i < 2; i++) /* two zones at one place */
		zones[i] = (struct zone_result){.number = i + 1,
			.key = "z",
			.zone = &lib_zone,
			.has_plan = true,
			.plan_x = 4};
	assessment = (struct assessment){.record = &record, .library = &library, .findings = &findings,
		.geometry = bare_geometry ? NULL : &geometry, .zones = zones, .zone_count = 2};
	struct doc_input *input = arena_alloc(&a, sizeof *input);
	*input = (struct doc_input){&assessment, &book, NULL, "1", NULL, &findings};
	return builder_new(&a, input, "technical-file", NULL, 0);
}

Test(doc_shape, each_view_has_its_bodies_and_their_extent)
{
	struct builder *b = make_builder();
	struct shapes s = shapes_of(b, false);
	cr_assert_eq(s.count, 2);
	cr_expect_eq(s.left_out, 1);
	/* The open leaf ends at 6 m + 4 m, the wall at 10.6 m. */
	cr_expect(s.x0 == 0 && s.y0 == 0);
	cr_expect_float_eq(s.x1, 10.6, 1e-12);
	cr_expect_float_eq(s.y1, 1.08, 1e-12);
	cr_expect_eq(shapes_of(b, true).count, 1, "in elevation the wall alone");
	arena_release(&a);
}

Test(doc_shape, without_a_geometry_nothing_is_drawn)
{
	bare_geometry = true;
	struct builder *b = make_builder();
	cr_expect_eq(shapes_of(b, false).count, 0);
	block_drawing_plan(b);
	cr_expect(b->document->first && b->document->first->kind != DOC_FIGURE);
	block_clearances(b);
	arena_release(&a);
}

Test(doc_shape, the_swept_area_joins_neighbouring_poses)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	/* A triangle (0,0) (2,0) (0,1), and the same 3 further: (0,0) (5,0) (3,1) (0,1). */
	static const struct geo_point POSES[] = {{0, 0}, {2, 0}, {0, 1}, {3, 0}, {5, 0}, {3, 1}};
	struct draw_point *hull;
	struct geo_body body = {.count = 3, .points = POSES, .poses = POSES, .moves = true};
	size_t n = shape_swept(&a, &body, 0, &hull);
	const struct draw_point expected[] = {{0, 0}, {5, 0}, {3, 1}, {0, 1}};
	cr_assert_eq(n, 4);
	for (size_t i = 0; i < n; i++)
		cr_expect(hull[i].x == expected[i].x && hull[i].y == expected[i].y, "corner %zu", i);
	arena_release(&a);
}

static const struct draw *find_text(const struct drawing *d, const char *text)
{
	for (const struct draw *w = d->first; w; w = w->next)
		if (w->kind == DRAW_TEXT && text_equal(w->text, text))
			return w;
	return NULL;
}

Test(doc_shape, the_plan_is_to_scale)
{
	struct builder *b = make_builder();
	block_drawing_plan(b);
	struct doc_node *f = b->document->first;
	cr_assert(f && f->kind == DOC_FIGURE);
	struct drawing *d = f->drawing;
	/* 10.6 m on at most 148 mm: 1:75 would take 141.3 mm, 1:50 would take 212 mm. */
	cr_expect(find_text(d, "scale 1:75") != NULL);
	double left = (d->width - 10600.0 / 75) / 2;
	const struct draw *leaf = NULL, *open = NULL, *wall = NULL;
	for (const struct draw *w = d->first; w; w = w->next)
		if (w->kind == DRAW_POLYGON && w->count == 4 && w->stroke > 0.1) {
			leaf = w->stroke > 0.25 ? w : leaf;
			open = w->dash > 0 ? w : open;
			wall = w->fill > 0.5 && w->fill < 0.8 ? w : wall;
		}
	cr_assert(leaf && open && wall);
	cr_expect_float_eq(leaf->points[0].x, left, 1e-9);
	cr_expect_float_eq(leaf->points[1].x - leaf->points[0].x, 80, 1e-9);     /* 6 m / 75 */
	cr_expect_float_eq(leaf->points[2].y - leaf->points[1].y, 0.8, 1e-9);    /* 60 mm / 75 */
	cr_expect_float_eq(open->points[0].x - leaf->points[0].x, 4000.0 / 75, 1e-9);
	cr_expect_float_eq(wall->points[1].x - wall->points[0].x, 200.0 / 75, 1e-9);
	/* The bar: 2 m at 26.7 mm, since 5 m would take 66.7 mm. */
	const struct draw *bar = find_text(d, "2 m");
	cr_assert(bar && find_text(d, "0"));
	cr_expect_float_eq(bar->points[0].x - find_text(d, "0")->points[0].x, 2000.0 / 75, 1e-9);
	cr_expect(find_text(d, "length-closed 6 m"));
	cr_expect(find_text(d, "300 mm"), "the gap that can hurt, with its size");
	arena_release(&a);
}

Test(doc_shape, numbers_at_one_place_do_not_cover_each_other)
{
	struct builder *b = make_builder();
	block_drawing_plan(b);
	const struct draw *first = find_text(b->document->first->drawing, "1");
	const struct draw *second = find_text(b->document->first->drawing, "2");
	cr_assert(first && second);
	cr_expect(hypot(first->points[0].x - second->points[0].x,
		first->points[0].y - second->points[0].y) > 5.2, "balloons of 2.6 mm radius");
	arena_release(&a);
}

Test(doc_shape, a_pair_that_can_hurt_has_a_row_and_a_chart)
{
	struct builder *b = make_builder();
	block_clearances(b);
	cr_assert(b->document->last && b->document->last->kind == DOC_TABLE);
	const char *dump = document_dump(&a, b->document);
	/* The gap is least with the leaf open; it shrinks on opening, at 100 mm/s. */
	cr_expect(strstr(dump, "300 mm") && strstr(dump, "± 10 mm"));
	cr_expect(strstr(dump, "opening: 500 mm → 300 mm") && strstr(dump, "0.1 m/s"));
	charts_of_zone(b, &b->assessment->zones[0]);
	cr_assert(b->document->last->kind == DOC_FIGURE);
	/* Two charts of 80 mm fit in the width, 4 mm apart. */
	cr_expect_float_eq(b->document->last->drawing->width, 164, 1e-9);
	cr_expect(find_text(b->document->last->drawing, "leaf – wall"));
	arena_release(&a);
}

/* The gap of the test: the wall's near corner (10.4, 0.98) from the open leaf's corner (10, 0.06), √(0.4² + 0.92²) =
 * 1.003 m; it is dimensioned between these two, whatever it is said to be. */
Test(doc_shape, a_gap_is_dimensioned_between_the_bodies)
{
	struct builder *b = make_builder();
	block_drawing_plan(b);
	struct drawing *d = b->document->first->drawing;
	double left = (d->width - 10600.0 / 75) / 2;
	int heads = 0;
	struct draw_point leaf = {left + 10000.0 / 75, 0}, wall = {left + 10400.0 / 75, 0};
	for (const struct draw *w = d->first; w; w = w->next)
		if (w->kind == DRAW_POLYGON && w->count == 3)
			heads += fabs(w->points[0].x - leaf.x) < 1e-6 || fabs(w->points[0].x - wall.x) < 1e-6;
	cr_expect_eq(heads, 2, "an arrow head at the corner of each");
	arena_release(&a);
}

/* Of two movements that hurt, the one whose gap is that between the bodies about the place told: here with the gate
 * open, √(0.4² + 0.92²) = 1.0032 m. Closed, the bodies are 4.4 m apart, not 0.2 m. */
Test(doc_shape, a_gap_is_shown_where_it_is_as_wide)
{
	struct builder *b = make_builder();
	struct clearance_result *r = &b->assessment->geometry->clearances[0];
	struct clearance_stretch two[] = {
		{.to = 0.5, .start = 0.2, .end = 0.5, .kinds = CLEARANCE_CRUSHING},
		{.from = 0.5, .to = 1, .start = 2, .end = 1.0032, .opening = true, .kinds = CLEARANCE_CRUSHING}};
	r->stretches = two;
	r->stretch_count = 2;
	r->x = 10.2;
	r->y = 0.52;
	block_drawing_plan(b);
	cr_expect(find_text(b->document->first->drawing, "1.003 m"));
	cr_expect_null(find_text(b->document->first->drawing, "200 mm"));
	arena_release(&a);
}

/* What no line of a zone may run through, and no balloon stand on: words. */
static bool strikes(const struct drawing *d, const struct draw *line)
{
	for (const struct draw *w = d->first; w; w = w->next)
		if (w->kind == DRAW_TEXT && w->turn == 0 &&
			box_meets_line(box_of_words(w->points[0].x, w->points[0].y, w->text, w->align),
				line->points[0], line->points[1]))
			return true;
	return false;
}

Test(doc_shape, many_zones_at_one_leaf_stand_apart)
{
	enum { MANY = 40 };
	struct builder *b = make_builder();
	struct zone_result *zones = arena_array(&a, MANY, sizeof *zones);
	struct assessment *s = arena_alloc(&a, sizeof *s);
	static const struct lib_zone lib_zone = {.note = {.id = "edge"}};
	*s = *b->assessment;
	for (int i = 0; i < MANY; i++)
		zones[i] = (struct zone_result){.number = i + 1, .key = "z", .zone = &lib_zone, .has_plan = true,
			.plan_x = 6.0 * (i % 20) / 19, .plan_y = i % 3 * 0.03};
	s->zones = zones;
	s->zone_count = MANY;
	b->assessment = s;
	block_drawing_plan(b);
	struct drawing *d = b->document->first->drawing;
	const struct draw *balloons[MANY];
	size_t n = 0;
	int struck = 0;
	for (const struct draw *w = d->first; w; w = w->next) {
		if (w->kind == DRAW_CIRCLE && w->radius > 2 && n < MANY)
			balloons[n++] = w;
		struck += w->kind == DRAW_LINE && w->stroke == 0.1 && w->count == 2 && strikes(d, w);
	}
	cr_expect_eq(n, MANY, "each zone has its number");
	cr_expect_eq(struck, 0, "no line runs through words");
	for (size_t i = 0; i < n; i++) {
		struct draw_point p = balloons[i]->points[0];
		cr_expect(p.x > 2.6 && p.x < d->width - 2.6 && p.y > 2.6 && p.y < d->height - 2.6, "on the paper");
		for (size_t k = 0; k < i; k++)
			cr_expect(hypot(p.x - balloons[k]->points[0].x, p.y - balloons[k]->points[0].y) > 5.2,
				"balloons of 2.6 mm radius do not touch: %zu, %zu", i, k);
	}
	arena_release(&a);
}

/* A leaf of 5 m that turns by 90°, 60 mm thick: its extent is 5 m by 5 m. 1:25 would take 200 mm, 1:50 takes 100 mm; on
 * a leaf of 7 m 1:50 takes 140 mm, which is within the height of a page too. */
Test(doc_shape, a_leaf_that_turns_is_drawn_as_high_as_a_page_allows)
{
	struct builder *b = make_builder();
	struct geo_body leaf = {.id = "leaf", .role = "leaf", .name = "leaf", .leaf = &LEAF, .moves = true, .count = 4};
	struct geo_point *poses = arena_array(&a, 4 * GEOMETRY_POSES, sizeof *poses);
	const struct geo_point *closed = box(0, -0.03, 7, 0.03);
	for (size_t i = 0; i < 4 * GEOMETRY_POSES; i++) {
		double turn = acos(0.0) * (double)(i / 4) / (GEOMETRY_POSES - 1);
		struct geo_point p = closed[i % 4];
		poses[i] = (struct geo_point){p.x * cos(turn) - p.y * sin(turn), p.x * sin(turn) + p.y * cos(turn)};
	}
	leaf.points = closed;
	leaf.poses = poses;
	struct geometry g = {.bodies = &leaf, .body_count = 1};
	struct assessment s = *b->assessment;
	s.geometry = &g;
	s.zone_count = 0;
	b->assessment = &s;
	int scale;
	size_t left_out;
	struct drawing *d = plan_drawing(b, false, &scale, &left_out);
	cr_assert_not_null(d);
	cr_expect_eq(scale, 50);
	cr_expect(d->height > 140 && d->height < 180, "%g mm", d->height);
	cr_expect_null(plan_drawing(b, true, &scale, &left_out), "nothing in elevation");
	arena_release(&a);
}
