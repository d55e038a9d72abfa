/* The structure tree. An element joins its parent when its first content is drawn, so that the order of
 * reading is that of the page; rows and list items bring all their parts at once, since an empty cell
 * is a cell too. */
#include "type/pdf_private.h"

enum { PARENTS_PER_NODE = 1000 }; /* an array of an archival file holds 8191 items at most */

const char *pdf_tag_name(enum tag_kind kind)
{
	static const char *const names[] = {
		[TAG_DOCUMENT] = "Document", [TAG_HEADING_1] = "H1", [TAG_HEADING_2] = "H2",
		[TAG_HEADING_3] = "H3", [TAG_TITLE] = "P", [TAG_PARAGRAPH] = "P", [TAG_LIST] = "L",
		[TAG_ITEM] = "LI", [TAG_LABEL] = "Lbl", [TAG_BODY] = "LBody", [TAG_TABLE] = "Table",
		[TAG_ROW] = "TR", [TAG_HEAD_CELL] = "TH", [TAG_CELL] = "TD", [TAG_FIGURE] = "Figure",
		[TAG_CAPTION] = "Caption", [TAG_BOX] = "Div", [TAG_CODE] = "Code", [TAG_CONTENTS] = "TOC",
		[TAG_CONTENTS_ITEM] = "TOCI", [TAG_LINK] = "Link", [TAG_ROWS] = "TBody",
	};
	return names[kind];
}

static struct pdf_tag *tag_open(struct pdf *p, const struct tag *tag)
{
	struct pdf_tag *t = &p->tags[tag->number];
	if (t->object)
		return t;
	t->object = pdf_object(p);
	t->kids = pdf_array_in(p, t->object, "K");
	pdf_set_name(p, t->object, "Type", "StructElem");
	pdf_set_name(p, t->object, "S", pdf_tag_name(tag->kind));
	if (tag->alt && *tag->alt)
		pdf_set_words(p, t->object, "Alt", tag->alt);
	if (tag->across > 1) {
		HPDF_Dict attributes = pdf_dict_in(p, t->object, "A");
		pdf_set_name(p, attributes, "O", "Table");
		pdf_set_number(p, attributes, "ColSpan", tag->across);
	}
	return t;
}

static struct pdf_tag *tag_attach(struct pdf *p, const struct tag *tag)
{
	struct pdf_tag *t = tag_open(p, tag);
	if (t->attached)
		return t;
	t->attached = true;
	if (!tag->parent)
		return t;
	struct pdf_tag *parent = tag_attach(p, tag->parent);
	bool joined = tag->parent->kind == TAG_ROW || tag->parent->kind == TAG_ITEM;
	if (!joined) {
		pdf_set(p, t->object, "P", parent->object);
		pdf_push(p, parent->kids, t->object);
	}
	if (tag->kind != TAG_ROW && tag->kind != TAG_ITEM)
		return t;
	for (const struct tag *part = tag->first; part; part = part->next) {
		struct pdf_tag *k = tag_open(p, part);
		pdf_set(p, k->object, "P", t->object);
		pdf_push(p, t->kids, k->object);
	}
	return t;
}

/* The keys rise by one from 0, so the limits of a piece are known when it begins, but for the last. */
static void parent_begin(struct pdf *p)
{
	size_t key = p->parent_count++;
	if (key % PARENTS_PER_NODE == 0) {
		HPDF_Dict node = pdf_object(p);
		pdf_push(p, p->parent_nodes, node);
		p->parent_limits = pdf_array_in(p, node, "Limits");
		pdf_push_number(p, p->parent_limits, (int)key);
		p->parents = pdf_array_in(p, node, "Nums");
	}
	if ((key + 1) % PARENTS_PER_NODE == 0)
		pdf_push_number(p, p->parent_limits, (int)key);
	pdf_push_number(p, p->parents, (int)key);
}

void pdf_tags_begin(struct pdf *p)
{
	p->tags = arena_array(p->arena, p->pages->tag_count, sizeof *p->tags);
	HPDF_Dict root = pdf_object(p), tree = pdf_object(p);
	p->parent_nodes = pdf_array_in(p, tree, "Kids");
	pdf_set_name(p, root, "Type", "StructTreeRoot");
	pdf_set(p, p->doc->catalog, "StructTreeRoot", root);
	HPDF_Dict mark = pdf_dict_in(p, p->doc->catalog, "MarkInfo");
	pdf_check(p, HPDF_Dict_AddBoolean(mark, "Marked", HPDF_TRUE));
	pdf_set(p, root, "ParentTree", tree);
	struct pdf_tag *document = tag_attach(p, p->pages->tags);
	pdf_set(p, document->object, "P", root);
	pdf_push(p, pdf_array_in(p, root, "K"), document->object);
}

void pdf_tags_page(struct pdf *p, size_t page)
{
	p->marked = 0;
	parent_begin(p);
	p->page_parents = pdf_array_item(p, p->parents);
	pdf_set_number(p, p->page_objects[page], "StructParents", (int)page);
}

size_t pdf_tag_mark(struct pdf *p, const struct tag *tag, size_t page)
{
	struct pdf_tag *t = tag_attach(p, tag);
	size_t number = p->marked++;
	HPDF_Dict where = p->page_objects[page];
	if (!t->page) {
		t->page = where;
		pdf_set(p, t->object, "Pg", where);
	}
	if (t->page == where)
		pdf_push_number(p, t->kids, (int)number);
	else {
		HPDF_Dict piece = pdf_dict_item(p, t->kids);
		pdf_set_name(p, piece, "Type", "MCR");
		pdf_set(p, piece, "Pg", where);
		pdf_set_number(p, piece, "MCID", (int)number);
	}
	pdf_push(p, p->page_parents, t->object);
	return number;
}

void pdf_tag_link(struct pdf *p, const struct tag *tag, HPDF_Dict annotation, size_t page)
{
	struct pdf_tag *t = tag_attach(p, tag);
	size_t key = p->parent_count;
	HPDF_Dict reference = pdf_dict_item(p, t->kids);
	pdf_set_name(p, reference, "Type", "OBJR");
	pdf_set(p, reference, "Obj", annotation);
	pdf_set(p, reference, "Pg", p->page_objects[page]);
	pdf_set_number(p, annotation, "StructParent", (int)key);
	parent_begin(p);
	pdf_push(p, p->parents, t->object);
}

void pdf_tags_finish(struct pdf *p)
{
	HPDF_Dict root = HPDF_Dict_GetItem(p->doc->catalog, "StructTreeRoot", HPDF_OCLASS_DICT);
	if (!root)
		pdf_fail(p);
	if (p->parent_count % PARENTS_PER_NODE)
		pdf_push_number(p, p->parent_limits, (int)p->parent_count - 1);
	pdf_set_number(p, root, "ParentTreeNextKey", (int)p->parent_count);
}
