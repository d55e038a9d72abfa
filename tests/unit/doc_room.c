/* Places on a drawing: boxes, lines and outlines worked out by hand. */
#include <criterion/criterion.h>
#include <math.h>
#include <setjmp.h>

#include "doc/room.h"

static struct draw_point at(double x, double y)
{
	return (struct draw_point){x, y};
}

Test(doc_room, boxes_and_lines_meet)
{
	struct box b = {0, 0, 4, 2};
	cr_expect(box_meets(b, (struct box){3, 1, 5, 5}));
	cr_expect_not(box_meets(b, (struct box){4, 0, 5, 2}), "side by side");
	cr_expect(box_meets_line(b, at(-1, 1), at(5, 1)), "through");
	cr_expect(box_meets_line(b, at(1, 1), at(2, 1)), "within");
	cr_expect(box_meets_line(b, at(3, 3), at(5, 0)), "over a corner: at x = 4 it is at 1.5");
	cr_expect_not(
		box_meets_line(b, at(3, 4), at(6, 0)), "past a corner: at x = 4 it is at 2.67");
	cr_expect_not(box_meets_line(b, at(5, -1), at(5, 3)), "beside");
	cr_expect_not(box_meets_line(b, at(-3, 1), at(-1, 1)), "ends before it");
}

Test(doc_room, lines_cross_and_are_near)
{
	cr_expect(lines_cross(at(0, 0), at(2, 2), at(0, 2), at(2, 0)));
	cr_expect_not(lines_cross(at(0, 0), at(2, 2), at(2, 2), at(3, 0)), "they share an end");
	cr_expect_not(lines_cross(at(0, 0), at(1, 1), at(2, 0), at(2, 5)));
	cr_expect_float_eq(line_distance(at(1, 3), at(0, 0), at(2, 0)), 3, 1e-12);
	cr_expect_float_eq(
		line_distance(at(5, 4), at(0, 0), at(2, 0)), 5, 1e-12, "3 and 4 from its end");
	cr_expect_float_eq(line_distance(at(3, 4), at(0, 0), at(0, 0)), 5, 1e-12, "a dot");
}

Test(doc_room, an_outline_holds_what_is_in_it)
{
	/* An L: (0,0) (4,0) (4,1) (1,1) (1,3) (0,3). */
	const struct draw_point l[] = {{0, 0}, {4, 0}, {4, 1}, {1, 1}, {1, 3}, {0, 3}};
	cr_expect(outline_holds(l, 6, at(3, 0.5)));
	cr_expect(outline_holds(l, 6, at(0.5, 2)));
	cr_expect_not(outline_holds(l, 6, at(2, 2)), "in the corner");
	cr_expect_not(outline_holds(l, 6, at(5, 0.5)));
}

Test(doc_room, what_is_taken_is_kept_free)
{
	static jmp_buf escape;
	struct arena a;
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct room r = {.arena = &a};
	for (int i = 0; i < 100; i++) {
		room_take(&r, (struct box){i, 0, i + 0.5, 1});
		room_draw(&r, at(i, 5), at(i, 6));
	}
	cr_expect_not(room_is_free(&r, (struct box){99.1, 0, 99.2, 1}));
	cr_expect(room_is_free(&r, (struct box){99.6, 0, 99.9, 1}));
	cr_expect_eq(room_crossed(&r, (struct box){9.5, 5, 12.5, 6}), 3, "10, 11 and 12");
	cr_expect(room_struck(&r, at(-1, 0.5), at(0.2, 0.5)));
	cr_expect_not(room_struck(&r, at(-1, 2), at(200, 2)));
	arena_release(&a);
}
