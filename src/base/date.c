#include "base/date.h"

#include <string.h>

static bool is_leap(int year)
{
	return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int month_length(int year, int month)
{
	static const int LENGTH[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
	return month == 2 && is_leap(year) ? 29 : LENGTH[month - 1];
}

bool date_read(const char *text, struct date *out)
{
	static const char FORM[] = "dddd-dd-dd";
	if (strlen(text) != sizeof FORM - 1)
		return false;
	for (size_t i = 0; FORM[i]; i++)
		if (FORM[i] == 'd' ? text[i] < '0' || text[i] > '9' : text[i] != FORM[i])
			return false;
	struct date d = {
		(text[0] - '0') * 1000 + (text[1] - '0') * 100 + (text[2] - '0') * 10 + text[3] - '0',
		(text[5] - '0') * 10 + text[6] - '0',
		(text[8] - '0') * 10 + text[9] - '0',
	};
	if (d.year < 1900 || d.year > 2199 || d.month < 1 || d.month > 12 || d.day < 1 ||
		d.day > month_length(d.year, d.month))
		return false;
	*out = d;
	return true;
}

bool date_given(struct date d)
{
	return d.year != 0;
}

int date_compare(struct date a, struct date b)
{
	long x = a.year * 372L + a.month * 31L + a.day, y = b.year * 372L + b.month * 31L + b.day;
	return (x > y) - (x < y);
}

/* Days from civil date: the era method, with years that begin in March. */
long date_number(struct date d)
{
	long y = d.year - (d.month <= 2), era = y / 400, of_era = y - era * 400;
	long of_year = (153L * (d.month + (d.month > 2 ? -3 : 9)) + 2) / 5 + d.day - 1;
	return era * 146097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719468;
}

struct date date_from_number(long days)
{
	long z = days + 719468, era = z / 146097, of_era = z - era * 146097;
	long y = (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
	long of_year = of_era - (365 * y + y / 4 - y / 100), m = (5 * of_year + 2) / 153;
	int month = (int)(m < 10 ? m + 3 : m - 9);
	return (struct date){(int)(y + era * 400 + (month <= 2)), month,
		(int)(of_year - (153 * m + 2) / 5 + 1)};
}

struct date date_add_months(struct date d, int months)
{
	int total = d.year * 12 + d.month - 1 + months;
	struct date r = {total / 12, total % 12 + 1, d.day};
	int last = month_length(r.year, r.month);
	if (r.day > last)
		r.day = last;
	return r;
}

const char *date_text(struct arena *a, struct date d)
{
	return date_given(d) ? arena_format(a, "%04d-%02d-%02d", d.year, d.month, d.day) : "";
}
