/* Makes up force recordings of a sliding leaf that meets a force meter, for examples and tests.
 * Nothing here was measured; the files say so.
 *
 * The model, along the one direction of travel x (x = 0: the edge just touches the meter):
 *   m x'' = drive - edge
 * - The edge is a soft profile: a soft branch up to `soft_mm`, then a hard one, in series with the
 *   meter's spring of 500 N/mm (EN 12445:2000, 5.1.1), and with some damping of its own.
 * - The drive holds its speed by thrust in proportion to the deviation, up to `thrust`.
 * - The edge switches when it is pressed in by `switch_mm`. After the reaction time the drive brakes until
 *   the leaf stands, rests for the pause (gear friction and drag alone hold the leaf; the edge pushes it
 *   back until it balances the friction), then reverses.
 * Explicit (semi-implicit Euler) steps of 1/20000 s; a sample each `1/rate`, from 0.3 s before contact to
 * 5.5 s after. Repeats differ by a few percent in speed, reaction, switching and friction; noise is small.
 * The same options give the same bytes.
 */
#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { STEPS_PER_SECOND = 20000, REPEATS_MAX = 9 };

static const double BEFORE_S = 0.3, AFTER_S = 5.5;
static const double METER_N_PER_M = 500e3;

struct set_up {
	double mass, speed, thrust, brake, reaction_ms, pause_ms, stiffness, soft_mm, switch_mm, friction;
	double noise, rate, seed, repeats;
	bool stays; /* never reverses */
	const char *dialect, *name;
};

static const struct set_up USUAL = {
	.mass = 420, .speed = 0.20, .thrust = 600, .brake = 900, .reaction_ms = 45, .pause_ms = 1100,
	.stiffness = 9.5, .soft_mm = 40, .switch_mm = 8, .friction = 118, .noise = 0.3, .rate = 1000,
	.seed = 1, .repeats = 1, .dialect = "semicolon", .name = "trial",
};

/* --- Chance: xorshift64* (Vigna 2016), so that every machine makes the same --- */

static uint64_t chance_next(uint64_t *state)
{
	*state ^= *state >> 12;
	*state ^= *state << 25;
	*state ^= *state >> 27;
	return *state * UINT64_C(2685821657736338717);
}

static uint64_t chance_seed(double seed)
{
	uint64_t state = ((uint64_t)seed + 1) * UINT64_C(0x9E3779B97F4A7C15);
	state = state ? state : 1;
	for (int i = 0; i < 16; i++)
		chance_next(&state);
	return state;
}

/* Between -1 and 1. */
static double chance_even(uint64_t *state)
{
	return (double)(chance_next(state) >> 11) / 4503599627370496.0 - 1;
}

/* About normal, mean 0, standard deviation 1: the sum of twelve halves. */
static double chance_normal(uint64_t *state)
{
	double sum = 0;
	for (int i = 0; i < 12; i++)
		sum += chance_even(state) / 2;
	return sum;
}

/* --- Mechanics --- */

enum phase { RUNNING, SWITCHED, BRAKING, RESTING, REVERSING };

struct leaf {
	double x, v;       /* m, m/s; towards the meter */
	double edge;       /* N, on the meter */
	enum phase phase;
	double since;      /* s, when the phase began */
};

/* The elastic force when edge and meter together are pressed in by `x`. */
static double press(const struct set_up *s, double x)
{
	if (x <= 0)
		return 0;
	double soft = s->stiffness * 1000, hard = soft * 12, bend = soft * s->soft_mm / 1000;
	double x_bend = bend * (1 / soft + 1 / METER_N_PER_M);
	if (x < x_bend)
		return x / (1 / soft + 1 / METER_N_PER_M);
	return bend + (x - x_bend) / (1 / hard + 1 / METER_N_PER_M);
}

static double within(double value, double limit)
{
	return fmin(limit, fmax(-limit, value));
}

static void advance_phase(const struct set_up *s, struct leaf *l, double t)
{
	enum phase before = l->phase;
	if (l->phase == RUNNING && l->x > s->switch_mm / 1000)
		l->phase = SWITCHED;
	else if (l->phase == SWITCHED && t - l->since >= s->reaction_ms / 1000)
		l->phase = BRAKING;
	else if (l->phase == BRAKING && l->v <= 0)
		l->phase = RESTING;
	else if (l->phase == RESTING && !s->stays && t - l->since >= s->pause_ms / 1000)
		l->phase = REVERSING;
	if (l->phase != before)
		l->since = t;
}

/* The force of the drive on the leaf, towards the meter. */
static double drive(const struct set_up *s, const struct leaf *l, double t)
{
	double gain = 20000, drag = 3000; /* N s/m */
	double ramp = fmin(1, (t - l->since) / 0.25);
	switch (l->phase) {
	case BRAKING:
		return -s->brake;
	case RESTING:
		/* Friction holds against whatever pushes, up to its limit; drag slows what gives way. */
		if (fabs(l->v) < 1e-4 && l->edge <= s->friction)
			return l->edge - l->v * gain;
		return (l->v < 0 ? s->friction : -s->friction) - drag * l->v;
	case REVERSING:
		if (l->x < -0.15)
			return within(-gain * l->v, s->thrust);
		return within(gain * (-0.12 * ramp - l->v), s->thrust);
	default:
		return within(gain * (s->speed - l->v), s->thrust);
	}
}

static void step(const struct set_up *s, struct leaf *l, double t)
{
	double h = 1.0 / STEPS_PER_SECOND, rubber = 250; /* N s/m */
	double pressed = press(s, l->x);
	l->edge = pressed > 0 ? fmax(0, pressed + rubber * l->v * fmin(1, pressed / 40)) : 0;
	advance_phase(s, l, t);
	l->v += (drive(s, l, t) - l->edge) / s->mass * h;
	l->x += l->v * h;
}

/* Fills `force` with `count` samples. */
static void run(struct set_up s, uint64_t *chance, double *force, size_t count)
{
	s.speed *= 1 + 0.015 * chance_even(chance);
	s.reaction_ms *= 1 + 0.08 * chance_even(chance);
	s.switch_mm *= 1 + 0.05 * chance_even(chance);
	s.friction *= 1 + 0.05 * chance_even(chance);
	struct leaf l = {.x = -s.speed * BEFORE_S, .v = s.speed, .phase = RUNNING};
	size_t taken = 0;
	for (long i = 0; taken < count; i++) {
		double t = (double)i / STEPS_PER_SECOND;
		step(&s, &l, t);
		if (t + 1e-9 >= (double)taken / s.rate)
			force[taken++] = l.edge + s.noise * chance_normal(chance);
	}
}

/* --- The file --- */

struct dialect {
	const char *name;
	char separator, decimal;
	const char *time_unit, *force_unit;
	double per_s, per_n; /* what one second, one newton is written as */
	int time_digits, force_digits;
};

static const struct dialect DIALECTS[] = {
	{"semicolon", ';', ',', "s", "N", 1, 1, 4, 1},
	{"comma", ',', '.', "s", "N", 1, 1, 4, 1},
	{"tab", '\t', '.', "ms", "N", 1000, 1, 1, 1},
	{"decanewton", '\t', ',', "ms", "daN", 1000, 0.1, 1, 2},
	{"kilonewton", ';', '.', "s", "kN", 1, 0.001, 4, 4},
};

static void put_number(double value, int digits, char decimal)
{
	char text[64];
	double least = 0.5 * pow(10, -digits);
	snprintf(text, sizeof text, "%.*f", digits, fabs(value) < least ? 0 : value);
	char *mark = strchr(text, '.');
	if (mark)
		*mark = decimal;
	fputs(text, stdout);
}

static void put_head(const struct set_up *s, const struct dialect *d, int repeats)
{
	printf("# INVENTED by simulation: not measured, on no gate, with no meter\n");
	printf("# %s: leaf %g kg, %g m/s, reaction %g ms, seed %.0f\n", s->name, s->mass, s->speed,
		s->reaction_ms, s->seed);
	printf("Time [%s]", d->time_unit);
	for (int k = 0; k < repeats; k++) {
		printf("%cForce", d->separator);
		if (repeats > 1)
			printf(" %d", k + 1);
		printf(" [%s]", d->force_unit);
	}
	putchar('\n');
}

static int simulate(const struct set_up *s, const struct dialect *d)
{
	int repeats = (int)s->repeats;
	size_t count = (size_t)floor((BEFORE_S + AFTER_S) * s->rate + 1e-6) + 1;
	double *force = calloc(count * (size_t)repeats, sizeof *force);
	if (!force)
		return 3;
	for (int k = 0; k < repeats; k++) {
		uint64_t chance = chance_seed(s->seed * REPEATS_MAX + k);
		run(*s, &chance, force + (size_t)k * count, count);
	}
	put_head(s, d, repeats);
	for (size_t i = 0; i < count; i++) {
		put_number(((double)i / s->rate - BEFORE_S) * d->per_s, d->time_digits, d->decimal);
		for (int k = 0; k < repeats; k++) {
			putchar(d->separator);
			put_number(force[(size_t)k * count + i] * d->per_n, d->force_digits, d->decimal);
		}
		putchar('\n');
	}
	free(force);
	return fflush(stdout) == 0 && !ferror(stdout) ? 0 : 3;
}

/* --- The command line --- */

struct option {
	const char *name;
	size_t offset;
	double low, high;
	const char *help;
};

static const struct option OPTIONS[] = {
	{"--mass", offsetof(struct set_up, mass), 10, 5000, "kg, of the leaf"},
	{"--speed", offsetof(struct set_up, speed), 0.01, 1, "m/s, at contact"},
	{"--thrust", offsetof(struct set_up, thrust), 50, 5000, "N, greatest of the drive"},
	{"--brake", offsetof(struct set_up, brake), 0, 5000, "N, once the drive has reacted"},
	{"--reaction", offsetof(struct set_up, reaction_ms), 0, 2000, "ms, from switching to braking"},
	{"--pause", offsetof(struct set_up, pause_ms), 0, 10000, "ms, standing before it reverses"},
	{"--stiffness", offsetof(struct set_up, stiffness), 0.5, 500, "N/mm, of the soft edge"},
	{"--soft", offsetof(struct set_up, soft_mm), 1, 200, "mm, soft travel of the edge"},
	{"--switch", offsetof(struct set_up, switch_mm), 0.1, 100, "mm, pressed in when it switches"},
	{"--friction", offsetof(struct set_up, friction), 0, 2000, "N, that holds the standing leaf"},
	{"--noise", offsetof(struct set_up, noise), 0, 20, "N, standard deviation"},
	{"--rate", offsetof(struct set_up, rate), 50, 10000, "Hz, samples"},
	{"--seed", offsetof(struct set_up, seed), 0, 1e9, "chance; another number, another trial"},
	{"--repeats", offsetof(struct set_up, repeats), 1, REPEATS_MAX, "force columns in the file"},
};

static int usage(FILE *f, int status)
{
	fprintf(f, "usage: simulate [OPTION VALUE]... >FILE\n"
		   "Makes up a recording of the closing force of a sliding leaf.\n\n");
	for (size_t i = 0; i < sizeof OPTIONS / sizeof *OPTIONS; i++) {
		double usual;
		memcpy(&usual, (const char *)&USUAL + OPTIONS[i].offset, sizeof usual);
		fprintf(f, "  %-12s %s (%g)\n", OPTIONS[i].name, OPTIONS[i].help, usual);
	}
	fprintf(f, "  %-12s the leaf never reverses\n  %-12s words for the first lines (%s)\n"
		   "  %-12s", "--stays", "--name", USUAL.name, "--dialect");
	for (size_t i = 0; i < sizeof DIALECTS / sizeof *DIALECTS; i++)
		fprintf(f, " %s", DIALECTS[i].name);
	fputs("\n", f);
	return status;
}

static bool take_number(struct set_up *s, const char *name, const char *text)
{
	for (size_t i = 0; i < sizeof OPTIONS / sizeof *OPTIONS; i++) {
		const struct option *o = &OPTIONS[i];
		char *end;
		if (strcmp(name, o->name) != 0)
			continue;
		double value = strtod(text, &end);
		if (end == text || *end || !(value >= o->low && value <= o->high)) {
			fprintf(stderr, "simulate: %s takes a number from %g to %g\n", name, o->low, o->high);
			return false;
		}
		memcpy((char *)s + o->offset, &value, sizeof value);
		return true;
	}
	fprintf(stderr, "simulate: no option %s\n", name);
	return false;
}

int main(int argc, char **argv)
{
	struct set_up s = USUAL;
	for (int i = 1; i < argc; i++) {
		if (strcmp(argv[i], "--help") == 0)
			return usage(stdout, 0);
		if (strcmp(argv[i], "--stays") == 0) {
			s.stays = true;
			continue;
		}
		if (i + 1 == argc)
			return usage(stderr, 2);
		const char *name = argv[i], *value = argv[++i];
		if (strcmp(name, "--dialect") == 0)
			s.dialect = value;
		else if (strcmp(name, "--name") == 0)
			s.name = value;
		else if (!take_number(&s, name, value))
			return 2;
	}
	for (size_t i = 0; i < sizeof DIALECTS / sizeof *DIALECTS; i++)
		if (strcmp(s.dialect, DIALECTS[i].name) == 0)
			return simulate(&s, &DIALECTS[i]);
	fprintf(stderr, "simulate: no dialect %s\n", s.dialect);
	return 2;
}
