/* A mutant, and the places of the library where one may be. */
#ifndef MUTANTS_H
#define MUTANTS_H

#include "base/arena.h"
#include "model/library.h"

struct mutant {
	int number;          /* of the switch; 0: of the library */
	const char *file, *kind;
	int line;
	const char *from, *to, *text;
};

/* How many places the library has. */
size_t library_places(struct arena *a, struct library *l);

/* What becomes of place `n` (from 0); with `change` it does. */
struct mutant library_mutant(struct arena *a, struct library *l, size_t n, bool change);

#endif
