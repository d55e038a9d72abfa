/* One ask of the agenda in words: what is asked, how it is answered, what stands on record. */
#ifndef WORK_QUESTION_H
#define WORK_QUESTION_H

#include "work/agenda.h"

struct choice {
	const char *word, *title; /* what the record takes, and how people read it */
};

struct question {
	const struct ask *ask;
	const char *title;             /* what is asked */
	const char *help;              /* more of it; "" */
	const char *form;              /* how to write the answer: "a length, such as 180 mm (mm, cm, m, in)" */
	const struct choice *choices;
	size_t choice_count;
	bool several;                  /* any number of the choices, or of words */
	bool any_word;                 /* other words than the choices are taken as well */
	const char *value;             /* on record, as it is written there; NULL: none */
	bool keeps;                    /* an empty answer keeps that value */
	bool none, not_applicable;     /* `none`, `n/a: reason` answer it */
};

/* Words come from the job's phrasebook; what it lacks is named by its id. */
void question_of(struct arena *a, const struct job *job, const struct ask *ask, struct question *out);

#endif
