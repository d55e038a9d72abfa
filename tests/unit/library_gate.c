#include "library_gate.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "load/record.h"
#include "work/shipped.h"

#define DIGEST "0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a"
#define RECORDS "tests/library/records/"

/* No more samples than a recording needs. */
enum { RATE = 200, SAMPLES = 53 * RATE / 10, BLOWS_MAX = 4000 };

/* Recordings by their number, of one shape; they are alike from test to test and so are made once. */
struct gate_blows {
	const char *shape;
	struct recording *items[BLOWS_MAX];
	struct gate_blows *next;
};

/* ---- what is read once ----------------------------------------------------------------------------- */

static const char *slurp(struct arena *a, const char *path, size_t *length)
{
	enum { MOST = 1 << 20 };
	char *bytes = arena_alloc(a, MOST);
	FILE *f = fopen(path, "rb");
	cr_assert_not_null(f, "%s: the tests run in the top folder", path);
	*length = fread(bytes, 1, MOST - 1, f);
	fclose(f);
	return bytes;
}

struct node *shop_read(struct workshop *s, const char *path)
{
	size_t n;
	const char *bytes = slurp(&s->arena, path, &n);
	struct node *root = tree_read(&s->arena, bytes, n, arena_string(&s->arena, path), &s->findings);
	cr_assert(root && s->findings.count == 0, "%s:%d cannot be read: %s", path,
		s->findings.count ? s->findings.items[0]->at.line : 0,
		s->findings.count ? finding_name(s->findings.items[0]->code) : "");
	return root;
}

static struct node *composed(struct workshop *s, const char *name)
{
	const struct node *own = shop_read(s, arena_format(&s->arena, RECORDS "%s.yaml", name));
	const struct node *like = node_get(own, "x-like");
	struct node *whole = patch_map(&s->arena);
	for (size_t i = 0; like && i < like->count; i++)
		whole = patch_merge(&s->arena, whole, composed(s, like->items[i]->text));
	return patch_merge(&s->arena, whole, own);
}

static int yaml_only(const struct dirent *e)
{
	return text_ends(e->d_name, ".yaml");
}

static void note_zones(struct workshop *s, struct gate_record *r)
{
	struct gate g;
	gate_open(&g, s, r);
	gate_judge(&g);
	size_t n = g.result->zone_count;
	const char **keys = arena_array(&s->arena, n, sizeof *keys);
	const struct lib_zone **zones = arena_array(&s->arena, n, sizeof *zones);
	for (size_t i = 0; i < n; i++) {
		const struct zone_result *z = &g.result->zones[i];
		struct lib_zone *copy = arena_alloc(&s->arena, sizeof *copy);
		*copy = *z->zone;
		copy->hazards = arena_grow(&s->arena, z->zone->hazards, z->hazard_count, z->hazard_count,
			sizeof *copy->hazards);
		keys[i] = arena_string(&s->arena, z->key);
		zones[i] = z->clearance ? copy : z->zone;
	}
	r->keys = keys;
	r->zones = zones;
	r->zone_count = n;
	r->type = g.result->record->type;
	gate_close(&g);
}

static void add_record(struct workshop *s, const char *name)
{
	struct gate_record *r = &s->records[s->record_count++];
	*r = (struct gate_record){.name = name, .tree = composed(s, name)};
	const struct node *answered = node_get(r->tree, "x-answered");
	const char **words = arena_array(&s->arena, answered ? answered->count : 0, sizeof *words);
	for (size_t i = 0; answered && i < answered->count; i++)
		words[r->answered_count++] = answered->items[i]->text;
	r->answered = words;
	note_zones(s, r);
}

void shop_open(struct workshop *s)
{
	struct dirent **names;
	memset(s, 0, sizeof *s);
	arena_init(&s->arena, &s->escape);
	findings_init(&s->findings, &s->arena);
	s->library = shipped_library(&s->arena, NULL, &s->findings);
	cr_assert_eq(s->findings.count, 0, "hazards/ cannot be read");
	int count = scandir(RECORDS, &names, yaml_only, alphasort);
	cr_assert_gt(count, 0, "the tests run in the top folder");
	s->records = arena_array(&s->arena, (size_t)count, sizeof *s->records);
	for (int i = 0; i < count; i++) {
		const char *name = arena_copy(&s->arena, names[i]->d_name, strlen(names[i]->d_name) - strlen(".yaml"));
		/* What records have in common is no gate. */
		if (!text_begins(name, "common"))
			add_record(s, name);
		free(names[i]);
	}
	free(names);
}

void shop_close(struct workshop *s)
{
	arena_release(&s->arena);
}

const struct gate_record *shop_record(const struct workshop *s, const char *name)
{
	for (size_t i = 0; i < s->record_count; i++)
		if (text_equal(s->records[i].name, name))
			return &s->records[i];
	return NULL;
}

bool record_answers(const struct gate_record *r, const char *zone, const char *kind)
{
	size_t n = strlen(zone);
	for (size_t i = 0; i < r->answered_count; i++)
		if (text_begins(r->answered[i], zone) && r->answered[i][n] == '/' &&
			text_equal(r->answered[i] + n + 1, kind))
			return true;
	return false;
}

/* ---- changing ------------------------------------------------------------------------------------ */

void gate_open(struct gate *g, struct workshop *s, const struct gate_record *from)
{
	memset(g, 0, sizeof *g);
	g->shop = s;
	g->from = from;
	arena_init(&g->arena, &s->escape);
	findings_init(&g->findings, &g->arena);
	g->tree = patch_copy(&g->arena, from->tree);
}

void gate_close(struct gate *g)
{
	arena_release(&g->arena);
}

void gate_enter(struct gate *g, const char *key, const char *name, const struct node *value)
{
	patch_set(&g->arena, g->tree, arena_format(&g->arena, "zones.%s.%s", key, name), value);
}

void gate_answer(struct gate *g, const char *key, const char *as, const char *const *by, size_t count)
{
	static const char *const SHOWN[] = {"photo:site", "paper:manual"};
	static const char *const TEXTS[][2] = {{"looked-on", "2026-06-08"}, {"likely-before", "likely"},
		{"likely-after", "remote"}, {"residual", "none"}};
	struct arena *a = &g->arena;
	gate_enter(g, key, "as", patch_scalar(a, as, true));
	if (count)
		gate_enter(g, key, "by", patch_words(a, by, count));
	gate_enter(g, key, "evidence", patch_words(a, SHOWN, 2));
	for (size_t i = 0; i < (text_equal(as, "not-present") ? 1 : sizeof TEXTS / sizeof *TEXTS); i++)
		gate_enter(g, key, TEXTS[i][0], patch_scalar(a, TEXTS[i][1], true));
}

static bool asked(const struct gate *g, const char *key, const char *fact)
{
	for (size_t i = 0; i < g->from->zone_count; i++)
		if (text_equal(g->from->keys[i], key))
			return lib_field_find(g->from->zones[i]->asks, g->from->zones[i]->ask_count, fact) != NULL;
	return false;
}

void gate_set(struct gate *g, const struct node *sets, const char *const *keys, size_t count)
{
	for (size_t i = 0; sets && i < sets->count; i++) {
		const char *path = sets->pairs[i].key;
		const struct node *value = sets->pairs[i].value;
		if (value->kind == NODE_SCALAR && value->plain && text_equal(value->text, "here"))
			value = patch_words(&g->arena, keys, count);
		bool fact = text_begins(path, "here."), entry = text_begins(path, "zone.");
		const char *name = path + strlen("here.");
		if (!fact && !entry)
			patch_set(&g->arena, g->tree, path, value);
		for (size_t k = 0; (fact || entry) && k < count; k++)
			if (entry)
				gate_enter(g, keys[k], name, value);
			else if (asked(g, keys[k], name))
				gate_enter(g, keys[k], arena_format(&g->arena, "facts.%s", name), value);
	}
}

/* ---- judging --------------------------------------------------------------------------------------- */

/* 0.1 s nothing, half a sine of 0.2 s to the peak, what is held from 1.1 s to 2 s, nothing until 5.3 s. The nth blow
 * has a millionth of its peak less than the one before, so that no two are alike. */
static struct recording *blow_of(struct workshop *s, const char *shape, size_t number)
{
	struct gate_blows *b = s->blows;
	while (b && !text_equal(b->shape, shape))
		b = b->next;
	if (!b) {
		b = arena_alloc(&s->arena, sizeof *b);
		b->shape = arena_string(&s->arena, shape);
		b->next = s->blows;
		s->blows = b;
	}
	cr_assert_lt(number, BLOWS_MAX, "more recordings than foreseen");
	if (b->items[number])
		return b->items[number];
	const char *plus = strchr(shape, '+');
	double peak = atof(shape) * (1 - 1e-6 * (double)number), held = plus ? atof(plus + 1) : 0;
	double *t = arena_array(&s->arena, SAMPLES, sizeof *t), *n = arena_array(&s->arena, SAMPLES, sizeof *n);
	int *lines = arena_array(&s->arena, SAMPLES, sizeof *lines);
	for (int i = 0; i < SAMPLES; i++) {
		t[i] = (double)i / RATE;
		n[i] = i > RATE / 10 && i < 3 * RATE / 10
			? peak * sin((i - RATE / 10) / (0.2 * RATE) * 3.14159265358979323846)
			: t[i] >= 1.1 && t[i] < 2 ? held : 0;
		lines[i] = i + 2;
	}
	struct recording *r = arena_alloc(&s->arena, sizeof *r);
	*r = (struct recording){.at = {"curve", 2, 2}, .name = "", .column = 2, .time_s = t, .force_n = n,
		.lines = lines, .count = SAMPLES};
	b->items[number] = r;
	return r;
}

static int by_path(const void *x, const void *y)
{
	return strcmp(((const struct job_file *)x)->path, ((const struct job_file *)y)->path);
}

/* Papers and photographs as on record; "curves/200+60-17.csv" is the 17th blow of that shape. */
static struct job_files *files_of(struct gate *g, const struct record *record)
{
	static const char *const LISTS[] = {"papers", "photos"};
	const struct item_list *points = record_list(record, "force.points");
	size_t count = 0, room = record_list(record, "papers")->count + record_list(record, "photos")->count;
	for (size_t i = 0; i < points->count; i++)
		room += item_fact(&points->items[i], "recordings")->count;
	struct job_file *files = arena_array(&g->arena, room, sizeof *files);
	for (size_t l = 0; l < 2; l++)
		for (size_t i = 0; i < record_list(record, LISTS[l])->count; i++)
			files[count++] = (struct job_file){.present = true, .digest = DIGEST, .size = 1,
				.path = fact_text(item_fact(&record_list(record, LISTS[l])->items[i], "file"))};
	for (size_t i = 0; i < points->count; i++) {
		const struct fact *f = item_fact(&points->items[i], "recordings");
		for (size_t k = 0; fact_given(f) && k < f->count; k++) {
			const char *shape = f->list[k] + strlen("curves/"), *dash = strchr(shape, '-');
			cr_assert_not_null(dash, "no recording of the tests: %s", f->list[k]);
			shape = arena_copy(&g->arena, shape, (size_t)(dash - shape));
			files[count++] = (struct job_file){.path = f->list[k], .present = true, .size = 1,
				.recordings = {blow_of(g->shop, shape, (size_t)atoi(dash + 1)), 1}};
		}
	}
	qsort(files, count, sizeof *files, by_path);
	struct job_files *all = arena_alloc(&g->arena, sizeof *all);
	*all = (struct job_files){files, count};
	return all;
}

static void judge_once(struct gate *g)
{
	findings_init(&g->findings, &g->arena);
	const char *text = patch_text(&g->arena, g->tree);
	struct record *record = record_load(&g->arena, text, strlen(text), g->from->name, "", g->shop->library,
		&g->findings);
	for (size_t i = 0; i < g->findings.count; i++) {
		const struct finding *f = g->findings.items[i];
		cr_assert(finding_level(f->code) != FINDING_INPUT, "%s: a test's record says at %s: %s", g->from->name,
			f->subject, finding_name(f->code));
	}
	cr_assert_not_null(record, "%s: no record", g->from->name);
	cr_assert_not_null(record->type, "%s: no gate type", g->from->name);
	g->result = assess(&g->arena, record, g->shop->library, files_of(g, record), &g->findings);
}

static const char *metres(struct gate *g, double m)
{
	return arena_format(&g->arena, "%s m", text_number(&g->arena, m, 6));
}

static void add_point(struct gate *g, const struct point_result *p, size_t number)
{
	struct arena *a = &g->arena;
	const char *shape = g->blow ? g->blow : "200+60", *runs[3];
	const char *path = arena_format(a, "force.points.made-%zu", number);
	const struct {
		const char *key, *value;
	} TEXTS[] = {{"zone", p->zone_key}, {"direction", p->direction}, {"gap", metres(g, p->gap)},
		{"height", metres(g, p->height)}, {"leaves", p->leaves}, {"speed", p->speed}, {"on", "2026-06-10"}};
	for (size_t i = 0; i < 3; i++)
		runs[i] = arena_format(a, "curves/%s-%zu.csv", shape, number * 3 + i);
	struct node *point = patch_map(a);
	for (size_t i = 0; i < sizeof TEXTS / sizeof *TEXTS; i++)
		patch_set(a, point, TEXTS[i].key, patch_scalar(a, TEXTS[i].value, true));
	patch_set(a, point, "recordings", patch_words(a, runs, 3));
	patch_set(a, g->tree, path, point);
}

void gate_judge(struct gate *g)
{
	judge_once(g);
	const struct assessment *first = g->result;
	size_t last = first->point_count, added = 0;
	for (size_t i = 0; g->points_short && i < first->point_count; i++)
		if (text_equal(first->points[i].zone_key, g->points_of))
			last = i;
	for (size_t i = 0; i < first->point_count; i++)
		if (first->points[i].planned && !first->points[i].entry && !(g->points_short && i == last))
			add_point(g, &first->points[i], added++);
	if (added)
		judge_once(g);
}

/* ---- what came out ----------------------------------------------------------------------------------- */

const struct zone_result *gate_zone(const struct gate *g, const char *key)
{
	for (size_t i = 0; i < g->result->zone_count; i++)
		if (text_equal(g->result->zones[i].key, key))
			return &g->result->zones[i];
	return NULL;
}

const struct hazard_result *gate_hazard(const struct gate *g, const char *key, const char *kind)
{
	const struct zone_result *z = gate_zone(g, key);
	for (size_t i = 0; z && i < z->hazard_count; i++)
		if (text_equal(z->hazards[i].hazard->kind, kind))
			return &z->hazards[i];
	return NULL;
}

const struct measure_result *gate_measure(const struct gate *g, const char *key, const char *id)
{
	const struct zone_result *z = gate_zone(g, key);
	for (size_t i = 0; z && i < z->measure_count; i++)
		if (text_equal(z->measures[i].measure->note.id, id))
			return &z->measures[i];
	return NULL;
}

const struct need_result *gate_need(const struct gate *g, const char *key, const char *measure, const char *need)
{
	const struct measure_result *m = gate_measure(g, key, measure);
	for (size_t i = 0; m && i < m->need_count; i++)
		if (text_equal(m->measure->needs[i].id, need))
			return &m->needs[i];
	return NULL;
}

bool gate_finds(const struct gate *g, const char *code, const char *key, const char *name, const char *value)
{
	for (size_t i = 0; i < g->findings.count; i++) {
		const struct finding *f = g->findings.items[i];
		if (!text_equal(finding_name(f->code), code) || !text_equal(f->subject, key))
			continue;
		if (!name)
			return true;
		for (const struct finding_value *v = f->values; v; v = v->next)
			if (text_equal(v->name, name) && text_equal(v->value, value))
				return true;
	}
	return false;
}

const char *gate_told(struct gate *g, const char *key)
{
	struct buf b;
	buf_init(&b, &g->arena);
	for (size_t i = 0; i < g->findings.count; i++) {
		const struct finding *f = g->findings.items[i];
		if (!text_equal(f->subject, key))
			continue;
		buf_format(&b, "\n    %s", finding_name(f->code));
		for (const struct finding_value *v = f->values; v; v = v->next)
			if (*v->value)
				buf_format(&b, " %s=%s", v->name, v->value);
	}
	return b.length ? b.bytes : "\n    nothing";
}
