#include "base/arena.h"

#include <assert.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifndef ARENA_BLOCK_SIZE
#define ARENA_BLOCK_SIZE ((size_t)64 * 1024)
#endif

struct arena_block {
	struct arena_block *next;
	size_t size, used;
	max_align_t data[];
};

struct arena_defer {
	struct arena_defer *next;
	void (*run)(void *subject);
	void *subject;
};

void arena_init(struct arena *a, jmp_buf *escape)
{
	memset(a, 0, sizeof *a);
	a->escape = escape;
}

void arena_release(struct arena *a)
{
	while (a->deferred) {
		struct arena_defer *d = a->deferred;
		a->deferred = d->next;
		d->run(d->subject);
	}
	while (a->blocks) {
		struct arena_block *b = a->blocks;
		a->blocks = b->next;
		free(b);
	}
	a->used = 0;
	a->failed = false;
}

_Noreturn void arena_exhausted(struct arena *a)
{
	a->failed = true;
	assert(a->escape);
	longjmp(*a->escape, 1);
}

/* NULL when there is no memory. What the bytes are is left to the caller. */
static void *take(struct arena *a, size_t size)
{
	size_t unit = sizeof(max_align_t);
	if (size > SIZE_MAX / 2)
		return NULL;
	size_t need = size == 0 ? unit : (size + unit - 1) / unit * unit;
	struct arena_block *b = a->blocks;
	if (!b || b->size - b->used < need) {
		size_t room = need > ARENA_BLOCK_SIZE / 4 ? need : ARENA_BLOCK_SIZE;
		struct arena_block *fresh = malloc(sizeof *fresh + room);
		if (!fresh)
			return NULL;
		fresh->size = room;
		fresh->used = 0;
		/* A large item gets a block of its own behind the current one, which stays open. */
		if (b && room == need) {
			fresh->next = b->next;
			b->next = fresh;
		} else {
			fresh->next = b;
			a->blocks = fresh;
		}
		b = fresh;
	}
	void *p = (char *)b->data + b->used;
	b->used += need;
	a->used += need;
	return p;
}

void *arena_alloc(struct arena *a, size_t size)
{
	void *p = take(a, size);
	if (!p)
		arena_exhausted(a);
	return memset(p, 0, size);
}

void *arena_array(struct arena *a, size_t count, size_t size)
{
	if (size != 0 && count > SIZE_MAX / 2 / size)
		arena_exhausted(a);
	return arena_alloc(a, count * size);
}

void *arena_grow(struct arena *a, const void *old, size_t old_count, size_t count, size_t size)
{
	void *fresh = arena_array(a, count, size);
	if (old && old_count)
		memcpy(fresh, old, old_count * size);
	return fresh;
}

char *arena_copy(struct arena *a, const char *text, size_t length)
{
	char *copy = take(a, length + 1);
	if (!copy)
		arena_exhausted(a);
	if (length)
		memcpy(copy, text, length);
	copy[length] = '\0';
	return copy;
}

char *arena_string(struct arena *a, const char *text)
{
	return arena_copy(a, text, strlen(text));
}

/* Most formats only join texts: those are put together without the library's printf. The length, or -1 when there is
 * anything else in the format, or no room. */
static int join(char *to, size_t room, const char *format, va_list args)
{
	size_t n = 0;
	for (const char *p = format; *p; p++) {
		if (*p != '%') {
			if (n + 1 >= room)
				return -1;
			to[n++] = *p;
			continue;
		}
		const char *text = *++p == 's' ? va_arg(args, const char *) : NULL;
		if (!text || strlen(text) >= room - n)
			return -1;
		size_t length = strlen(text);
		memcpy(to + n, text, length);
		n += length;
	}
	to[n] = '\0';
	return (int)n;
}

char *arena_format(struct arena *a, const char *format, ...)
{
	char small[512];
	va_list args, again;
	va_start(args, format);
	va_copy(again, args);
	int joined = join(small, sizeof small, format, again);
	va_end(again);
	if (joined >= 0) {
		va_end(args);
		return arena_copy(a, small, (size_t)joined);
	}
	va_copy(again, args);
	int n = vsnprintf(small, sizeof small, format, args);
	va_end(args);
	if (n < 0) {
		va_end(again);
		arena_exhausted(a);
	}
	char *text = arena_alloc(a, (size_t)n + 1);
	if ((size_t)n < sizeof small)
		memcpy(text, small, (size_t)n + 1);
	else
		vsnprintf(text, (size_t)n + 1, format, again);
	va_end(again);
	return text;
}

void arena_defer(struct arena *a, void (*run)(void *subject), void *subject)
{
	struct arena_defer *d = take(a, sizeof *d);
	if (!d) {
		run(subject);
		arena_exhausted(a);
	}
	d->run = run;
	d->subject = subject;
	d->next = a->deferred;
	a->deferred = d;
}

static void release_scratch(void *subject)
{
	arena_release(subject);
}

struct arena *arena_scratch(struct arena *a)
{
	struct arena *scratch = arena_alloc(a, sizeof *scratch);
	arena_init(scratch, a->escape);
	arena_defer(a, release_scratch, scratch);
	return scratch;
}
