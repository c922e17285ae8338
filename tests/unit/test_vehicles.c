/* The packs that ship, tried on simulated vehicles: tests/tables/vehicles*.tsv
 * say of each what is wrong, what its people see and what its checks give,
 * from the physics of the fault and what the checks ask. Whoever follows the
 * job has to come to what is wrong. */
#include "unit/bench.h"
#include "unit/suites.h"
#include "unit/table.h"

#include <glob.h>
#include <math.h>

enum {
	ANSWERS_MAX = 160, /* of one job, ways in included */
	WRONG_MAX = 4,	   /* parts that turn out to be sound */
	WAYS_MAX = 20,
	CODES_MAX = 300,
	TABLES = 3,    /* tests/tables/vehicles*.tsv */
	NAMED_MAX = 20 /* answers that go together, of one table */
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

/* Lines "@NAME<tab>CHECK=ANSWER; ..." of a table: answers that go together.
 * Those of a rig's name are about each of its rows. */
static struct {
	char name[20];
	char answers[2048];
} named[NAMED_MAX];
static size_t named_count;

/* One vehicle and how its job went. */
struct vehicle {
	const char *cause;
	const char *rig;
	const char *began;   /* "fault ID" or "symptom ID" */
	const char *answers; /* "CHECK=ANSWER; CHECK=ANSWER; @NAME" */
	bool told;	     /* print each answer */
	char barred[65];     /* the way in that was not passed last */
	int64_t job;
	unsigned asked; /* checks, without ways in */
	double minutes;
	unsigned wrong; /* parts that were looked at, and were sound */
	bool found;
	const char *ended; /* where it was not */
	char said[300];
};

static void
start(struct vehicle *vehicle)
{
	struct lw_job_start start = {.rig = vehicle->rig};
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

static const char *
named_answers(const char *name, size_t length)
{
	size_t i;

	for (i = 0; i < named_count; i++)
		if (strncmp(named[i].name, name, length) == 0 &&
		    named[i].name[length] == '\0')
			return named[i].answers;
	return NULL;
}

/* The answer to a check among these, of which the first counts. */
static bool
find_among(char *answer, size_t size, const char *answers, const char *check)
{
	const char *at, *inner;
	size_t length = strlen(check), end;

	for (at = answers; *at != '\0'; at += end, at += strspn(at, "; ")) {
		end = strcspn(at, ";");
		if (at[0] == '@') {
			inner = named_answers(at, end);
			ck_assert_msg(inner != NULL, "%.*s", (int)end, at);
			if (find_among(answer, size, inner, check))
				return true;
		} else if (strncmp(at, check, length) == 0 &&
			   at[length] == '=') {
			ck_assert_uint_lt(end - length - 1, size);
			memcpy(answer, at + length + 1, end - length - 1);
			answer[end - length - 1] = '\0';
			return true;
		}
	}
	return false;
}

/* What the vehicle gives to a check; false where nothing is said of it. */
static bool
find_answer(
    char *answer, size_t size, const struct vehicle *vehicle, const char *check)
{
	char name[20];
	const char *usual;

	if (find_among(answer, size, vehicle->answers, check))
		return true;
	snprintf(name, sizeof name, "@%s", vehicle->rig);
	usual = named_answers(name, strlen(name));
	return usual != NULL && find_among(answer, size, usual, check);
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
	if (vehicle->told)
		printf("    %s=%s%s\n", step->check->id, text,
		    step->gate || step->compulsory ? " (way in)" : "");
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

	vehicle->barred[0] = '\0';
	if (vehicle->told)
		printf("    looks at %s\n", cause);
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
	bool barred;

	switch (job->state) {
	case LW_JOB_FOUND:
		return look_at_part(vehicle, job->cause);
	case LW_JOB_OPEN:
		/* Advised, or the way to any check is barred. */
		barred = strcmp(vehicle->barred, job->step->check->id) == 0;
		if (job->fix_count > 0 &&
		    (barred || (job->fix_first && !job->step->gate)))
			return look_at_part(vehicle, job->fixes[0].cause);
		snprintf(vehicle->barred, sizeof vehicle->barred, "%s",
		    job->step->gate || job->step->compulsory
			? job->step->check->id
			: "");
		answer(vehicle, job);
		return true;
	case LW_JOB_WAITING: /* for what cannot be had on this vehicle */
		if (job->likely != NULL)
			return look_at_part(vehicle, job->likely);
		/* fall through */
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
drive(struct vehicle *vehicle)
{
	unsigned steps;

	start(vehicle);
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

/* How those of one table went. */
struct tally {
	unsigned count, found, first, asked;
	double minutes;
};

static void
drive_row(struct tally *tally, const struct table *table)
{
	const char *told = getenv("VEHICLES");
	struct vehicle vehicle = {.cause = table->field[0],
	    .rig = table->field[1],
	    .began = table->field[2],
	    .answers = table->field[3]};

	vehicle.told = told != NULL && strcmp(told, "all") != 0;
	if (vehicle.told && strcmp(told, vehicle.cause) != 0)
		return;
	drive(&vehicle);
	tally->count++;
	tally->found += vehicle.found;
	tally->first += vehicle.found && vehicle.wrong == 0;
	tally->asked += vehicle.asked;
	tally->minutes += vehicle.minutes;
	if (told != NULL || !vehicle.found)
		printf("%s %-26s %-34s %2u checks %4.0f min%s%s %s\n",
		    vehicle.found ? "found" : "LOST ", vehicle.cause,
		    vehicle.began, vehicle.asked, vehicle.minutes,
		    vehicle.wrong > 0 ? ", sound:" : "", vehicle.said,
		    vehicle.ended != NULL ? vehicle.ended : "");
}

static void
keep_named(const struct table *table)
{
	ck_assert_uint_lt(named_count, NAMED_MAX);
	snprintf(named[named_count].name, sizeof named[0].name, "%s",
	    table->field[0]);
	snprintf(named[named_count].answers, sizeof named[0].answers, "%s",
	    table->field[1]);
	named_count++;
}

/* VEHICLES=all in the environment tries and prints each, VEHICLES=CAUSE those
 * of one cause, with each answer. */
START_TEST(faults_are_found)
{
	struct tally tally = {0};
	struct table table;
	const char *name;
	unsigned row = 0;
	glob_t tables;

	ck_assert_int_eq(
	    glob(TESTS_DIR "/tables/vehicles*.tsv", 0, NULL, &tables), 0);
	ck_assert_uint_eq(tables.gl_pathc, TABLES);
	name = strrchr(tables.gl_pathv[_i], '/') + 1;
	open_all();
	named_count = 0;
	table_open(&table, name);
	while (table_next(&table))
		if (table.field[0][0] == '@')
			keep_named(&table);
		else if (row++ % rows_apart() == 0)
			drive_row(&tally, &table);
	table_close(&table);
	bench_close(&bench);
	printf("%s: %u vehicles: %u found, %u lost, %u at once, %.1f checks "
	       "and %.0f min on average\n",
	    name, tally.count, tally.found, tally.count - tally.found,
	    tally.first, tally.asked / fmax(1, tally.count),
	    tally.minutes / fmax(1, tally.count));
	fflush(stdout);
	/* Nineteen of twenty, nine of ten without a part that was sound; of few
	 * rows a little less. */
	ck_assert_msg((tally.found + 1) * 20 >= tally.count * 19,
	    "%s: %u of %u found", name, tally.found, tally.count);
	ck_assert_msg((tally.first + 2) * 10 >= tally.count * 9,
	    "%s: %u of %u at once", name, tally.first, tally.count);
	globfree(&tables);
}
END_TEST

Suite *
suite_vehicles(void)
{
	Suite *suite = suite_create("vehicles");
	TCase *tcase = tcase_create("vehicles");

	tcase_set_timeout(tcase, 600);
	tcase_add_loop_test(tcase, faults_are_found, 0, TABLES);
	suite_add_tcase(suite, tcase);
	return suite;
}
