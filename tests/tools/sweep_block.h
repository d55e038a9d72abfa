/* Put before src/base/arena.c where it is compiled for the sweep driver, which sets the size of the blocks
 * that an arena takes. */
#ifndef TESTS_SWEEP_BLOCK_H
#define TESTS_SWEEP_BLOCK_H

#include <stddef.h>

extern size_t sweep_block;
#define ARENA_BLOCK_SIZE sweep_block

#endif
