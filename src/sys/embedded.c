#include "sys/embedded.h"

#include <string.h>

/* Number of the first file whose name is not before `name`. */
static size_t lower_bound(const char *name)
{
	size_t low = 0, high = embedded_file_count;
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (strcmp(embedded_files[middle].name, name) < 0)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

const struct embedded_file *embedded_find(const char *name)
{
	const struct embedded_file *f = &embedded_files[lower_bound(name)];
	return f->name && strcmp(f->name, name) == 0 ? f : NULL;
}

const struct embedded_file *embedded_list(const char *prefix, size_t index)
{
	size_t first = lower_bound(prefix);
	if (index >= embedded_file_count - first)
		return NULL;
	const struct embedded_file *f = &embedded_files[first + index];
	return strncmp(f->name, prefix, strlen(prefix)) == 0 ? f : NULL;
}
