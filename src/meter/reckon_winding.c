/* Three-phase windings from the resistances between their three terminals:
 * each phase, as wye and as delta, how even they are, and a leg that is open.
 */
#include "meter/reckon.h"

#include "meter/unit.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

static const char *const connections[] = {"wye", "delta", NULL};
static const char *const connection_titles[] = {
    "wye (star)", "delta (triangle)", NULL};
static const char *const connections_also[] = {"star", "triangle"};

static const struct lw_reckon_input inputs[] = {
    {
	.key = "ab",
	.title = "Between A and B",
	.help = "At the motor's own cables, taken off the controller, proved "
		"dead. OL where it is open.",
	.needed = true,
    },
    {
	.key = "bc",
	.title = "Between B and C",
	.help = "OL where it is open.",
	.needed = true,
    },
    {
	.key = "ca",
	.title = "Between C and A",
	.help = "OL where it is open.",
	.needed = true,
    },
    {
	.key = "leads",
	.title = "The meter's leads alone",
	.help = "What it reads with its probes held together: it is taken "
		"off each. Left out: none.",
	.unit = "ohm",
	.high = 100,
    },
    {
	.key = "connection",
	.title = "How the windings are connected",
	.help = "By the motor's papers. Left out: worked out for both; from "
		"outside they cannot be told apart.",
	.words = connections,
	.word_titles = connection_titles,
	.also = connections_also,
    },
};

enum { LINES = 3 };
static const char *const keys[LINES] = {"ab", "bc", "ca"};

static const double EVEN = 0.05;     /* spread that is let pass */
static const double TWICE_OFF = 0.1; /* of an open leg: 2 : 1 : 1 */
static const double OHMS_MOST = 1e6, PLAIN_METER = 1;

struct winding {
	double line[LINES]; /* leads taken off; infinite where open */
	size_t open;
	double step; /* the coarsest last digit */
	double mean;
	double spread; /* a share */
	bool wye;      /* wanted */
	bool delta;
};

/* --- reading ---------------------------------------------------------------
 */

static bool
is_open(const char *text)
{
	static const char *const words[] = {
	    "OL", "O.L", "0L", "open", "inf", "infinite", "overload"};
	size_t i;

	for (i = 0; i < sizeof words / sizeof words[0]; i++)
		if (unit_letters_match(text, words[i], strlen(words[i]) + 1))
			return true;
	return false;
}

static enum lw_status
read_lines(struct winding *winding, struct reckon *reckon, struct lw_err *err)
{
	const struct lw_quantity *leads = reckon_quantity(reckon, "leads");
	const struct lw_quantity *line;
	enum lw_status status;
	size_t i;

	for (i = 0; i < LINES; i++) {
		winding->line[i] = INFINITY;
		if (is_open(reckon_text(reckon, keys[i]))) {
			winding->open++;
			continue;
		}
		status = reckon_take(
		    reckon, keys[i], "ohm", 0, OHMS_MOST, NULL, err);
		if (status != LW_OK)
			return status;
		line = reckon_quantity(reckon, keys[i]);
		winding->line[i] = line->value;
		winding->step = fmax(winding->step, line->step);
		if (leads == NULL)
			continue;
		winding->line[i] -= leads->value;
		if (winding->line[i] < 0)
			return reckon_refuse(reckon, "leads", err,
			    "they are more than what is read from %c to %c; "
			    "read them again with the probes held together",
			    keys[i][0] - 'a' + 'A', keys[i][1] - 'a' + 'A');
	}
	return LW_OK;
}

/* Each without the leads, for the formulas. */
static enum lw_status
work_lines(
    const struct winding *winding, struct reckon *reckon, struct lw_err *err)
{
	static const struct {
		const char *name;
		const char *title;
		const char *formula;
	} lines[LINES] = {
	    {"line-ab", "From A to B", "ab - leads"},
	    {"line-bc", "From B to C", "bc - leads"},
	    {"line-ca", "From C to A", "ca - leads"},
	};
	bool leads = reckon_quantity(reckon, "leads") != NULL;
	enum lw_status status = LW_OK;
	double value;
	size_t i;

	for (i = 0; i < LINES && status == LW_OK; i++)
		if (isfinite(winding->line[i]))
			status = reckon_formula(reckon, &value, lines[i].name,
			    lines[i].title, "ohm",
			    leads ? lines[i].formula : keys[i], err);
	return status;
}

/* --- all three are there ----------------------------------------------------
 */

static enum lw_status
work_spread(struct winding *winding, struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status;

	status =
	    reckon_formula(reckon, &winding->mean, "mean", "Mean of the three",
		"ohm", "(line_ab + line_bc + line_ca) / 3", err);
	if (status != LW_OK)
		return status;
	if (!(winding->mean > 0))
		return reckon_refuse(reckon, "ab", err,
		    "0 ohm three times tells nothing: the meter is too "
		    "coarse, so take one for milliohms");
	return reckon_formula(reckon, &winding->spread, "spread",
	    "Spread: largest less smallest, of the mean", "%",
	    "(max(line_ab, line_bc, line_ca) - min(line_ab, line_bc, line_ca)) "
	    "/ mean",
	    err);
}

struct phase {
	const char *name;
	const char *title;
	const char *formula;
};

static enum lw_status
work_phases(
    struct reckon *reckon, const struct phase *phases, struct lw_err *err)
{
	enum lw_status status = LW_OK;
	double value;
	size_t i;

	for (i = 0; i <= LINES && status == LW_OK; i++)
		status = reckon_formula(reckon, &value, phases[i].name,
		    phases[i].title, "ohm", phases[i].formula, err);
	return status;
}

static const struct phase wye[] = {
    {"wye-a", "Wye: phase A", "(line_ab + line_ca - line_bc) / 2"},
    {"wye-b", "Wye: phase B", "(line_ab + line_bc - line_ca) / 2"},
    {"wye-c", "Wye: phase C", "(line_bc + line_ca - line_ab) / 2"},
    {"wye-phase", "Wye: a phase, if all are alike", "mean / 2"},
};

/* By the wye that reads the same, and the delta that goes with it. */
#define SQUARES                                                           \
	"(2 * line_ab * line_bc + 2 * line_bc * line_ca + 2 * line_ca * " \
	"line_ab - line_ab^2 - line_bc^2 - line_ca^2) / "
static const struct phase delta[] = {
    {"delta-ab", "Delta: phase AB",
	SQUARES "(2 * (line_bc + line_ca - line_ab))"},
    {"delta-bc", "Delta: phase BC",
	SQUARES "(2 * (line_ca + line_ab - line_bc))"},
    {"delta-ca", "Delta: phase CA",
	SQUARES "(2 * (line_ab + line_bc - line_ca))"},
    {"delta-phase", "Delta: a phase, if all are alike", "1.5 * mean"},
};

/* The line across a delta's open leg reads the other two in series; -1 where
 * none does. */
static int
open_leg(const struct winding *winding)
{
	double across, rest;
	int i;

	for (i = 0; i < LINES; i++) {
		across = winding->line[i];
		rest = winding->line[(i + 1) % LINES] +
		       winding->line[(i + 2) % LINES];
		if (fabs(across - rest) <= TWICE_OFF * across &&
		    fabs(winding->line[(i + 1) % LINES] -
			 winding->line[(i + 2) % LINES]) <= TWICE_OFF * across)
			return i;
	}
	return -1;
}

static bool
is_possible(const double *legs, double mean)
{
	size_t i;

	for (i = 0; i < LINES; i++)
		if (legs[i] < -1e-9 * mean)
			return false;
	return true;
}

static void
say_open_delta(struct reckon *reckon, const struct winding *winding, int line)
{
	int a = keys[line][0] - 'a' + 'A', b = keys[line][1] - 'a' + 'A';
	int far = 'A' + (line + 2) % LINES;

	if (winding->delta)
		reckon_words(reckon, "open-leg", "Open leg",
		    "of a delta: %c to %c", a, b);
	if (winding->delta)
		reckon_remark(reckon,
		    "From %c to %c it reads the two others in series: in a "
		    "delta the phase from %c to %c is open.",
		    a, b, a, b);
	if (winding->wye)
		reckon_remark(reckon,
		    "In a wye the same readings would mean that phase %c has "
		    "next to no resistance: shorted turns.",
		    far);
}

static void
say_even(struct reckon *reckon, const struct winding *winding)
{
	if (winding->step > EVEN / 2 * winding->mean) {
		reckon_words(
		    reckon, "verdict", "Verdict", "too coarse to tell");
		reckon_remark(reckon,
		    "One count of the meter's last digit is %s of the mean: "
		    "how even the phases are it cannot tell. Take a milliohm "
		    "meter, or the drop at a known current.",
		    reckon_say(reckon, winding->step / winding->mean, "%"));
	} else if (winding->spread <= EVEN) {
		reckon_words(reckon, "verdict", "Verdict", "even enough");
	} else {
		reckon_words(reckon, "verdict", "Verdict", "uneven");
		reckon_remark(reckon,
		    "A phase that reads low has shorted turns; one that reads "
		    "high has a bad joint, or a strand that is broken. Measure "
		    "again at the motor itself, with the cables' lugs clean.");
	}
}

static enum lw_status
judge_closed(struct winding *winding, struct reckon *reckon, struct lw_err *err)
{
	enum lw_status status = work_spread(winding, reckon, err);
	double legs[LINES] = {0};
	int line;

	if (status != LW_OK)
		return status;
	legs[0] = (winding->line[0] + winding->line[2] - winding->line[1]) / 2;
	legs[1] = (winding->line[0] + winding->line[1] - winding->line[2]) / 2;
	legs[2] = (winding->line[1] + winding->line[2] - winding->line[0]) / 2;
	line = open_leg(winding);
	if (line >= 0) {
		reckon_words(reckon, "verdict", "Verdict",
		    winding->delta ? "a leg is open" : "uneven");
		say_open_delta(reckon, winding, line);
		return LW_OK;
	}
	if (!is_possible(legs, winding->mean)) {
		reckon_words(
		    reckon, "verdict", "Verdict", "no winding reads like that");
		reckon_remark(reckon,
		    "One reading is more than the two others together, which "
		    "neither a wye nor a delta gives: read again, with the "
		    "motor standing still and off the controller.");
		return LW_OK;
	}
	if (winding->wye)
		status = work_phases(reckon, wye, err);
	if (status == LW_OK && winding->delta && legs[0] > 0 && legs[1] > 0 &&
	    legs[2] > 0)
		status = work_phases(reckon, delta, err);
	if (status == LW_OK)
		say_even(reckon, winding);
	return status;
}

/* --- one or more are open ---------------------------------------------------
 */

static enum lw_status
judge_open(struct winding *winding, struct reckon *reckon)
{
	size_t closed = 0;

	if (winding->open == LINES) {
		reckon_words(
		    reckon, "verdict", "Verdict", "open between all three");
		reckon_remark(reckon,
		    "Two legs or more are open, or the probes do not touch: "
		    "hold them together to see that the meter reads.");
		return LW_OK;
	}
	if (winding->open == 1) {
		reckon_words(
		    reckon, "verdict", "Verdict", "no winding reads like that");
		reckon_remark(reckon,
		    "Open between two terminals that both have a way to the "
		    "third cannot be: read that one again.");
		return LW_OK;
	}
	while (!isfinite(winding->line[closed]))
		closed++;
	reckon_words(reckon, "verdict", "Verdict", "a leg is open");
	if (winding->wye)
		reckon_words(reckon, "open-leg", "Open leg", "of a wye: %c",
		    'A' + (int)((closed + 2) % LINES));
	reckon_remark(reckon,
	    "Nothing reaches %c: in a wye its phase is open; in a delta both "
	    "phases that meet there are, or the cable to it is.",
	    'A' + (int)((closed + 2) % LINES));
	return LW_OK;
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	const char *connection = reckon_text(reckon, "connection");
	struct winding winding = {.open = 0};
	enum lw_status status;

	winding.wye = connection == NULL || strcmp(connection, "wye") == 0;
	winding.delta = connection == NULL || strcmp(connection, "delta") == 0;
	status = read_lines(&winding, reckon, err);
	if (status == LW_OK)
		status = work_lines(&winding, reckon, err);
	if (status == LW_OK)
		status = winding.open > 0 ? judge_open(&winding, reckon)
					  : judge_closed(&winding, reckon, err);
	if (status != LW_OK)
		return status;
	if (winding.open == 0 && winding.mean < PLAIN_METER)
		reckon_remark(reckon,
		    "Below 1 ohm a plain meter misleads: take one with four "
		    "wires, or the voltage at a known current. All three at "
		    "the same temperature, with the motor standing still.");
	reckon_source(reckon,
	    "wye: a phase is half of what is read; delta: 1.5 times; each one "
	    "by wye and delta in place of each other");
	reckon_source(reckon, "spread of up to 5 %: common practice");
	return LW_OK;
}

const struct reckoner reckon_winding = {
    .face =
	{
	    .name = "winding",
	    .title = "Three-phase winding",
	    .summary = "Each phase from three resistances, as wye and as "
		       "delta, how even they are, and an open leg",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "ab=152mohm bc=149mohm ca=151mohm",
	},
    .run = run,
};
