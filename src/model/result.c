#include "model/result.h"

#include <stdlib.h>
#include <string.h>

static int compare_path(const void *key, const void *file)
{
	return strcmp(key, ((const struct job_file *)file)->path);
}

const struct job_file *job_files_find(const struct job_files *files, const char *path)
{
	if (!files->count)
		return NULL;
	return bsearch(path, files->files, files->count, sizeof *files->files, compare_path);
}
