/* Where one value stands in a record, as people write it: "drive.thrust", "devices[edge-1].maker",
 * "functions[stop].subsystems[relay].paper", "zones[main-edge@leaf-1].facts.gap". */
#ifndef MODEL_PATH_H
#define MODEL_PATH_H

#include "model/field.h"

struct record_path {
	const char *list;          /* path of a list of the field table that it lies in; NULL: of none */
	const char *id;            /* of the item of that list; NULL: none */
	const char *inner;         /* key of a list inside that item ("subsystems"); NULL: none */
	const char *inner_id;
	const char *key;           /* within the root or the item; "": the item, or the list, itself */
	const struct field *field; /* row of the table for it; NULL for a list, an item or a group of keys */
};

/* Takes a path apart. In lists that are keyed by id, zones and checks, a dot may stand for the brackets:
 * "zones.main-edge@leaf-1.as". false, `out` untouched, when no list, group or field has such a path; ids and
 * declared keys are not looked up. */
bool record_path_read(struct arena *a, const char *text, struct record_path *out);

/* The canonical text of it: with brackets. */
char *record_path_text(struct arena *a, const struct record_path *path);

/* Path of the list that its item stands in, as in the field table: "functions[].subsystems"; NULL: of none. */
const char *record_path_list(struct arena *a, const struct record_path *path);

#endif
