/* Feeds every file of the folders named on the command line to the harness it is linked with, once,
 * in the order of their names; without clang's fuzzer. No file at all is a failure. */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int replay_file(const char *path)
{
	FILE *f = fopen(path, "rb");
	struct stat st;
	if (!f || fstat(fileno(f), &st) != 0 || !S_ISREG(st.st_mode)) {
		fprintf(stderr, "replay: cannot read %s\n", path);
		return -1;
	}
	size_t size = (size_t)st.st_size;
	uint8_t *data = malloc(size ? size : 1);
	if (!data || fread(data, 1, size, f) != size) {
		fprintf(stderr, "replay: cannot read %s\n", path);
		return -1;
	}
	fclose(f);
	/* Printed first, so that the log names the file that ends the program. */
	printf("%s\n", path);
	fflush(stdout);
	LLVMFuzzerTestOneInput(data, size);
	free(data);
	return 0;
}

static int replay_folder(const char *folder)
{
	struct dirent **names;
	int n = scandir(folder, &names, NULL, alphasort), done = 0;
	if (n < 0) {
		fprintf(stderr, "replay: no folder %s\n", folder);
		return -1;
	}
	for (int i = 0; i < n; i++) {
		char path[4096];
		int length = snprintf(path, sizeof path, "%s/%s", folder, names[i]->d_name);
		if (names[i]->d_name[0] != '.' && done >= 0) {
			int bad = length < 0 || (size_t)length >= sizeof path;
			done = bad || replay_file(path) != 0 ? -1 : done + 1;
		}
		free(names[i]);
	}
	free(names);
	return done;
}

int main(int argc, char **argv)
{
	int total = 0;
	for (int i = 1; i < argc; i++) {
		int n = replay_folder(argv[i]);
		if (n < 0)
			return EXIT_FAILURE;
		total += n;
	}
	printf("%d inputs\n", total);
	return total ? EXIT_SUCCESS : EXIT_FAILURE;
}
