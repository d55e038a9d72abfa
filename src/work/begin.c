#include "work/begin.h"

#include <errno.h>
#include <string.h>

#include "sys/embedded.h"
#include "sys/file.h"
#include "sys/folder.h"

enum begin_outcome job_begin(struct arena *a, const char *folder, const char *text, const char **path,
	const char **why)
{
	static const char *const FOLDERS[] = {"curves", "photos", "papers", "library"};
	const struct embedded_file *schema = embedded_find("docs/record.schema.json");
	const char *record = folder_join(a, folder, "gate.yaml");
	enum file_outcome outcome = FILE_FINE;
	*path = record;
	if (file_kind(record) != FILE_KIND_NONE)
		return BEGIN_EXISTS;
	for (size_t i = 0; outcome == FILE_FINE && i < sizeof FOLDERS / sizeof *FOLDERS; i++) {
		*path = folder_join(a, folder, FOLDERS[i]);
		outcome = folder_make(a, *path);
	}
	if (outcome == FILE_FINE && schema) {
		*path = folder_join(a, folder, "record.schema.json");
		outcome = file_write(a, *path, schema->bytes, schema->length);
	}
	if (outcome == FILE_FINE) {
		*path = record;
		outcome = file_write(a, record, text, strlen(text));
	}
	if (outcome == FILE_FINE)
		return BEGIN_FINE;
	*why = file_reason(outcome, errno);
	return BEGIN_FAILED;
}
