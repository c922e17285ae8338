/* view: curves as drawings. Ticks are held against what a person would mark
 * (multiples of 1, 2 or 5 times a power of ten, "common practice"), places
 * against the proportions of the data. All data is invented. */
#include "unit/doc.h"
#include "unit/suites.h"

#include "view/plot.h"

#include <math.h>

static struct view view;
static struct lw_err err;

static void
setup(void)
{
	view_begin(&view, NULL);
	doc = NULL;
}

static void
teardown(void)
{
	lw_doc_free(doc);
}

static void
draw(const struct lw_reckon_plot *plot)
{
	view_plot(&view, view.root, "plot", plot);
	ck_assert_int_eq(view_end(&view, &doc, LW_OK, &err), LW_OK);
}

static double
real(const char *where)
{
	ck_assert_msg(json_is_number(at(where)), "%s is no number", where);
	return json_number_value(at(where));
}

START_TEST(round_ticks)
{
	static const struct {
		double lowest, highest;
		bool whole;
		const char *ticks; /* at most 6 of them */
	} cases[] = {
	    {0, 300, false, "0 100 200 300"},
	    {0, 690.8, false, "0 200 400 600"},
	    {0, 1, true, "0 0.2 0.4 0.6 0.8 1"},
	    {0, 58.8, true, "0 20 40 60"},
	    {0, 0.0048, true, "0 0.001 0.002 0.003 0.004 0.005"},
	    {-3, 3, true, "-4 -2 0 2 4"},
	    {3.1, 3.4, false, "3.1 3.2 3.3 3.4"},
	    {0.1, 0.3, false, "0.1 0.15 0.2 0.25 0.3"},
	    {0, 123456, true, "0 50000 100000 150000"},
	    {-0.7, -0.1, true, "-0.8 -0.6 -0.4 -0.2 0"},
	    {48, 48, true, "40 45 50 55"},
	    {0, 0, true, "-1 -0.5 0 0.5 1"},
	};
	struct plot_axis axis;
	char all[300], text[32];
	size_t i, k, n;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		ck_assert(plot_axis_fit(&axis, cases[i].lowest,
		    cases[i].highest, 6, cases[i].whole));
		all[0] = '\0';
		for (k = n = 0; k < axis.count; k++) {
			plot_axis_tick(text, &axis, k);
			n += (size_t)snprintf(all + n, sizeof all - n, "%s%s",
			    k > 0 ? " " : "", text);
		}
		ck_assert_str_eq(all, cases[i].ticks);
		ck_assert(axis.low <= cases[i].lowest);
		ck_assert(axis.high >= cases[i].highest);
	}
}
END_TEST

/* Over random spans: few ticks, all on the axis, evenly spaced, and what is
 * whole ends on one. */
START_TEST(random_ticks)
{
	struct plot_axis axis;
	unsigned seed = 7;
	double from, to, last, tick, slack;
	char text[32];
	size_t i, k;

	for (i = 0; i < 20000; i++) {
		bool whole = i % 2 == 0;

		seed = seed * 1103515245u + 12345u;
		from = ((double)(seed >> 8 & 0xffff) - 32768) / 100;
		seed = seed * 1103515245u + 12345u;
		to = from + pow(10, (double)(seed >> 8 & 0xff) / 32 - 4);
		if (!plot_axis_fit(&axis, from, to, 6, whole))
			ck_abort_msg("%g to %g does not fit", from, to);
		slack = axis.step * 1e-6;
		ck_assert_uint_ge(axis.count, 2);
		ck_assert_uint_le(axis.count, 6);
		ck_assert(axis.low <= from + slack && axis.high >= to - slack);
		last = plot_axis_tick(text, &axis, 0);
		ck_assert(last >= axis.low - slack);
		for (k = 1; k < axis.count; k++, last = tick) {
			tick = plot_axis_tick(text, &axis, k);
			ck_assert_double_eq_tol(tick - last, axis.step, slack);
		}
		ck_assert(last <= axis.high + slack);
		if (whole)
			ck_assert(last == axis.high);
		ck_assert_uint_le(strlen(text), 12);
	}
}
END_TEST

START_TEST(no_axis)
{
	struct plot_axis axis;

	ck_assert(!plot_axis_fit(&axis, 0, INFINITY, 6, true));
	ck_assert(!plot_axis_fit(&axis, NAN, 1, 6, true));
	ck_assert(!plot_axis_fit(&axis, 0, 1e300, 6, true));
	ck_assert(!plot_axis_fit(&axis, 0, 1e-300, 6, true));
}
END_TEST

static const double xs[] = {0, 100, 200, 400};
static const double ys[] = {0, 30, 40, 48};
static const struct lw_reckon_curve one[] = {{"bus voltage", xs, ys, 4}};
static const struct lw_reckon_level levels[] = {
    {"90 %", 43.2}, {"99 %", 47.52}, {"95 %", 45.6}};

static const struct lw_reckon_plot charging = {
    .title = "Charging",
    .x_title = "time",
    .x_unit = "s",
    .y_title = "bus voltage",
    .y_unit = "V",
    .curves = one,
    .curve_count = 1,
    .levels = levels,
    .level_count = 3,
};

START_TEST(places)
{
	double left, right, top, bottom;
	size_t i;

	draw(&charging);
	ck_assert_str_eq(text("plot.x_text"), "time (s)");
	ck_assert_str_eq(text("plot.y_text"), "bus voltage (V)");
	left = real("plot.left");
	right = real("plot.right");
	top = real("plot.top");
	bottom = real("plot.bottom");
	ck_assert(0 < left && left < right && right < real("plot.width"));
	ck_assert(0 < top && top < bottom && bottom < real("plot.height"));
	/* 0 to 400 s from left to right, 0 to 50 V from bottom to top. */
	ck_assert_double_eq_tol(real("plot.x_ticks.0.x"), left, 0.06);
	ck_assert_uint_eq(count("plot.x_ticks"), 5);
	ck_assert_double_eq_tol(real("plot.x_ticks.4.x"), right, 0.06);
	ck_assert_str_eq(text("plot.y_ticks.5.text"), "50");
	ck_assert_double_eq_tol(real("plot.y_ticks.5.y"), top, 0.06);
	ck_assert_double_eq_tol(
	    real("plot.levels.2.y"), bottom - (bottom - top) * 43.2 / 50, 0.06);
	/* The highest first, and labels a line apart, within the picture. */
	ck_assert_str_eq(text("plot.levels.0.title"), "99 %");
	ck_assert_str_eq(text("plot.levels.1.title"), "95 %");
	for (i = 1; i < 3; i++) {
		char above[40], below[40];

		snprintf(above, sizeof above, "plot.levels.%zu.base", i - 1);
		snprintf(below, sizeof below, "plot.levels.%zu.base", i);
		ck_assert(real(below) - real(above) >= 15.9);
	}
	ck_assert_str_eq(text("plot.label"),
	    "Charging. bus voltage: from 0 V at 0 s to 48 V at 400 s. Lines at "
	    "99 %, 95 %, 90 %");
	ck_assert(!is_true("plot.has_legend"));
}
END_TEST

/* Paths have tenths of pixels, and stay within the area. */
START_TEST(path)
{
	const char *d;
	double x, y;
	int n, points = 0;

	draw(&charging);
	d = text("plot.curves.0.d");
	for (; *d != '\0'; d += n, points++) {
		ck_assert_int_eq(*d, points == 0 ? 'M' : 'L');
		ck_assert_int_eq(sscanf(d + 1, "%lf %lf%n", &x, &y, &n), 2);
		n++;
		ck_assert(x >= real("plot.left") && x <= real("plot.right"));
		ck_assert(y >= real("plot.top") && y <= real("plot.bottom"));
		ck_assert(fabs(x * 10 - round(x * 10)) < 1e-9);
		ck_assert(fabs(y * 10 - round(y * 10)) < 1e-9);
	}
	ck_assert_int_eq(points, 4);
}
END_TEST

START_TEST(broken_path)
{
	static const double broken[] = {10, NAN, 20, 30};
	const struct lw_reckon_curve curve = {"gap", xs, broken, 4};
	struct lw_reckon_plot plot = charging;
	const char *d;

	plot.curves = &curve;
	draw(&plot);
	d = text("plot.curves.0.d");
	ck_assert_ptr_nonnull(strchr(d + 1, 'M'));
	ck_assert_ptr_null(strstr(d, "nan"));
}
END_TEST

/* What is smaller than a double can well be is said as a number still. */
START_TEST(tiny)
{
	static const double from[] = {1e-320, 100, 200, 400};
	const struct lw_reckon_curve curve = {"tiny", from, ys, 4};
	struct lw_reckon_plot plot = charging;

	plot.curves = &curve;
	plot.level_count = 0;
	draw(&plot);
	ck_assert_str_eq(text("plot.label"),
	    "Charging. tiny: from 0 V at 1e-320 s to 48 V at 400 s.");
}
END_TEST

START_TEST(two_curves)
{
	const struct lw_reckon_curve two[] = {one[0], one[0]};
	struct lw_reckon_plot plot = charging;

	plot.curves = two;
	plot.curve_count = 2;
	draw(&plot);
	ck_assert(is_true("plot.has_legend"));
	ck_assert_uint_eq(count("plot.curves"), 2);
	ck_assert_str_ne(
	    text("plot.curves.0.dashes"), text("plot.curves.1.dashes"));
	ck_assert(real("plot.curves.1.base") < real("plot.top"));
	ck_assert(
	    real("plot.curves.1.base") - real("plot.curves.0.base") >= 16);
}
END_TEST

/* Many levels at one height: their labels keep a line each, or are left out;
 * long ones are cut off. */
START_TEST(crowded_levels)
{
	struct lw_reckon_level crowd[20];
	struct lw_reckon_plot plot = charging;
	double last = 0;
	size_t i;

	for (i = 0; i < 20; i++) {
		crowd[i].title = "a level with quite a long name \u2126";
		crowd[i].y = 48 + (double)i * 1e-3;
	}
	plot.levels = crowd;
	plot.level_count = 20;
	draw(&plot);
	ck_assert_uint_ge(count("plot.levels"), 10);
	for (i = 0; i < count("plot.levels"); i++) {
		char where[40];

		snprintf(where, sizeof where, "plot.levels.%zu.base", i);
		ck_assert(i == 0 || real(where) - last >= 15.9);
		last = real(where);
	}
	ck_assert(last <= real("plot.height"));
	ck_assert_str_eq(
	    text("plot.levels.0.title"), "a level with quite a \u2026");
	ck_assert(real("plot.right") - real("plot.left") > 140);
}
END_TEST

/* What is level, starts above zero, or is negative. */
START_TEST(bounds)
{
	static const double level[] = {48, 48, 48, 48};
	static const double high[] = {48, 50, 51, 52};
	static const double below[] = {-4, -3, -2, -1};
	static const struct {
		const double *y;
		const char *lowest;
	} cases[] = {{level, "40"}, {high, "48"}, {below, "-4"}, {ys, "0"}};
	struct lw_reckon_curve curve = {"", xs, cases[_i].y, 4};
	struct lw_reckon_plot plot = charging;

	plot.curves = &curve;
	plot.level_count = 0;
	plot.x_unit = "";
	plot.y_unit = "number";
	draw(&plot);
	ck_assert_str_eq(text("plot.y_ticks.0.text"), cases[_i].lowest);
	ck_assert_str_eq(text("plot.x_text"), "time");
	ck_assert_str_eq(text("plot.y_text"), "bus voltage");
}
END_TEST

/* Nothing that could be drawn is no plot, and no failure. */
START_TEST(degenerate)
{
	static const double same[] = {1, 1, 1, 1};
	static const double lost[] = {NAN, INFINITY, -INFINITY, NAN};
	static const double huge[] = {0, 1e200, -1e200, 1};
	const struct lw_reckon_curve curves[] = {{"", same, ys, 4},
	    {"", lost, ys, 4}, {"", xs, lost, 4}, {"", huge, ys, 4},
	    {"", xs, huge, 4}, {"", xs, ys, 0}};
	struct lw_reckon_plot plot = charging;

	plot.curves = &curves[_i];
	plot.curve_count = 1;
	draw(&plot);
	is_null("plot");
}
END_TEST

START_TEST(none)
{
	draw(NULL);
	is_null("plot");
}
END_TEST

Suite *
suite_plot(void)
{
	Suite *suite = suite_create("plot");
	TCase *cases = tcase_create("plot");

	tcase_add_checked_fixture(cases, setup, teardown);
	tcase_add_test(cases, places);
	tcase_add_test(cases, path);
	tcase_add_test(cases, broken_path);
	tcase_add_test(cases, tiny);
	tcase_add_test(cases, two_curves);
	tcase_add_test(cases, crowded_levels);
	tcase_add_loop_test(cases, bounds, 0, 4);
	tcase_add_loop_test(cases, degenerate, 0, 6);
	tcase_add_test(cases, none);
	suite_add_tcase(suite, cases);
	cases = tcase_create("axis");
	tcase_add_test(cases, round_ticks);
	tcase_add_test(cases, random_ticks);
	tcase_add_test(cases, no_axis);
	suite_add_tcase(suite, cases);
	return suite;
}
