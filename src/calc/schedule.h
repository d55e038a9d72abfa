/* Days by which something holds or is due. */
#ifndef CALC_SCHEDULE_H
#define CALC_SCHEDULE_H

#include <stdbool.h>

#include "base/date.h"

/* Whether `on` lies within `from` and `to`, both days in it; either may be absent. */
bool schedule_covers(struct date from, struct date to, struct date on);

/* The day of the next visit: the shorter of two intervals (months; INFINITY: none, but not both) after `last`. Parts
 * of a month are dropped. The same day of the month, which is still in time; the 31st becomes the last day of a
 * shorter month. */
struct date schedule_due(struct date last, double rule_months, double own_months);

#endif
