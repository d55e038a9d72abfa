#include "assess/subsystem.h"

#include <math.h>
#include <string.h>

#include "assess/level_steps.h"

#define MONTHS_A_YEAR 12.0
#define HOUR_S 3600.0

/* --- what is on record ----------------------------------------------------------------------------- */

#define OF_PART(member) offsetof(struct lib_part, member)
#define NO_PART ((size_t)-1)
#define OF(member) offsetof(struct subsystem, member)

static const struct datum {
	const char *key;
	size_t part_at, at;
	double unit;         /* SI of one */
	bool higher_worse;
} DATA[] = {
	{"per-hour", OF_PART(per_hour), OF(per_hour), 1 / HOUR_S, true},
	{"mttfd", OF_PART(mttfd), OF(channels[0].years), MONTHS_A_YEAR, false},
	{"second-mttfd", OF_PART(second_mttfd), OF(channels[1].years), MONTHS_A_YEAR, false},
	{"b10d", OF_PART(b10d), OF(channels[0].b10d), 1, false},
	{"operations", NO_PART, OF(channels[0].per_year), 1, true},
	{"dc", OF_PART(dc), OF(dc), 1, false},
	{"common-cause", OF_PART(common_cause), OF(common_cause), 1, false},
	{"test-rate", OF_PART(test_rate), OF(tests_per_demand), 1, false},
	{"test-mttfd", OF_PART(test_mttfd), OF(test_years), MONTHS_A_YEAR, false},
	{"replaced-every", NO_PART, OF(replaced_years), MONTHS_A_YEAR, true},
};

enum { DATA_COUNT = sizeof DATA / sizeof *DATA };

static void differs(struct context *c, struct part_use *use, const char *key, const char *of_part)
{
	const struct fact *f = item_fact(use->entry, key);
	struct finding *p =
		point_out(c, FINDING_CODE_PART_DIFFERS, arena_format(c->arena, "%s.%s", use->path, key), f->at);
	with(c, p, "key", key);
	with(c, p, "record", fact_shown(c->arena, f));
	with(c, p, "library", of_part);
	with(c, p, "part", use->part->note.id);
	use->sound = false;
}

/* What the maker has not told of the part, and the record knows all the same. */
static void judge_untold(struct context *c, struct part_use *use, const char *key)
{
	if (use->part && words_have(use->part->unknown, key))
		differs(c, use, key, "unknown");
}

static double read_datum(struct context *c, struct part_use *use, const struct datum *d)
{
	const struct fact *f = item_fact(use->entry, d->key);
	struct quantity q = {.value = 0};
	if (use->part && d->part_at != NO_PART)
		q = *(const struct quantity *)(const void *)((const char *)use->part + d->part_at);
	if (fact_given(f)) {
		if (q.value > 0 && fabs(q.value - f->quantity.value) > 1e-9 * q.value)
			differs(c, use, d->key, quantity_text(c->arena, q));
		judge_untold(c, use, d->key);
		q = f->quantity;
	}
	return fmax(0, d->higher_worse ? q.high : q.low) / d->unit;
}

static const char *read_word(struct context *c, struct part_use *use, const char *key, const char *of_part)
{
	const struct fact *f = item_fact(use->entry, key);
	if (fact_given(f) && of_part && !fact_is(f, of_part))
		differs(c, use, key, of_part);
	if (fact_given(f))
		judge_untold(c, use, key);
	return fact_given(f) ? fact_text(f) : of_part;
}

static void find_part(struct context *c, struct part_use *use)
{
	const struct fact *f = item_fact(use->entry, "part");
	const struct library *l = c->library;
	if (!fact_given(f))
		return;
	use->part = library_part(l, fact_text(f));
	if (use->part)
		return;
	const char **ids = arena_array(c->arena, l->parts_count + 1, sizeof *ids);
	for (size_t i = 0; i < l->parts_count; i++)
		ids[i] = l->parts[i].note.id;
	struct finding *p = point_out(c, FINDING_CODE_PART_UNKNOWN, use->path, f->at);
	with(c, p, "part", fact_text(f));
	suggest(c, p, fact_text(f), ids, l->parts_count);
	use->sound = false;
}

struct subsystem subsystem_read(struct context *c, const struct item *entry, struct part_use *use)
{
	struct subsystem s = {.level = LEVEL_NONE};
	*use = (struct part_use){.entry = entry, .sound = true,
		.path = item_path(c->arena, "functions[].subsystems", entry)};
	find_part(c, use);
	s.level = level_of_word(read_word(c, use, "level", use->part ? use->part->level : NULL));
	s.category = category_of_word(read_word(c, use, "category", use->part ? use->part->category : NULL));
	for (size_t i = 0; i < DATA_COUNT; i++)
		*(double *)(void *)((char *)&s + DATA[i].at) = read_datum(c, use, &DATA[i]);
	return s;
}

/* --- what it is about ------------------------------------------------------------------------------ */

/* Letters and digits alone, in small letters: "LB-12" and "lb 12" are one device. */
static const char *bare(struct arena *a, const char *text, size_t length)
{
	struct buf b;
	buf_init(&b, a);
	for (size_t i = 0; i < length; i++) {
		char k = text[i];
		if (k >= 'A' && k <= 'Z')
			buf_char(&b, (char)(k - 'A' + 'a'));
		else if ((k >= 'a' && k <= 'z') || (k >= '0' && k <= '9') || (unsigned char)k >= 0x80)
			buf_char(&b, k);
	}
	return b.bytes;
}

/* Whether a word of `words`, of so many letters and digits at least, stands in `text`, which is bare; `*any` when
 * there is such a word at all. */
static bool shares_word(struct arena *a, const char *words, size_t least, const char *text, bool *any)
{
	for (size_t n; *words != '\0'; words += n + (words[n] != '\0')) {
		n = strcspn(words, " \t\n");
		const char *word = bare(a, words, n);
		if (strlen(word) < least)
			continue;
		*any = true;
		if (strstr(text, word))
			return true;
	}
	return false;
}

/* What the papers that it cites are of and from. */
static const char *papers_text(struct context *c, const struct part_use *use)
{
	static const char PAPER[] = "paper:";
	const struct fact *cited = item_fact(use->entry, "paper");
	struct buf b;
	buf_init(&b, c->arena);
	for (size_t i = 0; fact_given(cited) && i < cited->count; i++) {
		if (!text_begins(cited->list[i], PAPER))
			continue;
		const struct item *paper = record_item(c->record, "papers", cited->list[i] + sizeof PAPER - 1);
		const char *of = fact_text(item_fact(paper, "of")), *from = fact_text(item_fact(paper, "from"));
		buf_format(&b, "%s %s ", bare(c->arena, of, strlen(of)), bare(c->arena, from, strlen(from)));
	}
	return b.bytes;
}

bool subsystem_names(struct context *c, const struct part_use *use, const struct item *device)
{
	const struct fact *name = item_fact(device, "model");
	bool any = false;
	if (!fact_given(name))
		name = item_fact(device, "maker");
	const char *part = use->part ? bare(c->arena, use->part->device, strlen(use->part->device)) : "";
	const char *text = arena_format(c->arena, "%s%s%s", part, *part ? " " : "", papers_text(c, use));
	return *text == '\0' || shares_word(c->arena, fact_text(name), 1, text, &any) || !any;
}

bool subsystem_paper_fits(struct context *c, const struct part_use *use)
{
	enum { LETTERS = 3 };
	bool any = false;
	return !use->part || shares_word(c->arena, use->part->device, LETTERS, papers_text(c, use), &any) || !any;
}

/* --- what is missing ------------------------------------------------------------------------------- */

static const struct {
	const char *name;
	const char *keys[3]; /* that would close it, for the question to the maker */
} GAPS[] = {
	[GAP_NONE] = {"none", {NULL}},
	[GAP_NOTHING] = {"nothing", {"level", "category", NULL}},
	[GAP_LEVEL_CATEGORY] = {"level-category", {NULL}},
	[GAP_LIFE_UNKNOWN] = {"life-unknown", {"mttfd", "b10d", NULL}},
	[GAP_LIFE_SHORT] = {"life-short", {NULL}},
	[GAP_COVERAGE_UNUSED] = {"coverage-unused", {NULL}},
	[GAP_LIFE_CATEGORY] = {"life-category", {NULL}},
	[GAP_COVERAGE] = {"coverage", {"dc", NULL}},
	[GAP_COMMON_CAUSE] = {"common-cause", {"common-cause", NULL}},
	[GAP_TEST_RATE] = {"test-rate", {"test-rate", NULL}},
	[GAP_TEST_LIFE_UNKNOWN] = {"test-life-unknown", {"test-mttfd", NULL}},
	[GAP_TEST_LIFE] = {"test-life", {NULL}},
	[GAP_REPLACEMENT] = {"replacement", {NULL}},
};

const char *subsystem_gap_name(enum subsystem_gap gap)
{
	return GAPS[gap].name;
}

static void gap_values(struct context *c, struct finding *f, const struct subsystem *s,
	const struct subsystem_result *r, const struct reliability_tables *t)
{
	const struct {
		const char *name;
		double value;
	} FIGURES[] = {
		{"years", r->gap == GAP_LIFE_CATEGORY ? r->years : fmin(r->channel_years[0], r->channel_years[1])},
		{"dc", s->dc * 100},
		{"points", s->common_cause},
		{"enough", t->common_cause},
		{"tests", s->tests_per_demand},
		{"least-tests", t->tests},
		{"test-years", s->test_years},
		{"least-test-years", t->test_channel_share * r->years},
		{"replace", r->replacement_years > 0 ? years_down(r->replacement_years) : 0},
		{"least-life", life_least(t)},
		{"mission", t->mission_years},
		{"operations", s->channels[0].per_year},
	};
	with(c, f, "category", category_word(s->category));
	with(c, f, "level", level_word(s->level));
	for (size_t i = 0; i < sizeof FIGURES / sizeof *FIGURES; i++)
		with(c, f, FIGURES[i].name, figure_text(c->arena, FIGURES[i].value));
}

/* What the maker of the part has not told is asked of him. */
static void ask_maker(struct context *c, struct finding *f, const struct part_use *use, enum subsystem_gap gap)
{
	for (const char *const *key = GAPS[gap].keys; use->part && *key; key++)
		if (words_have(use->part->unknown, *key)) {
			struct way *w = way_out(c, f, "ask-maker");
			way_value(c, w, "device", use->part->device);
			way_value(c, w, "key", *key);
		}
}

/* Fewer operations make only that channel live longer that has a B10d. */
static bool switches_too_often(const struct subsystem *s, const struct subsystem_result *r)
{
	double stated = s->channels[0].years, first = r->channel_years[0];
	return r->gap == GAP_LIFE_SHORT && r->replacement_years > 0 && first <= r->channel_years[1] &&
	       (!(stated > 0) || first < stated);
}

void subsystem_report(struct context *c, const struct part_use *use, const struct subsystem *s,
	const struct subsystem_result *r, const struct reliability_tables *t)
{
	const char *name = subsystem_gap_name(r->gap);
	struct finding *f = point_out(c, FINDING_CODE_SUBSYSTEM_GAP, use->path, use->entry->at);
	with(c, f, "message", arena_format(c->arena, "subsystem-gaps.%s.text", name));
	with(c, f, "subsystem", use->entry->id);
	gap_values(c, f, s, r, t);
	struct way *w = way_out(c, f, arena_format(c->arena, "subsystem-gaps.%s.%s", name,
		switches_too_often(s, r) ? "way-by-operations" : "way"));
	for (const struct finding_value *v = f->values; v; v = v->next)
		if (!text_equal(v->name, "message"))
			way_value(c, w, v->name, v->value);
	ask_maker(c, f, use, r->gap);
}

/* --- how it came about ----------------------------------------------------------------------------- */

/* Maker and category both give a rate. */
static void rate_step(struct level_steps *w, const struct subsystem_result *r, double said)
{
	if (r->per_hour == said)
		return;
	level_say(w, "function-rate", "the worse of the two decides", STANDING_PRACTICE);
	level_figure(w, "rate", r->per_hour);
}

static void maker_steps(struct level_steps *w, const struct subsystem *s, const struct subsystem_result *r,
	const struct reliability_tables *t, const char *source)
{
	bool rate = s->per_hour > 0, level = s->level != LEVEL_NONE;
	double stated = rate ? s->per_hour : level_worst_rate(t, s->level);
	level_say(w,
		!level ? "function-maker-rate"
		: rate ? "function-maker"
		       : "function-maker-alone",
		source, STANDING_FIRM);
	level_word_of(w, "level", level_word(level ? s->level : r->level));
	level_figure(w, "rate", stated);
	if (level && r->by == BY_RATE)
		level_band(w, stated);
	rate_step(w, r, stated);
}

void subsystem_steps(struct context *c, struct steps *steps, const struct part_use *use, const struct subsystem *s,
	const struct subsystem_result *r, const struct reliability_tables *t)
{
	struct level_steps w = {.context = c, .steps = steps, .tables = t};
	const char *source = use->part ? use->part->note.source : NULL;
	level_say(&w, "function-subsystem", source, STANDING_FIRM);
	level_word_of(&w, "subsystem", use->entry->id);
	level_word_of(&w, "device", use->part ? use->part->device : "–");
	if (r->gap != GAP_NONE)
		return;
	if (r->by == BY_MAKER || r->by == BY_RATE) {
		maker_steps(&w, s, r, t, source);
		level_wear(&w, s, r);
		return;
	}
	level_by_category(&w, s, r);
	rate_step(&w, r, level_own_rate(t, r));
}
