/* Calendar dates (proleptic Gregorian), ISO 8601 form. No clock here. */
#ifndef BASE_DATE_H
#define BASE_DATE_H

#include <stdbool.h>

#include "base/arena.h"

struct date {
	int year, month, day; /* 1900..2199, 1..12, 1..31; all zero: no date */
};

/* Reads "2026-11-25" and nothing else; `*out` is untouched when it returns false. */
bool date_read(const char *text, struct date *out);

bool date_given(struct date d);

/* <0, 0, >0 as a is before, on, after b. */
int date_compare(struct date a, struct date b);

/* Days since 1970-01-01. */
long date_number(struct date d);
struct date date_from_number(long days);

/* Later by whole months; the 31st becomes the last day of a shorter month. */
struct date date_add_months(struct date d, int months);

const char *date_text(struct arena *a, struct date d);

#endif
