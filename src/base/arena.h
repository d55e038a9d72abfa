/* An arena: memory for one loaded file or one document, released at once.
 *
 * Allocation never returns NULL. When memory runs out the arena is marked failed and control goes
 * to the escape that the caller of arena_init() prepared with setjmp(); that caller then releases
 * the arena and ends with a clean message. What a foreign library holds at that moment is released
 * through arena_defer().
 */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include <setjmp.h>
#include <stdbool.h>
#include <stddef.h>

struct arena_block;
struct arena_defer;

struct arena {
	struct arena_block *blocks;
	struct arena_defer *deferred;
	jmp_buf *escape; /* where to go when memory runs out; must outlive the arena */
	size_t used;     /* bytes handed out, for reports */
	bool failed;     /* sticky: memory ran out */
};

/* Makes `a` empty. Needs no memory, so cannot fail. */
void arena_init(struct arena *a, jmp_buf *escape);

/* Runs the deferred calls, last first, and gives all memory back. `a` may be used again. */
void arena_release(struct arena *a);

/* `size` zeroed bytes, aligned for any type; size 0 gives a valid pointer. */
void *arena_alloc(struct arena *a, size_t size);

/* Zeroed room for `count` items of `size` bytes; a product that overflows counts as no memory. */
void *arena_array(struct arena *a, size_t count, size_t size);

/* A larger copy of `old` (of `old_count` items); the old room stays until release. */
void *arena_grow(struct arena *a, const void *old, size_t old_count, size_t count, size_t size);

/* A copy of `length` bytes at `text`, ended with NUL. */
char *arena_copy(struct arena *a, const char *text, size_t length);

/* A copy of the C string `text`. */
char *arena_string(struct arena *a, const char *text);

/* Formatted text. Uses the C locale's number format only because the program never calls
 * setlocale(). */
char *arena_format(struct arena *a, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Calls `run(subject)` when `a` is released; at once, before the escape, when there is no memory to keep it in
 * mind, so that a subject just opened is never lost. */
void arena_defer(struct arena *a, void (*run)(void *subject), void *subject);

/* An arena for what is wanted only for a moment: released at the latest with `a`, or by arena_release(). */
struct arena *arena_scratch(struct arena *a);

/* Declares that memory ran out, for a foreign library that said so. Does not return. */
_Noreturn void arena_exhausted(struct arena *a);

#endif
