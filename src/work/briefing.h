/* What an experienced colleague says before a question: where to stand, what can happen here and to whom, what the
 * geometry says, which measures can answer it and what each needs, and the cautions that belong here. */
#ifndef WORK_BRIEFING_H
#define WORK_BRIEFING_H

#include "work/agenda.h"

enum told_kind {
	TOLD_LEG,     /* a new leg of the walk */
	TOLD_HEADING, /* a zone, a check, a function, a force point */
	TOLD_TEXT,
	TOLD_ITEM,    /* one of several: a hazard, a gap, a measure */
	TOLD_DETAIL,  /* more about the item before it */
	TOLD_CAUTION,
};

struct told {
	enum told_kind kind;
	const char *text;
};

struct briefing {
	struct told *items;
	size_t count, room;
};

/* `before`: the ask that was answered last, or NULL. What has been told for it is not told again: a leg, zone, check
 * or item is introduced when the walk comes to it. */
void briefing_of(struct arena *a, const struct job *job, const struct ask *ask, const struct ask *before,
	struct briefing *out);

#endif
