#include "calc/schedule.h"

#include <math.h>

bool schedule_covers(struct date from, struct date to, struct date on)
{
	return (!date_given(from) || date_compare(on, from) >= 0) && (!date_given(to) || date_compare(on, to) <= 0);
}

struct date schedule_due(struct date last, double rule_months, double own_months)
{
	return date_add_months(last, (int)floor(fmin(rule_months, own_months) + 1e-9));
}
