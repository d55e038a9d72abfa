/* Included before every mutated source. */
#ifndef MUTANT_H
#define MUTANT_H

#include <string.h>

extern int mutant_number; /* the one in force; 0: none */

#define mutant_is(n) (mutant_number == (n))

/* `set` puts a constant object into the state of mutant `n`. */
void mutant_setter(int n, void (*set)(void));

#endif
