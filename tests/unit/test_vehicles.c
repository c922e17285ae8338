/* The packs that ship, tried on simulated vehicles: tests/tables/vehicles.tsv
 * says of each what is wrong, what its people see and what its checks give,
 * from the physics of the fault and what the checks ask. Whoever follows the
 * job has to come to what is wrong. */
#include "unit/bench.h"
#include "unit/suites.h"
#include "unit/table.h"

#include <glob.h>

enum {
	ANSWERS_MAX = 160, /* of one job, ways in included */
	WRONG_MAX = 4,	   /* parts that turn out to be sound */
	WAYS_MAX = 20,
	CODES_MAX = 300
};

/* Invented vehicles, with all that can be said of them. */
static const struct {
	const char *name;
	const char *facts[48];
} rigs[] = {
    {"cart48",
	{"motor=separately-excited", "reference=floating", "charger=on-board",
	    "pack.kind=lead", "contactor=yes", "precharge=yes", "dcdc=yes",
	    "auxiliary=yes", "strings=one", "pack.cells=24",
	    "pack.capacity=150 Ah", "precharge.resistor=470 ohm",
	    "precharge.watts=25 W", "precharge.time=20 s",
	    "bus.capacitor=10 mF", "bus.load=10 kohm", "cable.size=35 mm2",
	    "cable.length=4 m", "fuse.main=250 A", "controller.current=300 A",
	    "controller.low=36 V", "controller.high=63 V",
	    "contactor.volts=48 V", "contactor.watts=15 W",
	    "throttle.kind=rheostat-0-5k", "motor.ohms=20 mohm",
	    "motor.field=1.5 ohm", "auxiliary.volts=12 V",
	    "dcdc.volts=13.8 V"}},
    {"trike36",
	{"motor=brushless", "reference=floating", "charger=off-board",
	    "pack.kind=nmc", "contactor=yes", "precharge=yes", "dcdc=no",
	    "auxiliary=no", "strings=one", "pack.cells=10",
	    "pack.capacity=20 Ah", "precharge.resistor=250 ohm",
	    "precharge.watts=10 W", "precharge.time=5 s", "bus.capacitor=3 mF",
	    "bus.load=20 kohm", "cable.size=10 mm2", "cable.length=2 m",
	    "fuse.main=60 A", "controller.current=50 A", "controller.low=28 V",
	    "controller.high=48 V", "contactor.volts=24 V",
	    "contactor.watts=12 W", "throttle.kind=hall",
	    "motor.ohms=100 mohm"}},
    {"tug24",
	{"motor=series", "reference=frame", "charger=off-board",
	    "pack.kind=lead", "contactor=yes", "precharge=yes", "dcdc=no",
	    "auxiliary=no", "strings=one", "pack.cells=12",
	    "pack.capacity=200 Ah", "precharge.resistor=250 ohm",
	    "precharge.watts=10 W", "precharge.time=10 s", "bus.capacitor=8 mF",
	    "bus.load=20 kohm", "cable.size=50 mm2", "cable.length=3 m",
	    "fuse.main=300 A", "controller.current=300 A",
	    "controller.low=18 V", "controller.high=36 V",
	    "contactor.volts=24 V", "contactor.watts=12 W",
	    "throttle.kind=wiper", "motor.ohms=15 mohm"}},
    {"shuttle72",
	{"motor=permanent-magnet", "reference=floating", "charger=on-board",
	    "pack.kind=lfp", "contactor=yes", "precharge=yes", "dcdc=yes",
	    "auxiliary=yes", "strings=several", "pack.cells=24",
	    "pack.capacity=100 Ah", "precharge.resistor=1 kohm",
	    "precharge.watts=25 W", "precharge.time=30 s",
	    "bus.capacitor=10 mF", "bus.load=40 kohm", "cable.size=50 mm2",
	    "cable.length=5 m", "fuse.main=300 A", "controller.current=350 A",
	    "controller.low=55 V", "controller.high=96 V",
	    "contactor.volts=72 V", "contactor.watts=15 W",
	    "throttle.kind=zero-ten", "motor.ohms=25 mohm",
	    "auxiliary.volts=12 V", "dcdc.volts=13.8 V"}},
};

static struct bench bench;
static char faults[CODES_MAX][65];
static size_t fault_count;

/* A device with a code of two digits for every fault. */
static void
make_device(void)
{
	static char text[60000];
	struct lw_pack_text file = {"sim.yaml", text, 0};
	struct lw_arena *arena = lw_arena_new();
	const struct lw_pack *pack = NULL;
	struct lw_problems problems;
	struct lw_entries list;
	size_t i, length;

	ck_assert_int_eq(
	    lw_book_list(bench.book, bench.arena, "fault", &list, NULL), LW_OK);
	length = (size_t)snprintf(text, sizeof text,
	    "pack: sim\ntitle: Sim\ndevices:\n  - id: sim\n    title: Sim\n"
	    "    kind: controller\n    invented: yes\n    lamps:\n"
	    "      - {id: lamp, title: Lamp, coding: digits}\n    codes:\n");
	ck_assert_uint_le(list.count, CODES_MAX);
	for (i = 0; i < list.count; i++) {
		snprintf(faults[fault_count++], sizeof faults[0], "%s",
		    list.items[i].id);
		length += (size_t)snprintf(text + length, sizeof text - length,
		    "      - {pattern: %zu-%zu, fault: %s}\n", i / 20 + 1,
		    i % 20 + 1, list.items[i].id);
		ck_assert_uint_lt(length, sizeof text);
	}
	file.length = length;
	ck_assert_int_eq(lw_pack_read(arena, &file, 1, bench.book, &pack,
			     &problems, &bench.err),
	    LW_OK);
	ck_assert_msg(problems.count == 0, "%s",
	    problems.count > 0 ? problems.items[0].text : "");
	ck_assert_int_eq(
	    lw_book_put_pack(bench.book, pack, bench.now_s, &bench.err), LW_OK);
	lw_arena_free(arena);
}

static void
make_rigs(void)
{
	struct lw_rig_pair pair;
	char copy[80];
	size_t i, j;

	for (i = 0; i < sizeof rigs / sizeof rigs[0]; i++) {
		ck_assert_int_eq(lw_rig_new(bench.book, rigs[i].name, NULL,
				     bench.now_s, &bench.err),
		    LW_OK);
		for (j = 0; rigs[i].facts[j] != NULL; j++) {
			snprintf(copy, sizeof copy, "%s", rigs[i].facts[j]);
			pair.key = copy;
			*strchr(copy, '=') = '\0';
			pair.value = copy + strlen(copy) + 1;
			ck_assert_msg(
			    lw_rig_set(bench.book, rigs[i].name, &pair, 1,
				++bench.now_s, &bench.err) == LW_OK,
			    "%s %s: %s", rigs[i].name, pair.key,
			    bench.err.text);
		}
	}
}

/* One vehicle and how its job went. */
struct vehicle {
	const char *cause;
	const char *began;   /* "fault ID" or "symptom ID" */
	const char *answers; /* "CHECK=ANSWER; CHECK=ANSWER" */
	int64_t job;
	unsigned asked; /* checks, without ways in */
	double minutes;
	unsigned wrong; /* parts that were looked at, and were sound */
	bool found;
	const char *ended; /* where it was not */
	char said[300];
};

static void
start(struct vehicle *vehicle, const char *rig)
{
	struct lw_job_start start = {.rig = rig};
	const char *id = strchr(vehicle->began, ' ');
	char pattern[48];
	const char *typed = pattern;
	size_t i;

	ck_assert_ptr_nonnull(id);
	id++;
	if (strncmp(vehicle->began, "symptom ", 8) == 0) {
		start.symptom = id;
	} else {
		for (i = 0; i < fault_count && strcmp(faults[i], id) != 0; i++)
			;
		ck_assert_msg(i < fault_count, "no fault is %s", id);
		snprintf(
		    pattern, sizeof pattern, "%zu-%zu", i / 20 + 1, i % 20 + 1);
		start.device = "sim";
		start.patterns = &typed;
		start.pattern_count = 1;
	}
	ck_assert_msg(lw_job_new(bench.book, &start, ++bench.now_s,
			  &vehicle->job, &bench.err) == LW_OK,
	    "%s: %s", vehicle->began, bench.err.text);
}

/* What the vehicle gives to a check; false where nothing is said of it. */
static bool
find_answer(
    char *answer, size_t size, const struct vehicle *vehicle, const char *check)
{
	const char *at = vehicle->answers;
	size_t length = strlen(check), end;

	while (*at != '\0') {
		at += strspn(at, "; ");
		end = strcspn(at, ";");
		if (strncmp(at, check, length) == 0 && at[length] == '=') {
			ck_assert_uint_lt(end - length - 1, size);
			memcpy(answer, at + length + 1, end - length - 1);
			answer[end - length - 1] = '\0';
			return true;
		}
		at += end;
	}
	return false;
}

/* What is not said of a vehicle is as on a sound one. */
static void
answer(struct vehicle *vehicle, const struct lw_job *job)
{
	const struct lw_job_step *step = job->step;
	struct lw_answer given = {.serial = -1};
	char text[80];

	if (!find_answer(text, sizeof text, vehicle, step->check->id))
		snprintf(text, sizeof text, "%s",
		    step->expected != NULL ? step->expected->id : "cannot");
	if (!step->gate && !step->compulsory) {
		vehicle->asked++;
		vehicle->minutes += step->check->minutes;
	}
	given.text = text;
	if (bench_give(&bench, vehicle->job, given) == LW_OK)
		return;
	given.sure = true;
	ck_assert_msg(bench_give(&bench, vehicle->job, given) == LW_OK,
	    "%s, %s: %s=%s: %s", vehicle->cause, vehicle->began,
	    step->check->id, text, bench.err.text);
}

/* A part that was said to be the cause is looked at. */
static bool
look_at_part(struct vehicle *vehicle, const char *cause)
{
	size_t length = strlen(vehicle->said);
	const struct lw_job *job;
	unsigned ways;

	if (strcmp(cause, vehicle->cause) == 0) {
		vehicle->found = true;
		return false;
	}
	snprintf(vehicle->said + length, sizeof vehicle->said - length, " %s",
	    cause);
	vehicle->wrong++;
	if (vehicle->wrong >= WRONG_MAX) {
		vehicle->ended = "too many parts were sound";
		return false;
	}
	if (bench_get(&bench, vehicle->job)->state != LW_JOB_FOUND &&
	    bench_do_with(&bench, lw_job_suppose, vehicle->job, cause) !=
		LW_OK) {
		vehicle->ended = "could not be supposed";
		return false;
	}
	/* What comes before hands go near. */
	for (ways = 0; ways < WAYS_MAX; ways++) {
		job = bench_get(&bench, vehicle->job);
		if (job->step == NULL ||
		    (!job->step->gate && !job->step->compulsory &&
			job->step->purpose != LW_PURPOSE_SAFE))
			break;
		answer(vehicle, job);
	}
	if (bench_try(&bench, vehicle->job, "wrong") != LW_OK) {
		vehicle->ended = "could not be struck";
		return false;
	}
	return true;
}

/* One more step; false at the end. */
static bool
go_on(struct vehicle *vehicle)
{
	const struct lw_job *job = bench_get(&bench, vehicle->job);

	switch (job->state) {
	case LW_JOB_FOUND:
		return look_at_part(vehicle, job->cause);
	case LW_JOB_OPEN:
		if (job->fix_first && job->fix_count > 0 && !job->step->gate)
			return look_at_part(vehicle, job->fixes[0].cause);
		answer(vehicle, job);
		return true;
	case LW_JOB_UNDECIDED:
		if (job->fix_count > 0)
			return look_at_part(vehicle, job->fixes[0].cause);
		vehicle->ended = "nothing is left";
		return false;
	default:
		vehicle->ended = lw_job_state_name(job->state);
		return false;
	}
}

static void
drive(struct vehicle *vehicle, const char *rig)
{
	unsigned steps;

	start(vehicle, rig);
	for (steps = 0; steps < ANSWERS_MAX && go_on(vehicle); steps++)
		bench_forget(&bench);
	if (!vehicle->found && vehicle->ended == NULL)
		vehicle->ended = "too many steps";
	bench_end(&bench, vehicle->job, true, NULL);
	bench_forget(&bench);
}

static void
open_all(void)
{
	glob_t found;

	bench_open(&bench);
	ck_assert_int_eq(glob(KB_DIR "/*.yaml", 0, NULL, &found), 0);
	bench_put(&bench, (const char *const *)found.gl_pathv, found.gl_pathc);
	globfree(&found);
	fault_count = 0;
	make_device();
	make_rigs();
}

/* Every how many rows one is tried: under valgrind and with sanitizers each
 * takes long. */
static unsigned
rows_apart(void)
{
	if (getenv("VEHICLES") != NULL)
		return 1;
	if (getenv("LAMPWRIGHT_SHORT") != NULL)
		return 90;
	return getenv("LAMPWRIGHT_WALKS_SHORT") != NULL ? 30 : 3;
}

/* VEHICLES=all in the environment tries and prints each. */
START_TEST(faults_are_found)
{
	bool loud = getenv("VEHICLES") != NULL;
	unsigned count = 0, first = 0, found = 0, asked = 0, row = 0;
	double minutes = 0;
	struct table table;

	open_all();
	table_open(&table, "vehicles.tsv");
	while (table_next(&table)) {
		if (row++ % rows_apart() != 0)
			continue;
		struct vehicle vehicle = {.cause = table.field[0],
		    .began = table.field[2],
		    .answers = table.field[3]};

		drive(&vehicle, table.field[1]);
		count++;
		found += vehicle.found;
		first += vehicle.found && vehicle.wrong == 0;
		asked += vehicle.asked;
		minutes += vehicle.minutes;
		if (loud || !vehicle.found)
			printf("%s %-26s %-34s %2u checks %4.0f min%s%s %s\n",
			    vehicle.found ? "found" : "LOST ", vehicle.cause,
			    vehicle.began, vehicle.asked, vehicle.minutes,
			    vehicle.wrong > 0 ? ", sound:" : "", vehicle.said,
			    vehicle.ended != NULL ? vehicle.ended : "");
	}
	table_close(&table);
	printf("%u vehicles: %u found, %u of them at once, %.1f checks and "
	       "%.0f min on average\n",
	    count, found, first, (double)asked / count, minutes / count);
	ck_assert_uint_gt(count, 0);
	/* Nineteen of twenty, nine of ten without a part that was sound; of few
	 * rows a little less. */
	ck_assert_msg(
	    (found + 1) * 20 >= count * 19, "%u of %u found", found, count);
	ck_assert_msg(
	    (first + 2) * 10 >= count * 9, "%u of %u at once", first, count);
	bench_close(&bench);
}
END_TEST

Suite *
suite_vehicles(void)
{
	Suite *suite = suite_create("vehicles");
	TCase *tcase = tcase_create("vehicles");

	tcase_set_timeout(tcase, 600);
	tcase_add_test(tcase, faults_are_found);
	suite_add_tcase(suite, tcase);
	return suite;
}
