/* What every document is built from. All of it must outlive the document. */
#ifndef DOC_INPUT_H
#define DOC_INPUT_H

#include "model/phrase.h"
#include "model/result.h"

struct doc_input {
	const struct assessment *assessment;
	const struct phrasebook *phrasebook;
	const struct job_files *files;
	const char *version;            /* of the program */
	const struct rule_names *names; /* for the rules of bodies and limits; not of one zone */
	struct findings *findings;      /* faults of the templates are added here */
};

#endif
