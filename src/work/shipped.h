/* What is built into the program, loaded: library and words. */
#ifndef WORK_SHIPPED_H
#define WORK_SHIPPED_H

#include "model/library.h"
#include "model/phrase.h"

#define PINTLE_VERSION "0.1"

/* The words of `language` ("en"). */
struct phrasebook *shipped_words(struct arena *a, const char *language, struct findings *findings);

/* The shipped library with the overlay files of `folder`/library (NULL: none) in the order of their
 * names. Findings tell what is wrong with them; at FINDING_INPUT nothing may be judged by it. */
struct library *shipped_library(struct arena *a, const char *folder, struct findings *findings);

#endif
