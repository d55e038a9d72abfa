/* The allocator of the sweep driver: glibc's, but one call can be made to fail, and what is not given
 * back is counted. It stands in for malloc() and its kin in the driver and in every shared library. */
#ifndef TESTS_SWEEP_MEMORY_H
#define TESTS_SWEEP_MEMORY_H

#include <stdbool.h>

/* From now on calls are counted from 1; call `fail_at` fails (0: none), with `onwards` all after it too. */
void memory_arm(long fail_at, bool onwards);

struct memory_count {
	long calls;       /* that could have failed */
	long outstanding; /* allocations not given back */
};

/* Ends the counting. */
struct memory_count memory_disarm(void);

#endif
