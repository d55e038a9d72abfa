#include "sweep_memory.h"

#include <errno.h>
#include <stddef.h>

extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *old, size_t size);
extern void *__libc_memalign(size_t alignment, size_t size);
extern void __libc_free(void *p);

void *malloc(size_t size);
void *calloc(size_t count, size_t size);
void *realloc(void *old, size_t size);
void *memalign(size_t alignment, size_t size);
void *aligned_alloc(size_t alignment, size_t size);
int posix_memalign(void **out, size_t alignment, size_t size);
void free(void *p);

static bool armed, all_after;
static long failing;
static struct memory_count counted;

void memory_arm(long fail_at, bool onwards)
{
	counted = (struct memory_count){0};
	failing = fail_at;
	all_after = onwards;
	armed = true;
}

struct memory_count memory_disarm(void)
{
	armed = false;
	return counted;
}

static bool fails(void)
{
	if (!armed)
		return false;
	long n = ++counted.calls;
	if (!failing || (n != failing && !(all_after && n > failing)))
		return false;
	errno = ENOMEM;
	return true;
}

static void *taken(void *p)
{
	counted.outstanding += armed && p;
	return p;
}

void *malloc(size_t size)
{
	return fails() ? NULL : taken(__libc_malloc(size));
}

void *calloc(size_t count, size_t size)
{
	return fails() ? NULL : taken(__libc_calloc(count, size));
}

void *realloc(void *old, size_t size)
{
	if (fails())
		return NULL;
	void *p = __libc_realloc(old, size);
	if (!old)
		return taken(p);
	/* Given back by size 0; moved, it is still one. */
	counted.outstanding -= armed && !p && size == 0;
	return p;
}

void *memalign(size_t alignment, size_t size)
{
	return fails() ? NULL : taken(__libc_memalign(alignment, size));
}

void *aligned_alloc(size_t alignment, size_t size)
{
	return memalign(alignment, size);
}

int posix_memalign(void **out, size_t alignment, size_t size)
{
	void *p = memalign(alignment, size);
	if (!p)
		return ENOMEM;
	*out = p;
	return 0;
}

void free(void *p)
{
	counted.outstanding -= armed && p;
	__libc_free(p);
}
