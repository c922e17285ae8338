/* Packs with values of rigs, and bands over them: what arrives, what names are
 * known, and bands tried on plausible rigs. All of it is invented. */
#include "unit/book.h"
#include "unit/packs.h"
#include "unit/suites.h"

#include "pack/names.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define PACKS TESTS_DIR "/packs"

#define QUANTITY(id, unit, from, to, more)                       \
	"  - {id: " id                                           \
	", title: T, part: P, kind: quantity, help: H., where: " \
	"W., unit: " unit ", from: " from ", to: " to more "}\n"
#define KIND                                                                  \
	"  - {id: t.kind, title: K, part: P, kind: choice, help: H., where: " \
	"W., choices: [{id: heavy, title: H}, {id: lfp, title: L}]}\n"
#define CHECK(id, unit, outcomes)                                           \
	"  - {id: " id ", title: T, ask: A?, power: isolated, minutes: 1, " \
	"unit: " unit ", outcomes: [" outcomes "]}\n"
/* Three bands with two ends; the middle one is expected. */
#define BANDS(one, other)                                                 \
	"{id: a, title: A, below: \"" one "\"}, {id: b, title: B, from: " \
	"\"" one "\", below: \"" other "\", expected: yes, enters: "      \
	"isolated}, {id: c, title: C, from: \"" other "\"}"

START_TEST(values_arrive_in_the_structs)
{
	struct packs packs;
	const struct lw_value *values;
	const struct lw_outcome *outcomes;

	packs_start(&packs);
	packs_file(&packs, PACKS "/good-values.yaml");
	packs_read(&packs, NULL);
	packs_sound(&packs);
	ck_assert_uint_eq(packs.packs[0]->value_count, 7);
	values = packs.packs[0]->values;
	ck_assert_str_eq(values[0].id, "cart.cells");
	ck_assert_str_eq(values[0].title, "Cells in series");
	ck_assert_str_eq(values[0].part, "Pack");
	ck_assert_str_eq(values[0].help, "Every voltage goes by it.");
	ck_assert_str_eq(values[0].where, "The label on the pack.");
	ck_assert_int_eq(values[0].kind, LW_VALUE_QUANTITY);
	ck_assert_str_eq(values[0].unit, "number");
	ck_assert(values[0].low == 6 && values[0].high == 60);
	ck_assert_str_eq(values[0].source, "invented");
	ck_assert_uint_eq(values[0].at.line, 6);
	ck_assert_ptr_null(values[0].choices);
	ck_assert_int_eq(values[1].kind, LW_VALUE_CHOICE);
	ck_assert_str_eq(values[1].choices[1], "light-2");
	ck_assert_ptr_null(values[1].choices[2]);
	ck_assert_str_eq(values[1].choice_titles[0], "heavy ones");
	ck_assert_ptr_null(values[1].choice_titles[2]);
	ck_assert_str_eq(values[1].usual, "heavy");
	ck_assert_ptr_null(values[1].unit);
	ck_assert_str_eq(values[2].worked,
	    "cart.cells * if(cart.kind = heavy, 2.45 V, 3.65 V)");
	ck_assert_str_eq(values[3].tolerance, "2 %");
	/* In the value's unit, whatever they are written in. */
	ck_assert_str_eq(values[4].unit, "kohm");
	ck_assert_double_eq_tol(values[4].low, 0.004, 1e-15);
	ck_assert_double_eq_tol(values[4].high, 4, 1e-12);
	ck_assert(values[5].low == -20 && values[5].high == 60);
	ck_assert_int_eq(values[6].kind, LW_VALUE_ACCURACY);
	outcomes = packs.packs[0]->checks[0].outcomes;
	ck_assert(outcomes[0].has_from && !outcomes[0].has_below);
	ck_assert_str_eq(outcomes[0].from_says, "cart.full");
	ck_assert_ptr_null(outcomes[0].below_says);
	ck_assert_ptr_null(outcomes[2].from_says);
	ck_assert(outcomes[2].has_from && outcomes[2].from == 1);
	ck_assert_str_eq(outcomes[2].below_says, "cart.empty");
	ck_assert_str_eq(packs.packs[0]->checks[1].outcomes[2].from_says,
	    "1.2 * high(coil) * (1 + (warm - 20 degC) * 0.00393 / 1 K)");
	packs_end(&packs);
}
END_TEST

/* The form, letter by letter; written by hand after kb/README.md. */
START_TEST(form_is_canonical)
{
	static const char written[] =
	    "values:\n"
	    "  - {source: S, worked: t.cells * 2 V, usual: 3000 mV, "
	    "tolerance: 5 %, to: 4 V, from: 1500 mV, unit: V, where: W., "
	    "help: H., kind: quantity, part: P, title: T, id: t.volts}\n"
	    "  - {choices: [{title: One, id: one}, {id: two, title: Two}], "
	    "usual: two, where: W., help: H., kind: choice, part: P, title: "
	    "T, id: t.kind}\n" QUANTITY("t.cells", "number", "1", "1.50",
		"") "pack: form\ntitle: Form\n"
		    "checks:\n" CHECK(
			"c", "V", BANDS("(t.volts - 1 V)", "t.volts"));
	static const char canonical[] = "pack: form\n"
					"title: Form\n"
					"\n"
					"checks:\n"
					"  - id: c\n"
					"    title: T\n"
					"    ask: A?\n"
					"    power: isolated\n"
					"    minutes: 1\n"
					"    unit: V\n"
					"    outcomes:\n"
					"      - id: a\n"
					"        title: A\n"
					"        below: \"(t.volts - 1 V)\"\n"
					"      - id: b\n"
					"        title: B\n"
					"        from: \"(t.volts - 1 V)\"\n"
					"        below: t.volts\n"
					"        expected: yes\n"
					"        enters: isolated\n"
					"      - id: c\n"
					"        title: C\n"
					"        from: t.volts\n"
					"\n"
					"values:\n"
					"  - id: t.volts\n"
					"    title: T\n"
					"    part: P\n"
					"    kind: quantity\n"
					"    help: H.\n"
					"    where: W.\n"
					"    unit: V\n"
					"    from: 1.5 V\n"
					"    to: 4 V\n"
					"    tolerance: 5 %\n"
					"    usual: 3000 mV\n"
					"    worked: t.cells * 2 V\n"
					"    source: S\n"
					"  - id: t.kind\n"
					"    title: T\n"
					"    part: P\n"
					"    kind: choice\n"
					"    help: H.\n"
					"    where: W.\n"
					"    usual: two\n"
					"    choices:\n"
					"      - id: one\n"
					"        title: One\n"
					"      - id: two\n"
					"        title: Two\n"
					"  - id: t.cells\n"
					"    title: T\n"
					"    part: P\n"
					"    kind: quantity\n"
					"    help: H.\n"
					"    where: W.\n"
					"    unit: number\n"
					"    from: 1\n"
					"    to: 1.5\n";
	struct packs packs;
	const char *text;
	size_t length;

	packs_start(&packs);
	packs_text(&packs, "form", written);
	packs_read(&packs, NULL);
	packs_sound(&packs);
	ck_assert_int_eq(lw_pack_write(packs.arena, packs.packs[0], &text,
			     &length, &packs.err),
	    LW_OK);
	ck_assert_str_eq(text, canonical);
	packs_end(&packs);
}
END_TEST

/* The sentence of the only problem; the arena of `packs` has it. */
static const char *
only_sentence(struct packs *packs, const char *text, const char *expected)
{
	packs_start(packs);
	packs_text(packs, "text", text);
	packs_read(packs, NULL);
	packs_problems(packs, expected);
	ck_assert_uint_eq(packs->problems.count, 1);
	return packs->problems.items[0].text;
}

/* Worked out by hand: 6 * 4 V = 24 V is not below 20 V. The choice at which
 * it is wrong is found, and the rig is named. */
START_TEST(rigs_are_named)
{
	static const char text[] = "pack: p\ntitle: P\nvalues:\n" QUANTITY(
	    "t.cells", "number", "6", "60", "") KIND "checks:\n" CHECK("c", "V",
	    BANDS("t.cells * if(t.kind = lfp, 4 V, 1 V)",
		"max(20 V, t.cells * 3 V)"));
	struct packs packs;

	ck_assert_str_eq(only_sentence(&packs, text, "band-grid 7 171\n"),
	    "with t.cells 6 and t.kind lfp the band is from 24 V to below "
	    "20 V: no reading is in it");
	packs_end(&packs);
}
END_TEST

/* More rigs than are tried: those that are drawn are the same every time, and
 * the corners are among them. */
START_TEST(rigs_are_drawn_alike)
{
	static const char text[] = "pack: p\ntitle: P\nvalues:\n" QUANTITY(
	    "t.a", "V", "1 V", "2 V", "") QUANTITY("t.b", "V", "1 V", "2 V", "")
	    QUANTITY("t.c", "V", "1 V", "2 V", "")
		QUANTITY("t.d", "V", "1 V", "2 V", "")
		    QUANTITY("t.e", "V", "1 V", "2 V", "") QUANTITY("t.f", "V",
			"1 V", "2 V", "") "checks:\n" CHECK("c", "V",
			BANDS("t.a + t.b + t.c + t.d + t.e + t.f",
			    "2.2 * (t.a + t.c) + t.e + t.f"));
	struct packs one, other;
	const char *sentence = only_sentence(&one, text, "band-grid 11 168\n");

	ck_assert_str_eq(
	    sentence, only_sentence(&other, text, "band-grid 11 168\n"));
	packs_end(&one);
	packs_end(&other);
}
END_TEST

/* What can be worked out from what is looked at has to be plausible, too:
 * sixty cells of 3.65 V are no pack, so that what they come to is not told. */
START_TEST(rigs_are_plausible)
{
	static const char head[] = "pack: p\ntitle: P\nvalues:\n";
	static const char cells[] =
	    QUANTITY("t.cells", "number", "6", "60", "");
	static const char full[] = QUANTITY(
	    "t.full", "V", "20 V", "150 V", ", worked: t.cells * 3.65 V");
	static const char checks[] = "checks:\n" CHECK(
	    "c", "V", BANDS("t.cells * 2 V", "t.cells * 3.65 V"));
	char text[2000];

	snprintf(text, sizeof text, "%s%s%s", head, cells, checks);
	packs_check(text, "band-grid 6 148\n");
	snprintf(text, sizeof text, "%s%s%s%s", head, cells, full, checks);
	packs_check(text, "");
}
END_TEST

/* What no meter reads, in the unit of the check. */
START_TEST(what_no_meter_reads)
{
	static const struct {
		const char *unit, *below, *above;
		bool sound;
	} cases[] = {
	    {"V", "t.n * 1 V", "t.n * 2 V", true},
	    {"V", "t.n * 1 V", "t.n * 20.1 V", false},
	    {"mV", "t.n * 1 mV", "t.n * 20.1 V", false},
	    {"A", "t.n * 1 A", "t.n * 200 A", true},
	    {"A", "t.n * 1 A", "t.n * 201 A", false},
	    {"ohm", "(t.n - 1) * 1 ohm", "t.n * 1 kohm", true},
	    {"kohm", "(t.n - 1.01) * 1 ohm", "t.n * 1 kohm", false},
	    {"degC", "20 degC + t.n * 1 K", "20 degC + t.n * 57 K", true},
	    {"degC", "20 degC + t.n * 1 K", "20 degC + t.n * 59 K", false},
	    {"Hz", "t.n * 1 Hz", "t.n * 100001 Hz", false},
	    {"rpm", "t.n * 1 rpm", "t.n * 2999 rpm", true},
	    {"rpm", "t.n * 1 rpm", "t.n * 3001 rpm", false},
	    {"s", "t.n * 1 s", "t.n * 71 h", true},
	    {"s", "t.n * 1 s", "t.n * 73 h", false},
	    {"\"%\"", "t.n * 1 %", "t.n * 1000", true},
	};
	struct packs packs;
	char text[2000];
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		snprintf(text, sizeof text,
		    "pack: p\ntitle: P\nvalues:\n" QUANTITY("t.n", "number",
			"1", "10",
			"") "checks:\n" CHECK("c", "%s", BANDS("%s", "%s")),
		    cases[i].unit, cases[i].below, cases[i].below,
		    cases[i].above, cases[i].above);
		packs_start(&packs);
		packs_text(&packs, "text", text);
		packs_read(&packs, NULL);
		ck_assert_msg((packs.problems.count == 0) == cases[i].sound,
		    "%s %s: %s", cases[i].unit, cases[i].above,
		    packs.problems.count == 0 ? "nothing told"
					      : packs.problems.items[0].text);
		if (!cases[i].sound)
			ck_assert_str_eq(
			    packs.problems.items[0].rule, "band-grid");
		packs_end(&packs);
	}
}
END_TEST

/* Where an expression's problem is told, by how its text is written. */
START_TEST(columns_are_of_the_file)
{
	static const struct {
		const char *scalar;
		unsigned line, column;
	} cases[] = {
	    {"t.n * 2 V + nothing * 1 V", 12, 28},
	    {"\"t.n * 2 V + nothing * 1 V\"", 12, 29},
	    {"'t.n * 2 V + nothing * 1 V'", 12, 29},
	    {"   t.n * 2 V + nothing * 1 V", 12, 31},
	    {"t.n * 2 V +\n          nothing * 1 V", 12, 16},
	    {"|-\n          t.n * 2 V + nothing * 1 V", 12, 16},
	    /* One that has escapes is told where it begins. */
	    {"\"t.n * 2\\x20V + nothing * 1 V\"", 12, 16},
	    {"\"1 V * \xC3\xA9\"", 12, 23},
	};
	char text[2000], expected[80];
	size_t i;

	for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		snprintf(text, sizeof text,
		    "pack: p\ntitle: P\nvalues:\n" QUANTITY("t.n", "number",
			"1", "10",
			"") "checks:\n"
			    "  - id: c\n    title: C\n    ask: A?\n"
			    "    power: isolated\n    minutes: 1\n"
			    "    outcomes:\n      - below: %s\n"
			    "        id: a\n        title: A\n"
			    "      - {id: b, title: B, from: 3 V, expected: "
			    "yes, enters: isolated}\n    unit: V\n",
		    cases[i].scalar);
		snprintf(expected, sizeof expected, "bad-expression %u %u\n",
		    cases[i].line, cases[i].column);
		packs_check(text, expected);
	}
}
END_TEST

/* What stands in another file, or in one that cannot be read. */
START_TEST(names_come_from_all_files)
{
	static const char check[] = "pack: a\ntitle: A\nchecks:\n" CHECK(
	    "c", "V", BANDS("t.n * 2 V", "t.n * 3 V"));
	static const char value[] = "pack: b\ntitle: B\nvalues:\n" QUANTITY(
	    "t.n", "number", "1", "10", "");
	struct packs packs;

	packs_start(&packs);
	packs_text(&packs, "a", check);
	packs_text(&packs, "b", value);
	packs_read(&packs, NULL);
	packs_sound(&packs);
	packs_end(&packs);
	packs_check(check, "bad-expression 4 107\nbad-expression 4 165\n");
	packs_start(&packs);
	packs_text(&packs, "a", check);
	packs_text(&packs, "b", "pack: b\ntitle: \"B\n");
	packs_read(&packs, NULL);
	packs_problems(&packs, "b syntax 3 1\n");
	packs_end(&packs);
	/* It is there, though not whole. */
	packs_start(&packs);
	packs_text(&packs, "a", check);
	packs_text(&packs, "b",
	    "pack: b\ntitle: B\nvalues:\n  - {id: t.n, title: T}\n");
	packs_read(&packs, NULL);
	packs_problems(&packs,
	    "b missing 4 5\nb missing 4 5\nb missing 4 5\nb missing 4 5\n");
	packs_end(&packs);
}
END_TEST

/* Those of the book's other packs are known; those of a pack that is being
 * replaced are not. */
START_TEST(names_come_from_the_book)
{
	static const char value[] = "pack: b\ntitle: B\nvalues:\n" QUANTITY(
	    "t.n", "number", "1", "10", "");
	static const char check[] =
	    "checks:\n" CHECK("c", "V", BANDS("t.n * 2 V", "t.n * 3 V"));
	struct scratch scratch;
	struct packs packs;
	char text[2000];

	scratch_make(&scratch);
	scratch_open(&scratch);
	packs_start(&packs);
	packs_text(&packs, "b", value);
	packs_read(&packs, scratch.book);
	packs_sound(&packs);
	ck_assert_int_eq(
	    lw_book_put_pack(scratch.book, packs.packs[0], 1, NULL), LW_OK);
	packs_end(&packs);
	snprintf(text, sizeof text, "pack: a\ntitle: A\n%s", check);
	packs_start(&packs);
	packs_text(&packs, "a", text);
	packs_read(&packs, scratch.book);
	packs_sound(&packs);
	packs_end(&packs);
	snprintf(text, sizeof text, "pack: b\ntitle: B\n%s", check);
	packs_start(&packs);
	packs_text(&packs, "b", text);
	packs_read(&packs, scratch.book);
	packs_problems(&packs, "bad-expression 4 107\nbad-expression 4 165\n");
	packs_end(&packs);
	packs_start(&packs);
	packs_text(&packs, "c",
	    "pack: c\ntitle: C\nvalues:\n" QUANTITY(
		"t.n", "number", "1", "10", ""));
	packs_read(&packs, scratch.book);
	packs_problems(&packs, "duplicate-id 4 10\n");
	packs_end(&packs);
	scratch_remove(&scratch);
}
END_TEST

/* The page lists every function that expressions may use, and no other. */
START_TEST(functions_are_listed)
{
	const struct expr_function *functions;
	struct packs packs;
	const char *page, *row;
	char line[400], parameters[200];
	size_t count, i, rows = 0;

	packs_start(&packs);
	packs_file(&packs, KB_DIR "/README.md");
	page = strstr(packs.texts[0].text, "| function | gives |\n|---|---|\n");
	ck_assert_ptr_nonnull(page);
	functions = expr_functions(&count);
	for (i = 0; i < count; i++) {
		const char *s = functions[i].parameters;
		size_t length = 0;

		/* "ohms:ohm farads:F share:" without the units */
		while (*s != '\0') {
			length += (size_t)snprintf(parameters + length,
			    sizeof parameters - length, "%s%.*s",
			    length == 0 ? "" : ", ", (int)strcspn(s, ":"), s);
			s += strcspn(s, " ");
			s += strspn(s, " ");
		}
		snprintf(line, sizeof line, "\n| `%s(%s)` | %s |\n",
		    functions[i].name, parameters, functions[i].summary);
		ck_assert_msg(
		    strstr(page, line) != NULL, "not listed:%s", line);
	}
	for (row = strstr(page, "\n| `");
	     row != NULL && row < strstr(page, "\n\n");
	     row = strstr(row + 1, "\n| `"))
		rows++;
	ck_assert_uint_eq(rows, count);
	packs_end(&packs);
}
END_TEST

/* --- bounds -----------------------------------------------------------------
 */

struct text {
	char *bytes;
	size_t length;
};

static void
text_start(struct text *text, const char *head)
{
	text->bytes = malloc(LW_PACK_MAX_BYTES + 1);
	ck_assert_ptr_nonnull(text->bytes);
	text->length = strlen(head);
	memcpy(text->bytes, head, text->length + 1);
}

/* As many of the parts as fit, at most `count`; every # in one is its number,
 * every @ the number after it. */
static void
text_add(struct text *text, size_t count, const char *part)
{
	const char *s;
	size_t i;

	for (i = 0; i < count; i++) {
		if (text->length + 4000 > LW_PACK_MAX_BYTES)
			return;
		for (s = part; *s != '\0'; s++) {
			char *end = text->bytes + text->length;

			if (*s == '#' || *s == '@')
				text->length += (size_t)snprintf(
				    end, 20, "%zu", *s == '#' ? i : i + 1);
			else
				text->bytes[text->length++] = *s;
		}
	}
	text->bytes[text->length] = '\0';
}

/* Read it, which is told to be too big once, in a sentence with these words;
 * the seconds of the processor that it takes. */
static double
time_of(const struct text *text, const char *words)
{
	struct lw_pack_text file = {"big", text->bytes, text->length};
	const struct lw_pack *pack;
	struct lw_problems problems;
	struct lw_arena *arena = lw_arena_new();
	clock_t start = clock();
	size_t i, told = 0;

	ck_assert_int_eq(
	    lw_pack_read(arena, &file, 1, NULL, &pack, &problems, NULL), LW_OK);
	for (i = 0; i < problems.count; i++)
		told += strcmp(problems.items[i].rule, "too-big") == 0 &&
			strstr(problems.items[i].text, words) != NULL;
	ck_assert_msg(
	    told == 1 && problems.count<LW_PACK_MAX_PROBLEMS,
			     "%s %zu times, and %zu problems: %s", words, told,
			     problems.count, problems.count> 0
		? problems.items[0].text
		: "");
	ck_assert_uint_lt(lw_arena_used(arena), 400000000);
	lw_arena_free(arena);
	return (double)(clock() - start) / CLOCKS_PER_SEC;
}

START_TEST(values_are_counted)
{
	struct text text;

	text_start(&text, "pack: p\ntitle: P\nvalues:\n");
	text_add(&text, 300,
	    QUANTITY("t.n#", "V", "1 V", "2 V", ", worked: t.n@ * 1"));
	ck_assert_double_lt(time_of(&text, "200 values"), 5);
	free(text.bytes);
	/* Each worked out from the next, as many as there may be. */
	text_start(&text, "pack: p\ntitle: P\nvalues:\n" QUANTITY(
			      "t.n150", "V", "1 V", "2 V", ""));
	text_add(&text, 150,
	    QUANTITY("t.n#", "V", "1 V", "2 V", ", worked: t.n@ * 1"));
	text.length += (size_t)sprintf(text.bytes + text.length,
	    "checks:\n" CHECK("c", "V", BANDS("t.n0", "t.n0 + 1 V")));
	ck_assert_double_lt(time_of(&text, "64 values"), 5);
	free(text.bytes);
}
END_TEST

/* All that a file may have, of expressions that are much work: no more rigs
 * are tried than may be. */
START_TEST(work_is_bounded)
{
	bool brief = getenv("LAMPWRIGHT_SHORT") != NULL;
	struct text text;
	double took;

	text_start(&text,
	    "pack: p\ntitle: P\nvalues:\n" QUANTITY("t.a", "V", "1 V", "2 V",
		"") QUANTITY("t.b", "V", "1 V", "2 V", "") QUANTITY("t.c", "V",
		"1 V", "2 V", "") QUANTITY("t.d", "V", "1 V", "2 V", "")
		QUANTITY("t.e", "V", "1 V", "2 V", "")
		    QUANTITY("t.f", "V", "1 V", "2 V", "") "checks:\n" CHECK(
			"gate", "V", BANDS("1 V", "2 V")));
	text_add(&text, brief ? 5000 : 7500,
	    "  - {id: c#, title: T, ask: A?, power: isolated, minutes: 1, "
	    "unit: V, outcomes: [{id: a, title: A, below: \"max(t.a, t.b, "
	    "t.c, t.d, t.e, t.f) * sqrt(t.a / t.b) + # V\"}, {id: b, "
	    "title: B, from: \"max(t.a, t.b, t.c, t.d, t.e, t.f) * sqrt(t.a "
	    "/ t.b) + # V\"}, {id: c, title: C, expected: yes}]}\n");
	took = time_of(&text, "can be tried");
	/* Where it is brief it is slow, too: under valgrind. */
	ck_assert_msg(brief || took < 20, "%f s", took);
	free(text.bytes);
}
END_TEST

Suite *
suite_pack_values(void)
{
	Suite *suite = suite_create("pack_values");
	TCase *tcase = tcase_create("values");

	tcase_set_timeout(tcase, 600);
	tcase_add_test(tcase, values_arrive_in_the_structs);
	tcase_add_test(tcase, form_is_canonical);
	tcase_add_test(tcase, rigs_are_named);
	tcase_add_test(tcase, rigs_are_drawn_alike);
	tcase_add_test(tcase, rigs_are_plausible);
	tcase_add_test(tcase, what_no_meter_reads);
	tcase_add_test(tcase, columns_are_of_the_file);
	tcase_add_test(tcase, names_come_from_all_files);
	tcase_add_test(tcase, names_come_from_the_book);
	tcase_add_test(tcase, functions_are_listed);
	tcase_add_test(tcase, values_are_counted);
	tcase_add_test(tcase, work_is_bounded);
	suite_add_tcase(suite, tcase);
	return suite;
}
