#include "model/library.h"

#include "base/text.h"

bool words_have(struct words w, const char *word)
{
	for (size_t i = 0; i < w.count; i++)
		if (text_equal(w.items[i], word))
			return true;
	return false;
}

const struct lib_field *lib_field_find(const struct lib_field *fields, size_t count, const char *id)
{
	for (size_t i = 0; i < count; i++)
		if (text_equal(fields[i].id, id))
			return &fields[i];
	return NULL;
}

/* Every group is searched alike; groups are small. */
#define FIND(type, group) \
	const struct lib_##type *library_##type(const struct library *l, const char *id) \
	{ \
		for (size_t i = 0; id && i < l->group##_count; i++) \
			if (text_equal(l->group[i].note.id, id)) \
				return &l->group[i]; \
		return NULL; \
	}

FIND(type, types)
FIND(zone, zones)
FIND(measure, measures)
FIND(limit, limits)
FIND(grid, grids)
FIND(definition, definitions)
FIND(plan, plans)
FIND(check, checks)
FIND(function, functions)
FIND(part, parts)
FIND(requirement, requirements)
FIND(standard, standards)
