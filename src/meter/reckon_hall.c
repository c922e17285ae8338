/* Hall sensors of a motor that is turned by hand: which order they come in,
 * which step is wrong, which one is stuck. */
#include "meter/reckon.h"

#include "base/buf.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

static const char *const spacings[] = {"120", "60", NULL};
static const char *const spacing_titles[] = {"120 degrees", "60 degrees", NULL};

static const struct lw_reckon_input inputs[] = {
    {
	.key = "states",
	.title = "States of the three sensors",
	.help = "0 for low and 1 for high, sensors A, B and C together, one "
		"after the other as the motor is turned slowly one way: "
		"001,011,010.",
	.needed = true,
    },
    {
	.key = "spacing",
	.title = "How the sensors are spaced",
	.help = "By the motor's or the controller's papers. Left out: found "
		"out as far as the states tell.",
	.words = spacings,
	.word_titles = spacing_titles,
    },
};

enum { SENSORS = 3, STATES = 8, TURN = 6, STEPS_MAX = 64, LIST_MAX = 300 };

/* One bit a step, round and round; worked out from where the sensors are. */
static const struct order {
	const char *title;
	unsigned char states[TURN];
} orders[] = {
    {"120 degrees", {1, 3, 2, 6, 4, 5}}, /* 001 011 010 110 100 101 */
    {"60 degrees", {0, 1, 3, 7, 6, 4}},	 /* 000 001 011 111 110 100 */
};
enum { BY_120, BY_60, ORDERS };

struct turning {
	unsigned char states[STEPS_MAX]; /* as typed */
	size_t count;
	unsigned char steps[STEPS_MAX]; /* without repeats */
	size_t step_count;
	bool can_be[ORDERS];
	int order;	/* the one that it is taken as: given, or fits best */
	int direction;	/* 1, -1; 0: not to be told */
	size_t wrong;	/* steps that no motor takes */
	size_t turned;	/* steps that went back */
	size_t invalid; /* states that there are not */
};

static const char *
bits(unsigned state)
{
	static const char *const texts[STATES] = {
	    "000", "001", "010", "011", "100", "101", "110", "111"};

	return texts[state];
}

/* --- reading ---------------------------------------------------------------
 */

static enum lw_status
read_states(
    struct turning *turning, const struct reckon *reckon, struct lw_err *err)
{
	static const char between[] = " \t,;/->";
	const char *text = reckon_text(reckon, "states");
	size_t length, i;
	unsigned state;

	for (text += strspn(text, between); *text != '\0';
	     text += length, text += strspn(text, between)) {
		length = strcspn(text, between);
		for (i = 0, state = 0; i < length; i++)
			state = state << 1 | (text[i] == '1');
		if (length != SENSORS || strspn(text, "01") < SENSORS)
			return reckon_refuse(reckon, "states", err,
			    "state %u is not three of 0 and 1; states are "
			    "written like 001,011,010",
			    (unsigned)turning->count + 1);
		if (turning->count == STEPS_MAX)
			return reckon_refuse(reckon, "states", err,
			    "%d states are the most, more than ten turns of "
			    "them",
			    STEPS_MAX);
		turning->states[turning->count++] = (unsigned char)state;
	}
	if (turning->count == 0)
		return reckon_refuse(reckon, "states", err,
		    "there is none; states are written like 001,011,010");
	for (i = 0; i < turning->count; i++)
		if (i == 0 || turning->states[i] != turning->states[i - 1])
			turning->steps[turning->step_count++] =
			    turning->states[i];
	return LW_OK;
}

/* --- which order ------------------------------------------------------------
 */

/* The place of a state in an order; -1: it has none. */
static int
place(int order, unsigned state)
{
	int i;

	for (i = 0; i < TURN; i++)
		if (orders[order].states[i] == state)
			return i;
	return -1;
}

/* 1 on, -1 back, 0 neither. */
static int
step_of(int order, unsigned from, unsigned to)
{
	int one = place(order, from), other = place(order, to);

	if (one < 0 || other < 0)
		return 0;
	if ((one + 1) % TURN == other)
		return 1;
	return (other + 1) % TURN == one ? -1 : 0;
}

static void
find_order(struct turning *turning, const char *spacing)
{
	size_t i, k, misses[ORDERS] = {0};

	for (k = 0; k < ORDERS; k++) {
		for (i = 0; i < turning->step_count; i++) {
			misses[k] += place((int)k, turning->steps[i]) < 0;
			if (i > 0)
				misses[k] +=
				    step_of((int)k, turning->steps[i - 1],
					turning->steps[i]) == 0;
		}
		turning->can_be[k] = misses[k] == 0;
	}
	if (spacing != NULL)
		turning->order = strcmp(spacing, spacings[BY_60]) == 0;
	else
		turning->order = misses[BY_60] < misses[BY_120];
}

static void
count_steps(struct turning *turning)
{
	size_t i, on = 0, back = 0;
	int step;

	for (i = 0; i < turning->step_count; i++)
		turning->invalid +=
		    place(turning->order, turning->steps[i]) < 0;
	for (i = 1; i < turning->step_count; i++) {
		step = step_of(
		    turning->order, turning->steps[i - 1], turning->steps[i]);
		on += step > 0;
		back += step < 0;
		turning->wrong += step == 0;
	}
	turning->direction = on > back ? 1 : on < back ? -1 : 0;
	turning->turned = on < back ? on : back;
}

/* --- a sensor that is stuck ----------------------------------------------- */

/* Whether the other two go all the way around, so that this one should have
 * changed twice meanwhile. */
static bool
others_go_round(const struct turning *turning, unsigned sensor)
{
	static const int round[4] = {0, 1, 3, 2}; /* of 00, 01, 10, 11 */
	const unsigned bit = 1u << (SENSORS - 1 - sensor);
	unsigned low, high, pair, before = 0;
	int sum = 0, step;
	size_t i;

	for (i = 0; i < turning->step_count; i++) {
		low = turning->steps[i] & (bit - 1);
		high = turning->steps[i] / (bit << 1);
		pair =
		    (sensor == SENSORS - 1 ? high
					   : high << (SENSORS - 1 - sensor)) |
		    low;
		if (i > 0 && pair != before) {
			step = (round[pair] - round[before] + 4) % 4;
			if (step == 2)
				return false;
			sum += step == 1 ? 1 : -1;
		}
		before = pair;
	}
	return sum >= 4 || sum <= -4;
}

static bool
never_changes(const struct turning *turning, unsigned sensor)
{
	const unsigned bit = 1u << (SENSORS - 1 - sensor);
	size_t i;

	for (i = 1; i < turning->step_count; i++)
		if ((turning->steps[i] ^ turning->steps[0]) & bit)
			return false;
	return true;
}

/* Says so; true where one is. */
static bool
say_stuck(struct reckon *reckon, const struct turning *turning)
{
	unsigned sensor, still = 0, which = 0;
	char level;

	for (sensor = 0; sensor < SENSORS; sensor++)
		if (never_changes(turning, sensor)) {
			which = sensor;
			still++;
		}
	if (still != 1 || !others_go_round(turning, which))
		return false;
	level = bits(turning->steps[0])[which];
	reckon_words(reckon, "stuck", "Stuck sensor", "%c, at %c",
	    'A' + (int)which, level);
	reckon_remark(reckon,
	    "Sensor %c stays at %c while the others go all the way around: "
	    "its wire, its plug, or the sensor itself. Where the controller "
	    "pulls the wires up, as most do, a broken one reads 1 and one "
	    "that touches ground reads 0.",
	    'A' + (int)which, level);
	return true;
}

/* --- what is said -----------------------------------------------------------
 */

static void
say_spacing(struct reckon *reckon, const struct turning *turning, bool given,
    bool stuck)
{
	bool one = turning->can_be[BY_120], other = turning->can_be[BY_60];

	if (stuck && !given)
		return;
	if (one && other)
		reckon_words(reckon, "fits", "Fits a spacing of",
		    "120 or 60 degrees; more states would tell");
	else if (one || other)
		reckon_words(reckon, "fits", "Fits a spacing of", "%s",
		    orders[one ? BY_120 : BY_60].title);
	else
		reckon_words(reckon, "fits", "Fits a spacing of", "neither");
	if (!one && !other && !given)
		reckon_remark(reckon,
		    "Neither spacing fits; it is judged as %s, which fits "
		    "better.",
		    orders[turning->order].title);
	if (!given || turning->can_be[turning->order] || (!one && !other))
		return;
	reckon_remark(reckon,
	    "The states fit %s, and not the %s that was given: the middle "
	    "sensor is turned over, or the papers are of another motor. Set "
	    "the controller to what the motor has.",
	    orders[one ? BY_120 : BY_60].title, orders[turning->order].title);
}

static void
say_invalid(struct reckon *reckon, const struct turning *turning)
{
	bool seen[STATES] = {false};
	struct buf list;
	size_t i;

	buf_init(&list, LIST_MAX);
	for (i = 0; i < turning->step_count; i++) {
		unsigned state = turning->steps[i];

		if (place(turning->order, state) >= 0 || seen[state])
			continue;
		seen[state] = true;
		buf_printf(
		    &list, "%s%s", list.length == 0 ? "" : ", ", bits(state));
	}
	if (list.length > 0)
		reckon_words(reckon, "invalid", "States that it never has",
		    "%s", buf_text(&list));
	buf_clear(&list);
}

static unsigned
changed(unsigned one, unsigned other)
{
	unsigned bit, count = 0;

	for (bit = 1; bit < STATES; bit <<= 1)
		count += ((one ^ other) & bit) != 0;
	return count;
}

/* "3 (011 to 100), 5 (101 to 110)", in the count of what was typed. */
static void
say_wrong(struct reckon *reckon, const struct turning *turning)
{
	unsigned from, to;
	struct buf list;
	size_t i, most = 0;

	buf_init(&list, LIST_MAX);
	for (i = 1; i < turning->count; i++) {
		from = turning->states[i - 1];
		to = turning->states[i];
		if (from == to || step_of(turning->order, from, to) != 0)
			continue;
		if (changed(from, to) > most)
			most = changed(from, to);
		if (list.length < LIST_MAX - 60)
			buf_printf(&list, "%s%u (%s to %s)",
			    list.length == 0 ? "" : ", ", (unsigned)i,
			    bits(from), bits(to));
	}
	if (list.length > 0)
		reckon_words(reckon, "wrong-steps", "Steps that are wrong",
		    "%s", buf_text(&list));
	buf_clear(&list);
	if (most >= 2)
		reckon_remark(reckon,
		    "Where two sensors change at once a state was missed: turn "
		    "it more slowly there. If it stays, a sensor is stuck or "
		    "two wires touch.");
}

static void
say_next(struct reckon *reckon, const struct turning *turning)
{
	unsigned last = turning->steps[turning->step_count - 1];
	const unsigned char *states = orders[turning->order].states;
	int at = place(turning->order, last);

	if (at < 0)
		return;
	if (turning->direction == 0)
		reckon_words(reckon, "next", "What comes next",
		    "%s one way, %s the other", bits(states[(at + 1) % TURN]),
		    bits(states[(at + TURN - 1) % TURN]));
	else
		reckon_words(reckon, "next", "What comes next", "%s",
		    bits(states[(at + TURN + turning->direction) % TURN]));
}

static void
say_verdict(struct reckon *reckon, const struct turning *turning, bool stuck)
{
	const char *words;

	if (stuck)
		words = "one sensor is stuck";
	else if (turning->invalid > 0)
		words = "a state that there is not";
	else if (turning->wrong > 0)
		words = "a step is wrong";
	else if (turning->turned > 0)
		words = "each step is right, but the direction changes";
	else if (turning->step_count <= TURN)
		words = "right so far; seven states make a whole turn of them";
	else
		words = "right";
	reckon_words(reckon, "verdict", "Verdict", "%s", words);
}

static void
remark_missing(struct reckon *reckon, const struct turning *turning, bool stuck)
{
	unsigned sensor;

	if (turning->step_count == 1) {
		reckon_remark(reckon,
		    "One state alone says little: turn the motor by hand, "
		    "slowly, and write down each change.");
		return;
	}
	for (sensor = 0; sensor < SENSORS && !stuck; sensor++)
		if (never_changes(turning, sensor) && turning->step_count > 3)
			reckon_remark(reckon,
			    "Sensor %c has not changed so far. Turn it on: it "
			    "changes twice while the three go around once.",
			    'A' + (int)sensor);
	if (turning->turned > 0 && turning->wrong == 0)
		reckon_remark(reckon,
		    "The direction changes on the way. If the motor was "
		    "turned one way all the time, it is a sensor that "
		    "flickers, or a loose plug.");
	if (turning->wrong == 0 && turning->invalid == 0 &&
	    turning->step_count > TURN)
		reckon_remark(reckon,
		    "Right order alone does not say that the wires are: two "
		    "that are swapped give the same states the other way "
		    "around. Compare with the motor's papers, or with the "
		    "direction in which it is meant to turn.");
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	const char *spacing = reckon_text(reckon, "spacing");
	struct turning turning = {.count = 0};
	enum lw_status status = read_states(&turning, reckon, err);
	bool stuck;

	if (status != LW_OK)
		return status;
	find_order(&turning, spacing);
	count_steps(&turning);
	stuck = say_stuck(reckon, &turning);
	say_verdict(reckon, &turning, stuck);
	say_spacing(reckon, &turning, spacing != NULL, stuck);
	if (!stuck || spacing != NULL) {
		say_invalid(reckon, &turning);
		say_wrong(reckon, &turning);
		if (!stuck)
			say_next(reckon, &turning);
	}
	remark_missing(reckon, &turning, stuck);
	reckon_remark(reckon,
	    "Spaced 120 degrees, 000 and 111 never come; spaced 60 degrees, "
	    "010 and 101 never do. The three go around once for each pair of "
	    "poles in a turn of the shaft.");
	reckon_source(reckon,
	    "one sensor changes a step, by where the sensors are (worked "
	    "out); 000 and 111 for 120 degrees: controller makers' papers");
	return LW_OK;
}

const struct reckoner reckon_hall = {
    .face =
	{
	    .name = "hall",
	    .title = "Hall sensors of a motor",
	    .summary = "Whether the states of three sensors come in the right "
		       "order, which step is wrong, which sensor is stuck",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "states=001,011,010,110,100,101,001",
	},
    .run = run,
};
