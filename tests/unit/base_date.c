#include <criterion/criterion.h>

#include <string.h>
#include <time.h>

#include "base/date.h"

/* Days since 1970-01-01 by hand: 2000-03-01 is 30 years of 365 days, 7 leap days of 1972 to 1996,
 * and 31 + 29 days: 10950 + 7 + 60 = 11017. Of the century years 1900 and 2100 are no leap years,
 * 2000 is one (bull Inter gravissimas, 1582). */
Test(base_date, numbers)
{
	static const struct {
		struct date date;
		long number;
	} ROWS[] = {
		{{1970, 1, 1}, 0},
		{{1969, 12, 31}, -1},
		{{1970, 12, 31}, 364},
		{{1972, 2, 29}, 789},
		{{2000, 2, 29}, 11016},
		{{2000, 3, 1}, 11017},
		{{1900, 1, 1}, -25567},
		{{1900, 3, 1}, -25508},  /* 59 days on: no 29 February */
		{{2001, 9, 9}, 11574},   /* 1e9 s of POSIX time are 11574.07 days */
		{{2038, 1, 19}, 24855},  /* 2^31 s are 24855.13 days */
		{{2100, 3, 1}, 47541},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct date d = ROWS[i].date;
		cr_expect_eq(date_number(d), ROWS[i].number, "%d-%d-%d: %ld", d.year, d.month, d.day,
			date_number(d));
		cr_expect_eq(date_compare(date_from_number(ROWS[i].number), d), 0);
	}
}

/* Every day of the range, against the C library's timegm. */
Test(base_date, every_day)
{
	struct date last = {0};
	long end = date_number((struct date){2199, 12, 31});
	for (long n = date_number((struct date){1900, 1, 1}); n <= end; n++) {
		struct date d = date_from_number(n);
		struct tm tm = {.tm_year = d.year - 1900, .tm_mon = d.month - 1, .tm_mday = d.day};
		cr_assert_eq(timegm(&tm), n * 86400L);
		cr_assert_eq(tm.tm_mday, d.day, "%ld is a real day", n);
		cr_assert_eq(date_number(d), n);
		cr_assert_gt(date_compare(d, last), 0);
		cr_assert_lt(date_compare(last, d), 0);
		last = d;
	}
}

Test(base_date, read)
{
	static const char *const GOOD[] = {"2026-11-25", "1900-01-01", "2199-12-31", "2000-02-29",
		"2024-02-29"};
	static const char *const BAD[] = {"", "2026-11-2", "2026-11-255", "2026-13-01", "2026-00-01",
		"2026-01-00", "2026-01-32", "2026-04-31", "2025-02-29", "1900-02-29", "2100-02-29",
		"1899-12-31", "2200-01-01", "2026/11/25", "25-11-2026", "2026-11-25 ", " 2026-11-25",
		"20261125", "2026-1-1", "+026-11-25", "2026-11-2x", "today"};
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	for (size_t i = 0; i < sizeof GOOD / sizeof *GOOD; i++) {
		struct date d = {0};
		cr_expect(date_read(GOOD[i], &d), "%s", GOOD[i]);
		cr_expect(date_given(d));
		cr_expect_str_eq(date_text(&a, d), GOOD[i]);
	}
	for (size_t i = 0; i < sizeof BAD / sizeof *BAD; i++) {
		struct date d = {1, 2, 3};
		cr_expect_not(date_read(BAD[i], &d), "%s", BAD[i]);
		cr_expect(d.year == 1 && d.month == 2 && d.day == 3, "%s: untouched", BAD[i]);
	}
	cr_expect_not(date_given((struct date){0}));
	cr_expect_str_eq(date_text(&a, (struct date){0}), "");
	arena_release(&a);
}

Test(base_date, months)
{
	static const struct {
		struct date from;
		int months;
		struct date to;
	} ROWS[] = {
		{{2026, 1, 31}, 1, {2026, 2, 28}},
		{{2024, 1, 31}, 1, {2024, 2, 29}},
		{{2026, 1, 31}, 3, {2026, 4, 30}},
		{{2026, 11, 25}, 12, {2027, 11, 25}},
		{{2024, 2, 29}, 12, {2025, 2, 28}},
		{{2026, 12, 1}, 1, {2027, 1, 1}},
		{{2026, 11, 30}, 1, {2026, 12, 30}},
		{{2026, 1, 15}, -1, {2025, 12, 15}},
		{{2026, 3, 31}, -1, {2026, 2, 28}},
		{{2026, 3, 31}, -13, {2025, 2, 28}},
		{{2026, 3, 31}, 0, {2026, 3, 31}},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct date d = date_add_months(ROWS[i].from, ROWS[i].months);
		cr_expect_eq(date_compare(d, ROWS[i].to), 0, "row %zu: %d-%d-%d", i, d.year, d.month,
			d.day);
	}
}
