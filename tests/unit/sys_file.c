#include <criterion/criterion.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <signal.h>
#include <unistd.h>

#include "base/text.h"
#include "sys/file.h"
#include "sys/folder.h"

static jmp_buf escape;
static struct arena a;
static char top[] = "build/sys_file.XXXXXX";

static void setup(void)
{
	arena_init(&a, &escape);
	cr_assert_not_null(mkdtemp(top), "the tests run in the top folder, with build/ in it");
}

static void teardown(void)
{
	char command[64];
	snprintf(command, sizeof command, "rm -rf %s", top);
	cr_expect_eq(system(command), 0);
	arena_release(&a);
}

TestSuite(sys_file, .init = setup, .fini = teardown);

static const char *in_top(const char *name)
{
	return folder_join(&a, top, name);
}

static void put(const char *name, const char *text)
{
	FILE *f = fopen(in_top(name), "wb");
	cr_assert_not_null(f);
	fputs(text, f);
	cr_assert_eq(fclose(f), 0);
}

static const char *get(const char *name)
{
	struct file_bytes b;
	cr_assert_eq(file_read(&a, in_top(name), 1 << 20, &b), FILE_FINE);
	return b.bytes;
}

static size_t entries(void)
{
	struct folder_list list;
	cr_assert_eq(folder_list(&a, top, &list), FILE_FINE);
	return list.count;
}

Test(sys_file, reads_all_bytes_and_ends_them_with_nul)
{
	FILE *f = fopen(in_top("x"), "wb");
	cr_assert_not_null(f);
	cr_assert_eq(fwrite("a\0b\xff", 1, 4, f), 4);
	fclose(f);
	struct file_bytes b;
	cr_assert_eq(file_read(&a, in_top("x"), 4, &b), FILE_FINE);
	cr_expect_eq(b.length, 4);
	cr_expect_eq(memcmp(b.bytes, "a\0b\xff", 5), 0);
}

Test(sys_file, the_cap_is_the_last_size_that_is_read)
{
	put("x", "12345");
	struct file_bytes b = {NULL, 99};
	cr_expect_eq(file_read(&a, in_top("x"), 4, &b), FILE_LARGE);
	cr_expect(b.bytes == NULL && b.length == 99, "untouched on failure");
	cr_expect_eq(file_read(&a, in_top("x"), 5, &b), FILE_FINE);
	cr_expect_eq(b.length, 5);
	put("empty", "");
	cr_expect_eq(file_read(&a, in_top("empty"), 0, &b), FILE_FINE);
	cr_expect_eq(b.length, 0);
	cr_expect_str_eq(b.bytes, "");
}

Test(sys_file, reads_a_pipe_to_its_end_under_the_same_cap)
{
	int ends[2];
	cr_assert_eq(pipe(ends), 0);
	static char many[40000];
	memset(many, 'x', sizeof many);
	cr_assert_eq(write(ends[1], many, sizeof many), (ssize_t)sizeof many);
	close(ends[1]);
	struct file_bytes b;
	cr_assert_eq(file_read_open(&a, ends[0], sizeof many, &b), FILE_FINE);
	cr_expect_eq(b.length, sizeof many);
	cr_expect_eq(memcmp(b.bytes, many, sizeof many), 0);
	close(ends[0]);
	cr_assert_eq(pipe(ends), 0);
	cr_assert_eq(write(ends[1], many, sizeof many), (ssize_t)sizeof many);
	close(ends[1]);
	cr_expect_eq(file_read_open(&a, ends[0], sizeof many - 1, &b), FILE_LARGE);
	close(ends[0]);
}

Test(sys_file, what_is_no_plain_file_is_told_apart)
{
	struct file_bytes b;
	cr_expect_eq(file_read(&a, in_top("none"), 10, &b), FILE_ABSENT);
	cr_expect_eq(errno, ENOENT);
	put("x", "1");
	cr_expect_eq(file_read(&a, in_top("x/y"), 10, &b), FILE_ABSENT);
	cr_expect_eq(file_read(&a, top, 10, &b), FILE_NOT_PLAIN);
	cr_expect_eq(file_read(&a, "/dev/zero", 10, &b), FILE_NOT_PLAIN);
	/* Would wait for ever if it were opened as a plain file is. */
	cr_assert_eq(mkfifo(in_top("pipe"), 0600), 0);
	cr_expect_eq(file_read(&a, in_top("pipe"), 10, &b), FILE_NOT_PLAIN);
	cr_expect_eq(file_kind(in_top("x")), FILE_KIND_PLAIN);
	cr_expect_eq(file_kind(top), FILE_KIND_FOLDER);
	cr_expect_eq(file_kind(in_top("pipe")), FILE_KIND_OTHER);
	cr_expect_eq(file_kind(in_top("none")), FILE_KIND_NONE);
}

static enum file_outcome inside(const char *name)
{
	struct file_bytes b;
	return file_read_inside(&a, in_top("job"), name, 100, &b);
}

static void make_job(void)
{
	cr_assert_eq(folder_make(&a, in_top("job/photos")), FILE_FINE);
	cr_assert_eq(folder_make(&a, in_top("job-2")), FILE_FINE);
	put("job/gate.yaml", "record: 1\n");
	put("job/photos/post.jpg", "picture");
	put("secret", "secret");
	put("job-2/secret", "secret");
}

Test(sys_file, names_stay_in_the_job_folder)
{
	make_job();
	cr_expect_eq(inside("gate.yaml"), FILE_FINE);
	cr_expect_eq(inside("photos/post.jpg"), FILE_FINE);
	cr_expect_eq(inside("./photos//post.jpg"), FILE_FINE);
	cr_expect_eq(inside("photos/../gate.yaml"), FILE_FINE);
	cr_expect_eq(inside("none"), FILE_ABSENT);
	cr_expect_eq(inside("gate.yaml/x"), FILE_ABSENT);
	cr_expect_eq(inside("photos"), FILE_NOT_PLAIN);
	cr_expect_eq(inside("."), FILE_NOT_PLAIN);
	cr_expect_eq(inside(""), FILE_NOT_PLAIN);
	cr_expect_eq(inside("../secret"), FILE_OUTSIDE);
	cr_expect_eq(inside("../none"), FILE_OUTSIDE, "even when there is nothing");
	cr_expect_eq(inside("photos/../../secret"), FILE_OUTSIDE);
	cr_expect_eq(inside("../job-2/secret"), FILE_OUTSIDE);
	cr_expect_eq(inside("/etc/passwd"), FILE_OUTSIDE);
	char *absolute = realpath(in_top("job/gate.yaml"), NULL);
	cr_assert_not_null(absolute);
	cr_expect_eq(inside(absolute), FILE_OUTSIDE);
	free(absolute);
}

Test(sys_file, links_may_lead_about_but_not_out)
{
	make_job();
	cr_assert_eq(symlink("photos/post.jpg", in_top("job/inner")), 0);
	cr_assert_eq(symlink("photos", in_top("job/pictures")), 0);
	cr_assert_eq(symlink("../secret", in_top("job/out")), 0);
	cr_assert_eq(symlink("/etc/passwd", in_top("job/far")), 0);
	cr_assert_eq(symlink("..", in_top("job/up")), 0);
	cr_assert_eq(symlink("../../job-2", in_top("job/photos/beside")), 0);
	cr_assert_eq(symlink("nowhere", in_top("job/dangling")), 0);
	cr_assert_eq(symlink("loop", in_top("job/loop")), 0);
	cr_expect_eq(inside("inner"), FILE_FINE);
	cr_expect_eq(inside("pictures/post.jpg"), FILE_FINE);
	cr_expect_eq(inside("out"), FILE_OUTSIDE);
	cr_expect_eq(inside("far"), FILE_OUTSIDE);
	cr_expect_eq(inside("up/secret"), FILE_OUTSIDE);
	cr_expect_eq(inside("up/job/gate.yaml"), FILE_FINE);
	cr_expect_eq(inside("photos/beside/secret"), FILE_OUTSIDE);
	cr_expect_eq(inside("dangling"), FILE_ABSENT);
	cr_expect_eq(inside("loop"), FILE_FAILED);
	cr_expect_eq(errno, ELOOP);
	/* The job folder itself may be reached through a link. */
	struct file_bytes b;
	cr_assert_eq(symlink("job", in_top("by-link")), 0);
	cr_expect_eq(file_read_inside(&a, in_top("by-link"), "gate.yaml", 100, &b), FILE_FINE);
	cr_expect_str_eq(b.bytes, "record: 1\n");
}

Test(sys_file, a_resolved_path_is_absolute)
{
	make_job();
	const char *path = "kept";
	cr_expect_eq(file_inside(&a, in_top("job"), "../secret", &path), FILE_OUTSIDE);
	cr_expect_str_eq(path, "kept");
	cr_assert_eq(file_inside(&a, in_top("job"), "photos/post.jpg", &path), FILE_FINE);
	cr_expect_eq(path[0], '/');
	cr_expect(text_ends(path, "/job/photos/post.jpg"), "%s", path);
}

Test(sys_file, a_write_replaces_and_keeps_permissions)
{
	cr_assert_eq(file_write(&a, in_top("x"), "one", 3), FILE_FINE);
	cr_expect_str_eq(get("x"), "one");
	cr_assert_eq(chmod(in_top("x"), 0640), 0);
	cr_assert_eq(file_write(&a, in_top("x"), "two, longer", 11), FILE_FINE);
	cr_expect_str_eq(get("x"), "two, longer");
	cr_assert_eq(file_write(&a, in_top("x"), "", 0), FILE_FINE);
	cr_expect_str_eq(get("x"), "");
	struct stat st;
	cr_assert_eq(stat(in_top("x"), &st), 0);
	cr_expect_eq(st.st_mode & 0777, 0640);
	cr_expect_eq(entries(), 1, "nothing but the file itself");
}

Test(sys_file, a_write_that_fails_leaves_the_old_file)
{
	put("x", "old");
	static char many[100000];
	/* The system refuses bytes beyond this size, as a full disk would. */
	struct rlimit limit = {5000, 5000};
	signal(SIGXFSZ, SIG_IGN);
	cr_assert_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
	cr_expect_eq(file_write(&a, in_top("x"), many, sizeof many), FILE_FAILED);
	cr_expect_eq(errno, EFBIG);
	cr_expect_str_eq(get("x"), "old");
	cr_expect_eq(entries(), 1);
}

Test(sys_file, a_left_over_temporary_file_is_in_no_ones_way)
{
	put("x.0.tmp", "of a run that was killed");
	cr_assert_eq(file_write(&a, in_top("x"), "new", 3), FILE_FINE);
	cr_expect_str_eq(get("x"), "new");
	cr_expect_str_eq(get("x.0.tmp"), "of a run that was killed");
	cr_expect_eq(entries(), 2);
}

Test(sys_file, only_plain_files_are_replaced)
{
	make_job();
	cr_expect_eq(file_write(&a, in_top("job"), "x", 1), FILE_NOT_PLAIN);
	cr_assert_eq(symlink("secret", in_top("link")), 0);
	cr_expect_eq(file_write(&a, in_top("link"), "x", 1), FILE_NOT_PLAIN);
	cr_expect_str_eq(get("secret"), "secret");
	cr_expect_eq(file_write(&a, in_top("none/x"), "x", 1), FILE_ABSENT);
}

Test(sys_file, no_descriptor_is_lost)
{
	make_job();
	int before = dup(0);
	struct file_bytes b;
	for (int i = 0; i < 20; i++) {
		file_read(&a, in_top("secret"), 2, &b);
		file_read(&a, in_top("secret"), 20, &b);
		inside("photos/post.jpg");
		inside("photos");
		file_write(&a, in_top("y"), "x", 1);
		file_write(&a, in_top("job"), "x", 1);
		entries();
	}
	int after = dup(0);
	cr_expect_eq(after, before + 1);
	close(before);
	close(after);
}

Test(sys_file, folders_are_listed_in_byte_order)
{
	make_job();
	put("job/B", "12");
	put("job/a", "");
	cr_assert_eq(symlink("/", in_top("job/root")), 0);
	struct folder_list list;
	cr_assert_eq(folder_list(&a, in_top("job"), &list), FILE_FINE);
	cr_assert_eq(list.count, 5);
	static const char *const NAMES[] = {"B", "a", "gate.yaml", "photos", "root"};
	static const enum file_kind KINDS[] = {FILE_KIND_PLAIN, FILE_KIND_PLAIN, FILE_KIND_PLAIN,
		FILE_KIND_FOLDER, FILE_KIND_LINK};
	for (size_t i = 0; i < 5; i++) {
		cr_expect_str_eq(list.items[i].name, NAMES[i]);
		cr_expect_eq(list.items[i].kind, KINDS[i]);
	}
	cr_expect_eq(list.items[0].size, 2);
	cr_assert_eq(folder_walk(&a, in_top("job"), &list), FILE_FINE);
	cr_assert_eq(list.count, 5, "the link to the root is not walked");
	cr_expect_str_eq(list.items[3].name, "photos/post.jpg");
	cr_expect_eq(folder_list(&a, in_top("none"), &list), FILE_ABSENT);
	cr_expect_eq(folder_list(&a, in_top("secret"), &list), FILE_NOT_PLAIN);
	cr_expect_eq(folder_list(&a, in_top("secret/below"), &list), FILE_ABSENT);
}

Test(sys_file, walking_has_a_bottom)
{
	const char *deep = top;
	for (int i = 1; i < FOLDER_DEPTH; i++)
		deep = folder_join(&a, deep, "d");
	cr_assert_eq(folder_make(&a, deep), FILE_FINE);
	struct folder_list list;
	cr_expect_eq(folder_walk(&a, top, &list), FILE_FINE);
	cr_assert_eq(folder_make(&a, folder_join(&a, deep, "d")), FILE_FINE);
	cr_expect_eq(folder_walk(&a, top, &list), FILE_LARGE);
}

Test(sys_file, folders_are_made_with_all_above)
{
	cr_expect_eq(folder_make(&a, in_top("p/q//r/")), FILE_FINE);
	cr_expect_eq(file_kind(in_top("p/q/r")), FILE_KIND_FOLDER);
	cr_expect_eq(folder_make(&a, in_top("p/q")), FILE_FINE, "is there already");
	put("x", "");
	cr_expect_eq(folder_make(&a, in_top("x")), FILE_NOT_PLAIN);
	cr_expect_neq(folder_make(&a, in_top("x/y")), FILE_FINE);
	cr_expect_str_eq(folder_join(&a, "", "n"), "n");
	cr_expect_str_eq(folder_join(&a, ".", "n"), "n");
	cr_expect_str_eq(folder_join(&a, "/", "n"), "/n");
	cr_expect_str_eq(folder_join(&a, "r/", "n"), "r/n");
}

Test(sys_file, every_outcome_has_its_finding)
{
	struct findings list;
	findings_init(&list, &a);
	struct place at = {"gate.yaml", 3, 5};
	static const struct row {
		enum file_outcome outcome;
		int error;
		enum finding_code code;
		char reason[32];
	} ROWS[] = {
		{FILE_ABSENT, ENOENT, FINDING_CODE_FILE_MISSING, "no such file or folder"},
		{FILE_LARGE, 0, FINDING_CODE_FILE_TOO_LARGE, "too large"},
		{FILE_OUTSIDE, 0, FINDING_CODE_PATH_OUTSIDE, "outside of the folder"},
		{FILE_NOT_PLAIN, 0, FINDING_CODE_FILE_UNREADABLE, "not a plain file"},
		{FILE_FAILED, EACCES, FINDING_CODE_FILE_UNREADABLE, "Permission denied"},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct finding *f = file_finding(&list, ROWS[i].outcome, ROWS[i].error, "a\nb",
			4 << 20, "photos", at);
		cr_expect_eq(f->code, ROWS[i].code);
		cr_expect_eq(f->at.line, 3);
		cr_expect_str_eq(f->values->name, "file");
		cr_expect_str_eq(f->values->value, "a\\x0ab");
		cr_expect_str_eq(f->values->next->value, "4 MiB");
		cr_expect_str_eq(f->values->next->next->value, ROWS[i].reason);
	}
}
