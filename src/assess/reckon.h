/* The pocket book: each computation of the job on its own, by the same functions and tables that serve an
 * assessment. Pure. */
#ifndef ASSESS_RECKON_H
#define ASSESS_RECKON_H

#include "model/library.h"
#include "model/reckoning.h"

/* Which way a value has to move to make things worse. */
enum worse { WORSE_NEITHER, WORSE_HIGHER, WORSE_LOWER };

enum reckon_kind { RECKON_QUANTITY, RECKON_WORD, RECKON_WORDS, RECKON_DATE };

/* Bits: in which form of the computation a key may be given. */
enum { FORM_1 = 1, FORM_2 = 2, FORM_3 = 4, FORM_ALL = 7 };

/* A key. Its words: reckon.<name>.keys.<key>, else reckon-keys.<key>. */
struct reckon_key {
	const char *name;
	enum reckon_kind kind;
	const struct dimension *dim; /* RECKON_QUANTITY */
	const char *bare;       /* unit that a bare number is taken in ("years"); "" for plain numbers; NULL: a
	                           unit must be written. Of a plain number, "1/h" may be written behind it */
	const char *choices;    /* "slot|square|round"; NULL: any word */
	const char *low, *high; /* the range in which the computation holds, both ends in it; NULL: none */
	const char *usual;      /* default; NULL: none */
	bool list;              /* a,b,c */
	unsigned forms;         /* in which it may be given; 0: all */
	unsigned needed;        /* in which it must be given */
	enum worse worse;       /* a quantity with doubt counts by its worse end; WORSE_NEITHER: by its interval
	                           where a table is looked up, else doubt is refused */
};

struct reckon_result_key {
	const char *name;
	enum worse worse;
};

struct reckoning_run; /* assess/reckoner.h */

struct reckoner {
	const char *name;
	const struct reckon_key *keys;
	size_t key_count;
	const struct reckon_result_key *results;
	size_t result_count;
	unsigned forms;         /* how many forms it has: FORM_1, or FORM_1 | FORM_2 … */
	void (*run)(struct reckoning_run *r);
};

struct reckon_family {
	const char *id;         /* words reckon-families.<id> */
	const struct reckoner *reckoners;
	size_t count;
};

extern const struct reckon_family *const RECKON_FAMILIES[]; /* ended by NULL */

/* NULL when there is none of that name. */
const struct reckoner *reckoner_find(const char *name);

/* "mass=300kg": a key and what stands behind the first =. */
struct reckon_argument {
	const char *key, *text; /* text NULL: no = was written */
};

/* Cuts "mass=300kg" at its first =. */
struct reckon_argument reckon_argument_read(struct arena *a, const char *text);

/* Computes. What is wrong with name, keys or values, or makes it not computable, becomes findings; there are
 * then no results. */
struct reckoning *reckon(struct arena *a, const struct library *library, const char *name,
	const struct reckon_argument *arguments, size_t count);

#endif
