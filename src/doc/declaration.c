#include "doc/declaration.h"

#include "base/text.h"
#include "doc/block.h"

static void item_row(struct builder *b, struct doc_node *t, const struct declaration_item *d)
{
	const char *key = arena_format(b->arena, "declaration.%s.%s", b->assessment->regime->note.id,
		d->item->id);
	const char *text = phrasebook_find(b->input->phrasebook, key);
	struct doc_row *row = doc_row(b->document, t);
	cell(b, row, 0, d->item->no)->style = SPAN_BOLD;
	template_spans(b->document, &row->cells[1].spans, text ? text : key, 0, d->item->at, &b->template);
}

void block_declaration_items(struct builder *b)
{
	static const struct column columns[] = {{NULL, 0, 10, ALIGN_LEFT}, {NULL, 1, 100, ALIGN_LEFT}};
	const struct assessment *s = b->assessment;
	if (!s->regime)
		return;
	struct doc_node *t = table_add(b, "summary-declaration", columns, COUNT_OF(columns));
	t->small = false;
	for (size_t i = 0; i < s->item_count; i++)
		if (s->items[i].applies)
			item_row(b, t, &s->items[i]);
}

void block_declaration_copy(struct builder *b)
{
	if (!b->assessment->ready || !b->assessment->regime) {
		text_add(b, label(b, "no-declaration"));
		return;
	}
	const char *title = builder_value(b, "regime.declaration-title");
	subheading(b, 3, title ? title : b->title, "declaration-copy");
	block_declaration_items(b);
}

struct document *declaration_build(struct arena *a, const struct doc_input *input)
{
	static const struct block blocks[] = {
		{"cautions", block_cautions},
		{"declaration-items", block_declaration_items},
		{"signature", block_signature},
	};
	if (!input->assessment->ready || !input->assessment->regime)
		return NULL;
	struct builder *b = builder_new(a, input, "declaration", blocks, COUNT_OF(blocks));
	b->template.numbered = false;
	builder_expand(b, "declaration");
	return b->document;
}
