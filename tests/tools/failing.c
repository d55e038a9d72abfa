/* Preloaded into the program under test (LD_PRELOAD): makes the n-th call of a kind fail, counts the
 * calls, and counts what was allocated and never given back.
 *
 *   FAIL_ALLOC=n          the n-th malloc, calloc, realloc… returns NULL
 *   FAIL_IO=n[:kind]      the n-th call of kind read, write, fsync, close, open or rename fails, of
 *                         any of them without a kind
 *   FAIL_FROM=1           so do all calls after it
 *   FAIL_COUNT_FILE=name  at exit: "alloc N io N read N write N fsync N close N open N rename N"
 *   FAIL_LEAK_FILE=name   at exit: the number of allocations never freed, and their bytes
 *
 * Calls are counted from the moment main() is entered. read covers read, pread, fread and readdir; write covers
 * write, fwrite, fputs and fflush; close covers close and fclose; open covers open, openat, fopen and
 * opendir. Only allocations made since then are looked for at the end.
 */
#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <malloc.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdio_ext.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

enum kind { READ, WRITE, FSYNC, CLOSE, OPEN, RENAME, KINDS };
static const char *const KIND_NAMES[KINDS] = {"read", "write", "fsync", "close", "open", "rename"};
static const int KIND_ERRORS[KINDS] = {EIO, ENOSPC, EIO, EIO, EMFILE, EIO};

static bool active;
static bool from;
static long fail_alloc, fail_io;
static int fail_kind = KINDS; /* KINDS: any */
static atomic_long allocs, ios, calls[KINDS];

#define REAL(name) ((__typeof__(&name))real(#name))

static void *real(const char *name)
{
	void *f = dlsym(RTLD_NEXT, name);
	if (!f)
		_exit(125);
	return f;
}

static bool hit(long number, long wanted)
{
	return wanted && (number == wanted || (from && number > wanted));
}

static bool fails(enum kind kind)
{
	if (!active)
		return false;
	long any = ++ios, own = ++calls[kind];
	bool failed = fail_kind == KINDS ? hit(any, fail_io) :
		(int)kind == fail_kind && hit(own, fail_io);
	if (failed)
		errno = KIND_ERRORS[kind];
	return failed;
}

/* ---- memory: glibc's own entry points, so that nothing recurses while dlsym() allocates ---- */

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

static bool alloc_fails(void)
{
	if (!active || !hit(++allocs, fail_alloc))
		return false;
	errno = ENOMEM;
	return true;
}

/* Pointers handed out and not given back, by open addressing; GONE marks a slot to be reused. */
enum { SLOTS = 1 << 20 };
static void *slots[SLOTS];
static char gone;
static atomic_flag busy = ATOMIC_FLAG_INIT;

static void *taken(void *p)
{
	if (!p || !active)
		return p;
	while (atomic_flag_test_and_set(&busy))
		;
	size_t i = (uintptr_t)p / 16 * 0x9E3779B97F4A7C15u % SLOTS;
	for (size_t n = 0; slots[i] && slots[i] != &gone; i = (i + 1) % SLOTS)
		if (++n == SLOTS)
			_exit(125);
	slots[i] = p;
	atomic_flag_clear(&busy);
	return p;
}

static void given_back(const void *p)
{
	if (!p || !active)
		return;
	while (atomic_flag_test_and_set(&busy))
		;
	size_t i = (uintptr_t)p / 16 * 0x9E3779B97F4A7C15u % SLOTS;
	for (size_t n = 0; slots[i] && n < SLOTS; i = (i + 1) % SLOTS, n++) {
		if (slots[i] == p) {
			slots[i] = &gone;
			break;
		}
	}
	atomic_flag_clear(&busy);
}

void *malloc(size_t size)
{
	return alloc_fails() ? NULL : taken(__libc_malloc(size));
}

void *calloc(size_t count, size_t size)
{
	return alloc_fails() ? NULL : taken(__libc_calloc(count, size));
}

void *realloc(void *old, size_t size)
{
	if (alloc_fails())
		return NULL;
	void *p = __libc_realloc(old, size);
	if (p || size == 0)
		given_back(old);
	return taken(p);
}

void *memalign(size_t alignment, size_t size)
{
	return alloc_fails() ? NULL : taken(__libc_memalign(alignment, size));
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
	given_back(p);
	__libc_free(p);
}

/* ---- files ---- */

ssize_t read(int fd, void *bytes, size_t length)
{
	return fails(READ) ? -1 : REAL(read)(fd, bytes, length);
}

ssize_t pread(int fd, void *bytes, size_t length, off_t at)
{
	return fails(READ) ? -1 : REAL(pread)(fd, bytes, length, at);
}

size_t fread(void *bytes, size_t size, size_t count, FILE *f)
{
	return fails(READ) ? 0 : REAL(fread)(bytes, size, count, f);
}

ssize_t write(int fd, const void *bytes, size_t length)
{
	return fails(WRITE) ? -1 : REAL(write)(fd, bytes, length);
}

/* The C library writes its streams past write() above, so a stream fails by what is called on it: what
 * it holds is thrown away and its error is set, as a full disk would. */
enum { STREAM_ERROR = 0x20 }; /* glibc's _IO_ERR_SEEN, which ferror() looks at */

static bool stream_fails(FILE *f)
{
	if (!fails(WRITE))
		return false;
	__fpurge(f);
	f->_flags |= STREAM_ERROR;
	return true;
}

size_t fwrite(const void *bytes, size_t size, size_t count, FILE *f)
{
	return stream_fails(f) ? 0 : REAL(fwrite)(bytes, size, count, f);
}

int fputs(const char *text, FILE *f)
{
	return stream_fails(f) ? EOF : REAL(fputs)(text, f);
}

int fflush(FILE *f)
{
	return f && stream_fails(f) ? EOF : REAL(fflush)(f);
}

int fsync(int fd)
{
	return fails(FSYNC) ? -1 : REAL(fsync)(fd);
}

int close(int fd)
{
	/* As on a real disk: the descriptor is gone, the error is reported all the same. */
	bool failed = fails(CLOSE);
	int result = REAL(close)(fd);
	if (failed)
		errno = KIND_ERRORS[CLOSE];
	return failed ? -1 : result;
}

int fclose(FILE *f)
{
	bool failed = fails(CLOSE);
	int result = REAL(fclose)(f);
	if (failed)
		errno = KIND_ERRORS[CLOSE];
	return failed ? EOF : result;
}

static mode_t mode_of(int flags, va_list args)
{
	return flags & (O_CREAT | O_TMPFILE) ? va_arg(args, mode_t) : 0;
}

int open(const char *path, int flags, ...)
{
	va_list args;
	va_start(args, flags);
	mode_t mode = mode_of(flags, args);
	va_end(args);
	return fails(OPEN) ? -1 : REAL(open)(path, flags, mode);
}

int openat(int folder, const char *path, int flags, ...)
{
	va_list args;
	va_start(args, flags);
	mode_t mode = mode_of(flags, args);
	va_end(args);
	return fails(OPEN) ? -1 : REAL(openat)(folder, path, flags, mode);
}

/* What open() becomes under _FORTIFY_SOURCE when its flags are not constant. */
int __open_2(const char *path, int flags);
int __openat_2(int folder, const char *path, int flags);

int __open_2(const char *path, int flags)
{
	return open(path, flags);
}

int __openat_2(int folder, const char *path, int flags)
{
	return openat(folder, path, flags);
}

FILE *fopen(const char *path, const char *mode)
{
	return fails(OPEN) ? NULL : REAL(fopen)(path, mode);
}

struct dirent *readdir(DIR *folder)
{
	return fails(READ) ? NULL : REAL(readdir)(folder);
}

DIR *opendir(const char *path)
{
	return fails(OPEN) ? NULL : REAL(opendir)(path);
}

int rename(const char *old, const char *fresh)
{
	return fails(RENAME) ? -1 : REAL(rename)(old, fresh);
}

/* ---- from the start of main() to the end ---- */

static void read_settings(void)
{
	const char *alloc = getenv("FAIL_ALLOC"), *io = getenv("FAIL_IO");
	char *rest = NULL;
	from = getenv("FAIL_FROM") != NULL;
	fail_alloc = alloc ? strtol(alloc, NULL, 10) : 0;
	fail_io = io ? strtol(io, &rest, 10) : 0;
	for (int k = 0; rest && *rest == ':' && k < KINDS; k++)
		if (strcmp(rest + 1, KIND_NAMES[k]) == 0)
			fail_kind = k;
	if (rest && *rest == ':' && fail_kind == KINDS)
		_exit(125);
}

static void save(const char *variable, const char *text)
{
	const char *name = getenv(variable);
	if (!name)
		return;
	FILE *f = fopen(name, "w");
	if (!f || fputs(text, f) < 0 || fclose(f) != 0)
		_exit(125);
}

static void report(void)
{
	char text[400];
	long n = 0;
	size_t bytes = 0;
	active = false;
	for (size_t i = 0; i < SLOTS; i++) {
		if (slots[i] && slots[i] != &gone) {
			n++;
			bytes += malloc_usable_size(slots[i]);
		}
	}
	snprintf(text, sizeof text, "%ld %zu\n", n, bytes);
	save("FAIL_LEAK_FILE", text);
	int at = snprintf(text, sizeof text, "alloc %ld io %ld", (long)allocs, (long)ios);
	for (int k = 0; k < KINDS; k++)
		at += snprintf(text + at, sizeof text - (size_t)at, " %s %ld", KIND_NAMES[k],
			(long)calls[k]);
	snprintf(text + at, sizeof text - (size_t)at, "\n");
	save("FAIL_COUNT_FILE", text);
}

static char output[4096], input[4096];
static int (*real_main)(int, char **, char **);

static int counted_main(int argc, char **argv, char **environment)
{
	read_settings();
	/* Stream buffers live to the end and are no leak. */
	if (!isatty(STDOUT_FILENO))
		setvbuf(stdout, output, _IOFBF, sizeof output);
	setvbuf(stdin, input, _IOFBF, sizeof input);
	active = true;
	return real_main(argc, argv, environment);
}

int __libc_start_main(int (*main)(int, char **, char **), int argc, char **argv,
	void (*init)(void), void (*fini)(void), void (*loader_fini)(void), void *stack_end);

int __libc_start_main(int (*main)(int, char **, char **), int argc, char **argv,
	void (*init)(void), void (*fini)(void), void (*loader_fini)(void), void *stack_end)
{
	real_main = main;
	/* First in, so last out: after the program's own calls at exit. */
	atexit(report);
	return REAL(__libc_start_main)(counted_main, argc, argv, init, fini, loader_fini, stack_end);
}
