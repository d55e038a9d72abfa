/* Reading entries of the library by their tables. Internal to load/library*.c. */
#ifndef LOAD_LIBRARY_READ_H
#define LOAD_LIBRARY_READ_H

#include "load/library_table.h"
#include "load/schema.h"
#include "yaml/bind.h"

/* A rule read and not yet compiled: what it may name is known only when every entry was read. */
struct pending_rule {
	const struct rule **slot;
	const char *text, *path;
	struct place at;
	enum lib_group_id group; /* of the entry that it belongs to */
	const void *owner;       /* that entry */
	bool known;              /* tested before: read when it is first wanted */
};

/* A rule that another place has as well. */
struct rule_copy {
	const struct rule **slot, *const *first;
};

struct lib_reader {
	struct bind bind;
	struct library *library;
	struct choices ids[GROUP_COUNT]; /* of every entry, each group sorted */
	struct schema fields;            /* of the record's root */
	bool known;                      /* the entry being read was tested before */
	bool replaced;                   /* some entry of an overlay stands in the place of a shipped one */
	bool overlay;                    /* the file of the entry being read is an overlay's */
	enum lib_group_id group;         /* of that entry */
	void *entry;
	struct pending_rule *rules;
	size_t rule_count, rule_room;
	struct rule_copy *copies;
	size_t copy_count, copy_room;
	struct recording_pattern *patterns; /* room for one for each heading entry */
};

/* Whether `word` is among sorted words. */
bool library_has_id(struct choices sorted, const char *word);

/* Letters, digits, dots and hyphens, beginning with a letter or digit. */
bool library_id_valid(const char *id);

/* Reads the note (for noted groups) and the rows of one entry into `out`. */
void library_read_entry(struct lib_reader *r, enum lib_group_id group, const struct node *n,
	const char *path, void *out);

/* A list of words or a single one. */
struct words library_read_words(
	struct lib_reader *r, const struct node *n, const char *path, const struct lib_row *row);

enum standing library_read_standing(struct lib_reader *r, const struct node *n, const char *path);

/* Reads a list of entries of one table; returns their array of n->count. */
void *library_read_items(struct lib_reader *r, const struct lib_table *table, const struct node *n,
	const char *path, size_t *count);

void library_read_rule(
	struct lib_reader *r, const struct node *n, const char *path, const struct rule **slot);

/* `slot` gets the rule of `first` once that is compiled. */
void library_share_rule(struct lib_reader *r, const struct rule **slot, const struct rule *const *first);

/* Gives the findings from index `from` on, of what knows no path, this subject. */
void library_name_findings(struct lib_reader *r, size_t from, const char *path);

/* load/library_asks.c: gives each zone the questions of the measures that it lists. */
void library_join_asks(struct lib_reader *r);

/* load/library_names.c: compiles what is pending, and checks calls and circles. */
void library_compile_rules(struct lib_reader *r);

#endif
