/* Bodies and drawings to scale. Expected places are worked out by hand from the dimensions: a leaf of
 * 6 m x 60 mm that travels 4 m, a box on record. */
#include <criterion/criterion.h>
#include <math.h>
#include <setjmp.h>
#include <string.h>

#include "base/text.h"
#include "doc/block.h"
#include "doc/shape.h"

TestSuite(doc_shape);

static struct arena a;
static jmp_buf escape;
static struct findings findings;

static const struct {
	const char *name, *length;
} DIMENSIONS[] = {{"length", "6 m"}, {"thick", "60 mm"}, {"travel", "4 m"}};

static struct value lookup(void *subject, const char *name)
{
	struct quantity q;
	(void)subject;
	for (size_t i = 0; i < 3; i++)
		if (text_equal(DIMENSIONS[i].name, name) &&
			quantity_read(DIMENSIONS[i].length, &q) == QUANTITY_FINE)
			return value_of_quantity(q);
	return value_unknown();
}

static const struct rule *rule(const char *text)
{
	struct rule *r = rule_compile(&a, text, (struct place){"test", 1, 1}, NULL, &findings);
	cr_assert(r != NULL, "%s", text);
	return r;
}

static struct lib_body body(const char *id, bool moves, const char *const corners[][2], size_t count)
{
	const struct rule *(*points)[2] = arena_array(&a, count, sizeof *points);
	for (size_t i = 0; i < count; i++) {
		points[i][0] = rule(corners[i][0]);
		points[i][1] = rule(corners[i][1]);
	}
	return (struct lib_body){.id = id, .moves = moves ? "leaf" : NULL, .points = points, .count = count};
}

static const char *const LEAF[][2] = {{"0 mm", "0 mm"}, {"length", "0 mm"}, {"length", "thick"},
	{"0 mm", "thick"}};
static const char *const UNKNOWN[][2] = {{"0 mm", "0 mm"}, {"missing", "0 mm"}, {"0 mm", "thick"}};

static struct fact_entry amount(const char *key, const char *text)
{
	struct fact_entry e = {key, {.state = FACT_GIVEN, .kind = FIELD_QUANTITY, .text = text}};
	cr_assert_eq(quantity_read(text, &e.fact.quantity), QUANTITY_FINE);
	return e;
}

static struct builder *make_builder(void)
{
	static struct record record;
	static struct assessment assessment;
	static struct lib_type type;
	static struct phrasebook book;
	static struct rule_names names = {NULL, lookup, NULL};
	static struct zone_result zones[2];
	static struct library library;
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	findings_init(&findings, &a);
	static struct lib_body bodies[3];
	bodies[0] = body("leaf", true, LEAF, 4);
	bodies[1] = body("lost", false, UNKNOWN, 3);
	bodies[2] = body("not-fitted", false, LEAF, 4);
	bodies[2].when = rule("length < 1 m");
	type = (struct lib_type){.note = {.id = "t"}, .travel = rule("travel"), .bodies = bodies,
		.body_count = 3};
	struct fact_entry facts[] = {amount("depth", "100 mm"), amount("height", "2 m"),
		amount("length", "200 mm"), amount("x", "10.5 m"), amount("y", "1 m")};
	struct item *item = arena_alloc(&a, sizeof *item);
	*item = (struct item){.id = "wall", .facts = arena_alloc(&a, sizeof facts), .count = 5};
	memcpy(item->facts, facts, sizeof facts);
	struct item_list *list = arena_alloc(&a, sizeof *list);
	*list = (struct item_list){.path = "gate.bodies", .present = true, .items = item, .count = 1};
	struct fact_entry root[] = {amount("gate.dimensions.clear-opening", "3.8 m"),
		amount("gate.dimensions.leaf-length", "6 m"), amount("gate.dimensions.leaf-thickness", "60 mm")};
	record = (struct record){.file = "gate.yaml", .text = "", .digest = "00", .lists = list,
		.list_count = 1, .type = &type};
	record.root = (struct item){.id = "", .facts = arena_alloc(&a, sizeof root), .count = 3};
	memcpy(record.root.facts, root, sizeof root);
	for (int i = 0; i < 2; i++) /* two zones at one place */
		zones[i] = (struct zone_result){.number = i + 1, .key = "z", .has_plan = true, .plan_x = 4};
	assessment = (struct assessment){.record = &record, .library = &library, .findings = &findings,
		.zones = zones, .zone_count = 2};
	struct doc_input *input = arena_alloc(&a, sizeof *input);
	*input = (struct doc_input){&assessment, &book, NULL, "1", &names, &findings};
	return builder_new(&a, input, "technical-file", NULL, 0);
}

Test(doc_shape, bodies_stand_where_their_dimensions_say)
{
	struct builder *b = make_builder();
	struct shapes s = shapes_of(b, false);
	cr_assert_eq(s.count, 2);
	cr_expect_eq(s.left_out, 1, "a body with an unknown corner is not drawn, and counted");
	cr_expect_float_eq(s.travel, 4, 1e-12);
	/* The wall: x 10.5 m ± 100 mm; its y counts from the middle of the leaf, 30 mm from its face. */
	cr_expect_float_eq(s.items[1].points[0].x, 10.4, 1e-12);
	cr_expect_float_eq(s.items[1].points[0].y, 0.98, 1e-12);
	cr_expect_float_eq(s.items[1].points[2].x, 10.6, 1e-12);
	cr_expect_float_eq(s.items[1].points[2].y, 1.08, 1e-12);
	/* The extent holds the leaf in its open position. */
	cr_expect(s.x0 == 0 && s.y0 == 0);
	cr_expect_float_eq(s.x1, 10.6, 1e-12);
	cr_expect_float_eq(s.y1, 1.08, 1e-12);
	cr_expect_eq(shapes_of(b, true).count, 1, "in elevation the wall alone");
	arena_release(&a);
}

Test(doc_shape, the_swept_area_joins_closed_and_open)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	/* A triangle (0,0) (2,0) (0,1) moved by 3 sweeps (0,0) (5,0) (3,1) (0,1). */
	struct draw_point triangle[] = {{0, 0}, {2, 0}, {0, 1}}, *hull;
	struct shape s = {.points = triangle, .count = 3, .moves = true};
	size_t n = shape_swept(&a, &s, 3, &hull);
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
	cr_expect(find_text(d, "clear-opening 3.8 m") && find_text(d, "leaf-length 6 m"));
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
