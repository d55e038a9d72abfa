/* One value of a record: from a node to a fact, by a row of the field table or a field that the
 * library declares. */
#ifndef LOAD_FACT_H
#define LOAD_FACT_H

#include "model/field.h"
#include "model/library.h"
#include "yaml/bind.h"

struct fact_spec {
	enum field_kind kind;
	struct dimension dim;
	struct choices choices;
	bool has_low, has_high;
	struct quantity low, high;
};

struct fact_spec fact_spec_field(struct arena *a, const struct field *field);
struct fact_spec fact_spec_declared(const struct lib_field *field);

/* Never fails: a value that cannot be read is FACT_UNKNOWN, after a finding; nothing written is
 * FACT_ABSENT. Whether `none` or `n/a` answers the field is not judged here. */
struct fact fact_read(
	struct bind *b, const struct node *n, const char *path, const struct fact_spec *spec);

#endif
