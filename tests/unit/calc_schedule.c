/* Days: the change of acts (the directive up to 2027-01-19, the regulation from 2027-01-20: Regulation (EU) 2023/1230,
 * Art. 54 by corrigendum OJ L 169, 4.7.2023, p. 35) and intervals of upkeep (calendar by hand). */
#include <criterion/criterion.h>
#include <math.h>

#include "calc/schedule.h"

TestSuite(calc_schedule);

static struct date day(const char *text)
{
	struct date d = {0};
	cr_assert(date_read(text, &d), "%s", text);
	return d;
}

Test(calc_schedule, covers)
{
	static const struct date NONE = {0};
	struct date last = day("2027-01-19"), first = day("2027-01-20");
	cr_expect(schedule_covers(NONE, last, day("2027-01-18")));
	cr_expect(schedule_covers(NONE, last, last), "the last day is in it");
	cr_expect_not(schedule_covers(NONE, last, first));
	cr_expect_not(schedule_covers(first, NONE, last));
	cr_expect(schedule_covers(first, NONE, first), "the first day is in it");
	cr_expect(schedule_covers(first, NONE, day("2027-01-21")));
	cr_expect(schedule_covers(NONE, NONE, first));
	cr_expect(schedule_covers(first, day("2028-01-01"), day("2027-06-01")));
	cr_expect_not(schedule_covers(first, day("2028-01-01"), day("2028-01-02")));
}

Test(calc_schedule, due)
{
	static const struct {
		const char *last;
		double rule, own;
		const char *due;
	} ROWS[] = {
		{"2026-03-15", 6, INFINITY, "2026-09-15"}, {"2026-03-15", 12, INFINITY, "2027-03-15"},
		{"2026-08-31", 6, INFINITY, "2027-02-28"}, {"2027-08-31", 6, INFINITY, "2028-02-29"},
		{"2026-03-15", 12, 3, "2026-06-15"}, {"2026-03-15", 6, 12, "2026-09-15"},
		{"2026-03-15", INFINITY, 4, "2026-07-15"}, {"2026-03-15", 6, 4.5, "2026-07-15"},
		{"2026-11-30", 3, INFINITY, "2027-02-28"}, {"2026-03-15", 5.9999999999, INFINITY, "2026-09-15"},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct date d = schedule_due(day(ROWS[i].last), ROWS[i].rule, ROWS[i].own);
		cr_expect_eq(date_compare(d, day(ROWS[i].due)), 0, "%s: %d-%d-%d", ROWS[i].last,
			d.year, d.month, d.day);
	}
}
