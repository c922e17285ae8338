/* A fuse against the cable that it is to guard. No ampacity is worked out: it
 * is given, or read from a table that names it. */
#include "meter/conductor.h"
#include "meter/reckon.h"

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

static const struct lw_reckon_input inputs[] = {
    {
	.key = "fuse",
	.title = "Rating of the fuse",
	.help = "Printed on it.",
	.unit = "A",
	.needed = true,
	.rig = "fuse.main",
	.low = 0.1,
	.high = 3000,
    },
    {
	.key = "ampacity",
	.title = "What the cable may carry all the time",
	.help = "By its maker's papers or the electrical code, for how it is "
		"laid and how warm its surroundings are.",
	.unit = "A",
	.low = 0.1,
	.high = 3000,
    },
    {
	.key = "size",
	.title = "Cross-section of the copper",
	.help = "In mm2 or as an AWG size, printed on the cable's sheath.",
	.unit = "mm2",
	.rig = "cable.size",
	.low = 0.05,
	.high = 1000,
    },
    {
	.key = "amps",
	.title = "Most that the controller takes",
	.help = "Its current limit, by its papers or settings.",
	.unit = "A",
	.rig = "controller.current",
	.low = 0.1,
	.high = 3000,
    },
    {
	.key = "volts",
	.title = "Pack voltage",
	.help = "Fully charged; for the current of a short circuit.",
	.unit = "V",
	.rig = "pack.full",
	.low = 1,
	.high = 1000,
    },
    {
	.key = "source",
	.title = "Resistance of pack and cables up to the short",
	.help = "The pack's own, by two loads (reckon sag), and the cable's.",
	.unit = "ohm",
	.low = 1e-5,
	.high = 100,
    },
};

/* The one size of which figures were published to us. */
static const char TABLED_SIZE[] = "2 AWG";
static const char TABLED_AMPS[] = "190 A";
/* The lowest of them, in A: for building wire. */
static const double TABLED_LEAST = 95;
/* So many times what the cable may carry, and so few times its own rating, a
 * fuse is not trusted to open in time. Common practice. */
static const double TOO_LARGE = 2, TOO_LITTLE = 2;

/* What is known before the verdict. */
struct cable {
	bool tabled;	 /* the size is the tabled one */
	bool known;	 /* an ampacity is */
	double ampacity; /* A */
	double least;	 /* A; lower where only a table says so */
	double fuse;
	double times; /* of a short circuit, its rating; 0: not known */
};

static enum lw_status
work_cable(struct reckon *reckon, struct cable *cable, struct lw_err *err)
{
	const struct lw_quantity *size = reckon_quantity(reckon, "size");
	bool given = reckon_quantity(reckon, "ampacity") != NULL;
	struct conductor conductor = {.table = CONDUCTOR_NONE};
	enum lw_status status = LW_OK;
	double value;

	if (size != NULL)
		conductor_find(&conductor, size->value);
	cable->tabled = conductor.table != CONDUCTOR_NONE &&
			strcmp(conductor.size, TABLED_SIZE) == 0;
	cable->known = given || cable->tabled;
	if (cable->known)
		status = reckon_formula(reckon, &cable->ampacity,
		    "cable-ampacity", "What the cable may carry", "A",
		    given ? "ampacity" : TABLED_AMPS, err);
	cable->least = given ? cable->ampacity : TABLED_LEAST;
	if (status == LW_OK && cable->known)
		status = reckon_formula(reckon, &value, "fuse-share",
		    "Fuse against the cable", "%", "fuse / cable_ampacity",
		    err);
	if (status == LW_OK && size != NULL)
		status = reckon_formula(reckon, &value, "melting-current",
		    "Current that melts a solid wire of that size", "A",
		    "fusing_amps(sqrt(size * 4 / 3.14159265358979))", err);
	return status;
}

static enum lw_status
work_short(struct reckon *reckon, struct cable *cable, struct lw_err *err)
{
	enum lw_status status;
	double amps, times;

	if (reckon_quantity(reckon, "volts") == NULL ||
	    reckon_quantity(reckon, "source") == NULL) {
		reckon_remark(reckon,
		    "Whatever its rating, the fuse has to be made for direct "
		    "current at the full pack's voltage, and to break what a "
		    "short circuit gives: give volts and source to see how "
		    "much that is.");
		return LW_OK;
	}
	status = reckon_formula(reckon, &amps, "short-current",
	    "Current of a short circuit", "A", "volts / source", err);
	if (status == LW_OK)
		status = reckon_formula(reckon, &times, "short-times",
		    "Times the fuse's rating", "", "short_current / fuse", err);
	if (status != LW_OK)
		return status;
	cable->times = times;
	reckon_remark(reckon,
	    "A short circuit gives %s, %s times the fuse's rating. The fuse "
	    "has to be able to break that current at %s of direct current: "
	    "both are printed on it or in its papers.",
	    reckon_say(reckon, amps, "A"), reckon_say(reckon, times, ""),
	    reckon_plain(reckon, "volts"));
	if (times <= 1)
		reckon_remark(reckon,
		    "That is not more than its rating: it never opens.");
	else if (times < 4)
		reckon_remark(reckon,
		    "That is so little that the fuse may take many seconds: "
		    "look up its time for %s times its rating.",
		    reckon_say(reckon, times, ""));
	return LW_OK;
}

static void
say_verdict(struct reckon *reckon, const struct cable *cable)
{
	if (!cable->known)
		reckon_words(reckon, "verdict", "Verdict",
		    "not known: give what the cable may carry, as ampacity");
	else if (cable->times > 0 && cable->times < TOO_LITTLE)
		reckon_words(reckon, "verdict", "Verdict",
		    "too large: a short circuit gives only %s times its "
		    "rating, so it may not open",
		    reckon_say(reckon, cable->times, ""));
	else if (cable->fuse > TOO_LARGE * cable->ampacity)
		reckon_words(reckon, "verdict", "Verdict",
		    "too large: more than twice what the cable may carry, so "
		    "the cable may burn before it opens");
	else if (cable->fuse > cable->least && cable->fuse <= cable->ampacity)
		reckon_words(reckon, "verdict", "Verdict",
		    "guards the cable against an overload only if it may "
		    "carry %s: give what yours may, as ampacity",
		    reckon_plain(reckon, "fuse"));
	else if (cable->fuse <= cable->ampacity)
		reckon_words(reckon, "verdict", "Verdict",
		    "guards the cable against a short circuit and against a "
		    "lasting overload");
	else
		reckon_words(reckon, "verdict", "Verdict",
		    "guards the cable against a short circuit, but not "
		    "against an overload");
}

static void
remark_overload(struct reckon *reckon, const struct cable *cable)
{
	const struct lw_quantity *amps = reckon_quantity(reckon, "amps");
	const char *ampacity = reckon_say(reckon, cable->ampacity, "A");

	if (!cable->known) {
		reckon_remark(reckon,
		    "How much a cable may carry depends on its insulation, "
		    "how it is laid and how warm it is there, so it is not "
		    "reckoned here: its maker's papers or the electrical code "
		    "say.");
		return;
	}
	if (cable->fuse > cable->ampacity &&
	    cable->fuse <= TOO_LARGE * cable->ampacity)
		reckon_remark(reckon,
		    "A fuse of %s on a cable for %s opens on a short circuit, "
		    "but between the two it lets the cable overheat for a "
		    "long time. Limit the controller's current to %s, or take "
		    "a smaller fuse or a thicker cable.",
		    reckon_plain(reckon, "fuse"), ampacity, ampacity);
	if (cable->fuse > TOO_LARGE * cable->ampacity)
		reckon_remark(reckon,
		    "Take a smaller fuse, or a cable that may carry what the "
		    "fuse lets through for long.");
	if (amps != NULL && amps->value > cable->ampacity)
		reckon_remark(reckon,
		    "The controller may take %s through a cable for %s. Short "
		    "peaks may be allowed by its maker; a long climb is an "
		    "overload.",
		    reckon_plain(reckon, "amps"), ampacity);
	if (amps != NULL && amps->value > cable->fuse)
		reckon_remark(reckon,
		    "The controller may take %s, more than the fuse's %s: it "
		    "will open in use unless the peaks are shorter than its "
		    "curve allows.",
		    reckon_plain(reckon, "amps"), reckon_plain(reckon, "fuse"));
	if (cable->fuse <= cable->ampacity)
		reckon_remark(reckon,
		    "A fuse carries somewhat more than its rating for long: "
		    "its maker's curve says how much and how long.");
}

static void
remark_tables(struct reckon *reckon, const struct cable *cable)
{
	if (reckon_quantity(reckon, "size") != NULL) {
		reckon_remark(reckon,
		    "The melting current is what melts a bare solid wire of "
		    "that cross-section. It is no rating: insulation burns "
		    "long before.");
		reckon_source(reckon,
		    "Preece's fusing current of copper: 10244 A times "
		    "the diameter in inches to the power of 1.5");
	}
	if (!cable->tabled)
		return;
	if (reckon_quantity(reckon, "ampacity") == NULL)
		reckon_remark(reckon,
		    "190 A for 2 AWG is the highest published figure, for "
		    "flexible cord. Building wire of that size is given "
		    "95, 115 or 130 A by its insulation: give yours as "
		    "ampacity.");
	reckon_source(reckon,
	    "2 AWG: 190 A in NEC table 400.5(A)(2); 95, 115 and 130 A in NEC "
	    "table 310.16");
}

static enum lw_status
run(struct reckon *reckon, struct lw_err *err)
{
	struct cable cable = {.fuse = reckon_quantity(reckon, "fuse")->value};
	enum lw_status status = work_cable(reckon, &cable, err);

	if (status == LW_OK)
		status = work_short(reckon, &cable, err);
	if (status != LW_OK)
		return status;
	say_verdict(reckon, &cable);
	remark_overload(reckon, &cable);
	remark_tables(reckon, &cable);
	reckon_source(
	    reckon, "fuse not above what the cable may carry: common practice");
	return LW_OK;
}

const struct reckoner reckon_fuse = {
    .face =
	{
	    .name = "fuse",
	    .title = "Fuse and cable",
	    .summary = "What a fuse guards its cable from: a short circuit, "
		       "and whether an overload too",
	    .inputs = inputs,
	    .input_count = sizeof inputs / sizeof inputs[0],
	    .example = "fuse=350A size=2AWG amps=300A",
	},
    .run = run,
};
