/* Drawings from a geometry made by hand: 6 m leaf that slides by 4 m, 60 mm thick, and a wall;
 * figures beside the checks are worked out from these. Charts and SVG of the same. */
#include <criterion/criterion.h>
#include <math.h>
#include <setjmp.h>
#include <string.h>

#include "base/text.h"
#include "doc/block.h"
#include "doc/shape.h"
#include "type/svg.h"

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

Test(doc_shape, a_chart_shows_the_gap_from_closed_to_open)
{
	struct builder *b = make_builder();
	const struct clearance_result *r = b->assessment->geometry->clearances;
	struct drawing *d = chart_drawing(b, r);
	cr_assert_not_null(d);
	const struct draw *gap = NULL, *band = NULL;
	for (const struct draw *w = d->first; w; w = w->next) {
		gap = w->kind == DRAW_LINE && w->stroke == 0.35 ? w : gap;
		band = w->kind == DRAW_POLYGON && w->count == 4 ? w : band;
	}
	/* 510 mm on 37 mm: 500 mm stand at 15 + 36.27 mm, 300 mm at 15 + 21.76 mm; ± 10 mm are 1.45
	 * mm a band's width. */
	cr_assert(gap && band && gap->count == 2);
	cr_expect_float_eq(gap->points[0].y, 15 + 37 * 500.0 / 510, 1e-9);
	cr_expect_float_eq(gap->points[1].y, 15 + 37 * 300.0 / 510, 1e-9);
	cr_expect_float_eq(band->points[1].y - band->points[2].y, 37 * 20.0 / 510, 1e-9);
	cr_expect(find_text(d, "300 mm") != NULL);
	struct clearance_result bare = *r;
	bare.knot_count = 0;
	cr_expect_null(chart_drawing(b, &bare), "never near: nothing to show");
	block_clearances(b);
	cr_expect(b->document->last && b->document->last->kind == DOC_TABLE);
	charts_of_zone(b, &b->assessment->zones[0]);
	cr_expect(b->document->last->kind == DOC_FIGURE);
	arena_release(&a);
}

Test(type_svg, a_drawing_becomes_well_formed_text)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct drawing *d = drawing_new(&a, 100, 50);
	struct draw *line = drawing_line(&a, d, 0, 0, 10, 50, 0.2);
	line->dash = 1;
	line->gap = 2;
	drawing_circle(&a, d, 20, 20, 3, 0, 0);
	drawing_text(&a, d, 1, 2, "a<b & \"c\"\x01>", 7.5, ALIGN_CENTRE)->turn = 90;
	struct buf out, again;
	buf_init(&out, &a);
	buf_init(&again, &a);
	svg_write(&out, d, "<title> & more", NULL);
	svg_write(&again, d, "<title> & more", NULL);
	cr_expect_str_eq(out.bytes, again.bytes);
	cr_expect(strstr(out.bytes, "viewBox=\"0 0 100 50\""));
	/* y goes down in SVG: 0 stands at 50, 50 at 0. */
	cr_expect(strstr(out.bytes, "points=\"0,50 10,0\""));
	cr_expect(strstr(out.bytes, "stroke-dasharray=\"1 2\""));
	cr_expect(strstr(out.bytes, "<title>&lt;title&gt; &amp; more</title>"));
	cr_expect(strstr(out.bytes, ">a&lt;b &amp; &quot;c&quot;&gt;</text>"), "no control character");
	cr_expect(strstr(out.bytes, "rotate(-90 1 48)"));
	cr_expect(text_ends(out.bytes, "</svg>\n"));
	arena_release(&a);
}
