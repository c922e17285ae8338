/* Writing packs: canonical YAML, that it reads back to the same pack, and
 * that every text survives, with libyaml's own reading as judge. */
#include "unit/book.h"
#include "unit/packs.h"
#include "unit/suites.h"

#include "base/utf8.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

/* Written, and read again. */
static const char *
write_and_read(struct packs *again, const struct lw_pack *pack)
{
	const char *text;
	size_t length;

	packs_start(again);
	ck_assert_msg(lw_pack_write(again->arena, pack, &text, &length,
			  &again->err) == LW_OK,
	    "%s: %s", pack->name, again->err.text);
	ck_assert_uint_eq(strlen(text), length);
	packs_text(again, pack->name, text);
	packs_read(again, NULL);
	return text;
}

/* The pack that was written says what the other says, but for its digest. */
static void
compare(const struct lw_pack *pack, const struct lw_pack *again)
{
	struct lw_pack copy;

	ck_assert_ptr_nonnull(again);
	copy = *again;
	ck_assert_ptr_nonnull(copy.digest);
	copy.digest = pack->digest;
	copy.shipped = pack->shipped;
	sample_same(pack, &copy);
}

/* Read, write, read, write: the same pack and the same bytes. */
static void
round_trip(const struct lw_pack *pack)
{
	struct packs again, third;
	const char *text, *second;

	text = write_and_read(&again, pack);
	compare(pack, again.packs[0]);
	second = write_and_read(&third, again.packs[0]);
	ck_assert_str_eq(text, second);
	packs_end(&third);
	packs_end(&again);
}

START_TEST(files_come_back)
{
	struct packs packs;
	size_t i;

	packs_start(&packs);
	packs_folder(&packs, KB_DIR, "");
	packs_read(&packs, NULL);
	packs_sound(&packs);
	for (i = 0; i < packs.count; i++)
		round_trip(packs.packs[i]);
	packs_end(&packs);
	packs_start(&packs);
	packs_folder(&packs, TESTS_DIR "/packs", "good-");
	packs_read(&packs, NULL); /* they share ids; each is read for itself */
	for (i = 0; i < packs.count; i++) {
		struct packs one;

		packs_start(&one);
		packs_file(&one, packs.texts[i].name);
		packs_read(&one, NULL);
		round_trip(one.packs[0]);
		packs_end(&one);
	}
	packs_end(&packs);
}
END_TEST

/* Put each in, and get the same back, to the byte. */
static void
through_the_book(struct scratch *scratch, struct packs *packs)
{
	const struct lw_pack *kept;
	const char *before, *after;
	size_t i, length;

	packs_read(packs, scratch->book);
	packs_sound(packs);
	for (i = 0; i < packs->count; i++) {
		ck_assert_msg(lw_book_put_pack(scratch->book, packs->packs[i],
				  1, &scratch->err) == LW_OK,
		    "%s: %s", packs->packs[i]->name, scratch->err.text);
		ck_assert_int_eq(
		    lw_book_get_pack(scratch->book, scratch->arena,
			packs->packs[i]->name, &kept, &scratch->err),
		    LW_OK);
		sample_compare(packs->packs[i], kept);
		ck_assert_int_eq(lw_pack_write(packs->arena, packs->packs[i],
				     &before, &length, NULL),
		    LW_OK);
		ck_assert_int_eq(
		    lw_pack_write(packs->arena, kept, &after, &length, NULL),
		    LW_OK);
		ck_assert_str_eq(before, after);
	}
	/* Read again with all of them in the book: nothing is taken twice. */
	packs_read(packs, scratch->book);
	packs_sound(packs);
}

START_TEST(files_come_back_through_the_book)
{
	struct scratch scratch;
	struct packs packs;

	scratch_make(&scratch);
	scratch_open(&scratch);
	packs_start(&packs);
	packs_folder(&packs, KB_DIR, "");
	packs_file(&packs, TESTS_DIR "/packs/good-texts.yaml");
	packs_file(&packs, TESTS_DIR "/packs/good-lamps.yaml");
	packs_file(&packs, TESTS_DIR "/packs/good-bands.yaml");
	packs_file(&packs, TESTS_DIR "/packs/good-values.yaml");
	through_the_book(&scratch, &packs);
	packs_end(&packs);
	scratch_remove(&scratch);

	/* It has ids that the shipped ones have too. */
	scratch_make(&scratch);
	scratch_open(&scratch);
	packs_start(&packs);
	packs_file(&packs, TESTS_DIR "/packs/good-everything.yaml");
	through_the_book(&scratch, &packs);
	packs_end(&packs);
	scratch_remove(&scratch);
}
END_TEST

/* The form, letter by letter; written by hand after kb/README.md. */
START_TEST(form_is_canonical)
{
	static const char written[] =
	    "trees:\n"
	    "  - {steps: [{next: {no: {stop: 'Stop, now.'}, yes: {cause: "
	    "flat}},"
	    " check: c, id: one}], symptoms: [s], title: T, id: t}\n"
	    "title: 'A: b'\npack: \"form\"\n"
	    "symptoms: [{again: live-on-ground, causes: [{flat: rare}], title: "
	    "S, id: s, "
	    "patterns: ['a\\b']}]\n"
	    "causes: [{damages: D, tools: O, minutes: '020.50', proof: "
	    "\"p\\nq\", fix: ' f', "
	    "title: T, id: flat}]\n"
	    "checks:\n"
	    "  - outcomes:\n"
	    "      - {below: 4700 ohm, id: no, title: N}\n"
	    "      - {from: 4k7, id: yes, title: Y, expected: yes, enters: "
	    "isolated}\n"
	    "    id: c\n    title: C\n    ask: A?\n    power: isolated\n"
	    "    minutes: 1.50\n    unit: kohm\n    meter: ohms\n"
	    "    after: [w]\n    do: [{text: T.}, {text: U., only: "
	    "[dcdc=yes, motor=series]}]\n"
	    "  - {id: w, title: W, ask: A?, power: isolated, minutes: 1, "
	    "only: [contactor=yes], outcomes: [{id: a, title: A, expected: "
	    "yes}, {id: b, title: B}]}\n"
	    "devices:\n"
	    "  - {id: d, title: D, kind: k, invented: no, lamps: [{id: l, "
	    "title: L, timing: {pause: 1500 ms}}], codes: [{pattern: on, "
	    "meaning: m}]}\n"
	    "cautions: [{id: h, signal: danger, hazard: '#', avoid: A, "
	    "source: S, from-joules: 1.5 kJ, from-volts: 50000 mV, only: "
	    "[motor=series], states: [control, isolated]}]\n"
	    "faults: [{again: isolated, causes: [flat], severity: stops, "
	    "meaning: M, title: F, id: f}]\n";
	static const char canonical[] = "pack: form\n"
					"title: \"A: b\"\n"
					"\n"
					"devices:\n"
					"  - id: d\n"
					"    title: D\n"
					"    kind: k\n"
					"    lamps:\n"
					"      - id: l\n"
					"        title: L\n"
					"        timing:\n"
					"          pause: 1.5 s\n"
					"    codes:\n"
					"      - lamp: l\n"
					"        pattern: on\n"
					"        meaning: m\n"
					"\n"
					"faults:\n"
					"  - id: f\n"
					"    title: F\n"
					"    meaning: M\n"
					"    severity: stops\n"
					"    again: isolated\n"
					"    causes:\n"
					"      - flat\n"
					"\n"
					"symptoms:\n"
					"  - id: s\n"
					"    title: S\n"
					"    patterns:\n"
					"      - a\\b\n"
					"    causes:\n"
					"      - flat: rare\n"
					"    again: live-on-ground\n"
					"\n"
					"causes:\n"
					"  - id: flat\n"
					"    title: T\n"
					"    fix: \" f\"\n"
					"    minutes: 20.5\n"
					"    tools: O\n"
					"    damages: D\n"
					"    proof: |-\n"
					"      p\n"
					"      q\n"
					"\n"
					"checks:\n"
					"  - id: c\n"
					"    title: C\n"
					"    ask: A?\n"
					"    power: isolated\n"
					"    minutes: 1.5\n"
					"    meter: ohms\n"
					"    unit: kohm\n"
					"    do:\n"
					"      - T.\n"
					"      - only:\n"
					"          - dcdc=yes\n"
					"          - motor=series\n"
					"        text: U.\n"
					"    after:\n"
					"      - w\n"
					"    outcomes:\n"
					"      - id: no\n"
					"        title: N\n"
					"        below: 4.7 kohm\n"
					"      - id: yes\n"
					"        title: Y\n"
					"        from: 4.7 kohm\n"
					"        expected: yes\n"
					"        enters: isolated\n"
					"  - id: w\n"
					"    title: W\n"
					"    ask: A?\n"
					"    power: isolated\n"
					"    minutes: 1\n"
					"    only:\n"
					"      - contactor=yes\n"
					"    outcomes:\n"
					"      - id: a\n"
					"        title: A\n"
					"        expected: yes\n"
					"      - id: b\n"
					"        title: B\n"
					"\n"
					"trees:\n"
					"  - id: t\n"
					"    title: T\n"
					"    symptoms:\n"
					"      - s\n"
					"    steps:\n"
					"      - id: one\n"
					"        check: c\n"
					"        next:\n"
					"          no:\n"
					"            stop: Stop, now.\n"
					"          yes:\n"
					"            cause: flat\n"
					"\n"
					"cautions:\n"
					"  - id: h\n"
					"    signal: danger\n"
					"    hazard: \"#\"\n"
					"    avoid: A\n"
					"    states:\n"
					"      - isolated\n"
					"      - control\n"
					"    only:\n"
					"      - motor=series\n"
					"    from-volts: 50 V\n"
					"    from-joules: 1500 J\n"
					"    source: S\n";
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

/* What libyaml reads as the scalar after the key `why`. */
static char *
judge(const char *yaml, size_t length)
{
	yaml_parser_t parser;
	yaml_event_t event;
	yaml_event_type_t type;
	char *found = NULL;
	bool next = false;

	ck_assert(yaml_parser_initialize(&parser));
	yaml_parser_set_input_string(
	    &parser, (const unsigned char *)yaml, length);
	do {
		ck_assert_msg(yaml_parser_parse(&parser, &event), "%s in\n%s",
		    parser.problem, yaml);
		type = event.type;
		if (type == YAML_SCALAR_EVENT && next && found == NULL)
			found = strndup((const char *)event.data.scalar.value,
			    event.data.scalar.length);
		next =
		    type == YAML_SCALAR_EVENT &&
		    strcmp((const char *)event.data.scalar.value, "why") == 0;
		yaml_event_delete(&event);
	} while (type != YAML_STREAM_END_EVENT);
	yaml_parser_delete(&parser);
	return found;
}

static void
text_survives(const char *text)
{
	const struct lw_cause cause = {
	    .id = "c", .title = "T", .why = text, .fix = "F", .proof = "P"};
	const struct lw_pack pack = {
	    .name = "p", .title = "P", .causes = &cause, .cause_count = 1};
	struct lw_arena *arena = lw_arena_new();
	const char *yaml;
	size_t length;
	char *found;

	ck_assert_int_eq(
	    lw_pack_write(arena, &pack, &yaml, &length, NULL), LW_OK);
	found = judge(yaml, length);
	ck_assert_ptr_nonnull(found);
	ck_assert_msg(
	    strcmp(found, text) == 0, "wrote:\n%sread: %s", yaml, found);
	free(found);
	lw_arena_free(arena);
}

START_TEST(odd_texts_survive)
{
	static const char *const texts[] = {"on", "5", "yes", "no", "~", "null",
	    "true", "1.5e3", "0x10", "1:30", "<<", "=", "", " ", "a ", " a",
	    "a: b", "a:", ":a", "a #b", "#a", "a#b", "'", "\"", "'a'", "\"a\"",
	    "\\", "a\\n", "-", "- a", "-a", "--- a", "...", "?", "? a", "&a",
	    "*a", "!a", "|", ">", "%a", "@a", "`a", "{a", "[a", "a}", "a]",
	    "a, b", ",a", "a\nb", "a\n", "\na", "a\n\nb", "a\n b", " a\nb",
	    "a\n\tb", "\ta", "a\t", "a\tb", "a \nb", "a\n  ", "a\n\n", "\n",
	    "\n\n", "a\n# b", "a\n- b\n: c", "a\n---\nb", "a\n...\nb",
	    "\xC3\xA9", "\xC2\xA0", "a\xC2\xA0", "\xC2\x85",
	    "a\xC2\x85"
	    "b",
	    "\xE2\x80\xA8",
	    "a\xE2\x80\xA9"
	    "b",
	    "\xEF\xBB\xBF", "a\xEF\xBB\xBF", "\xEF\xBF\xBD", "\xEF\xBF\xBE",
	    "\xEF\xBF\xBF", "\xF0\x9F\x94\xA6", "\r", "a\rb", "a\r\nb", "\x01",
	    "\x7F", "a\x1B[0m", "\xF4\x8F\xBF\xBF"};
	char *longest = malloc(30001);
	size_t i;

	for (i = 0; i < sizeof texts / sizeof texts[0]; i++)
		text_survives(texts[i]);
	for (i = 0; i < 30000; i++)
		longest[i] = i % 7 == 6 ? ' ' : 'a';
	longest[30000] = '\0';
	text_survives(longest);
	memset(longest, '"', 30000);
	text_survives(longest);
	memset(longest, '\n', 30000);
	text_survives(longest);
	free(longest);
}
END_TEST

/* xorshift (Marsaglia 2003): the same texts on every machine. */
static uint32_t
draw(uint32_t *state, uint32_t below)
{
	*state ^= *state << 13;
	*state ^= *state >> 17;
	*state ^= *state << 5;
	return *state % below;
}

static size_t
put_point(char *to, uint32_t point)
{
	if (point < 0x80) {
		to[0] = (char)point;
		return 1;
	}
	if (point < 0x800) {
		to[0] = (char)(0xC0 | point >> 6);
		to[1] = (char)(0x80 | (point & 0x3F));
		return 2;
	}
	if (point < 0x10000) {
		to[0] = (char)(0xE0 | point >> 12);
		to[1] = (char)(0x80 | (point >> 6 & 0x3F));
		to[2] = (char)(0x80 | (point & 0x3F));
		return 3;
	}
	to[0] = (char)(0xF0 | point >> 18);
	to[1] = (char)(0x80 | (point >> 12 & 0x3F));
	to[2] = (char)(0x80 | (point >> 6 & 0x3F));
	to[3] = (char)(0x80 | (point & 0x3F));
	return 4;
}

static void
random_text(char *text, uint32_t *state)
{
	static const char odd[] = " \n\t:#-?'\"\\,[]{}&*!|>%@`ab1. \n ";
	size_t length = draw(state, 24), at = 0;
	uint32_t point;

	while (length-- > 0) {
		switch (draw(state, 8)) {
		case 0:
			point = 1 + draw(state, 0x2FF);
			break;
		case 1:
			point = 1 + draw(state, 0x10FFFF);
			break;
		case 2:
			point = 0x2020 + draw(state, 16);
			break;
		default:
			point = (unsigned char)odd[draw(state, sizeof odd - 1)];
			break;
		}
		if (point >= 0xD800 && point <= 0xDFFF)
			point = 'x';
		at += put_point(text + at, point);
	}
	text[at] = '\0';
}

START_TEST(random_texts_survive)
{
	uint32_t state = 2463534242u;
	size_t i, n = getenv("LAMPWRIGHT_SHORT") != NULL ? 500 : 30000;
	char text[100];

	for (i = 0; i < n; i++) {
		random_text(text, &state);
		ck_assert_uint_eq(utf8_valid(text, strlen(text)), strlen(text));
		text_survives(text);
	}
}
END_TEST

START_TEST(what_is_no_text_is_refused)
{
	const struct lw_cause cause = {.id = "c", .title = "a\xFF"};
	const struct lw_pack pack = {
	    .name = "p", .causes = &cause, .cause_count = 1};
	struct lw_arena *arena = lw_arena_new();
	struct lw_err err;
	struct lw_pack big = {.name = "p"};
	const char *text;
	size_t length;
	char *source;

	ck_assert_int_eq(
	    lw_pack_write(arena, &pack, &text, &length, &err), LW_CORRUPT);
	ck_assert_ptr_null(text);
	source = malloc(LW_PACK_MAX_BYTES + 1);
	memset(source, 'a', LW_PACK_MAX_BYTES);
	source[LW_PACK_MAX_BYTES] = '\0';
	big.source = source;
	ck_assert_int_eq(
	    lw_pack_write(arena, &big, &text, &length, &err), LW_TOO_BIG);
	free(source);
	lw_arena_free(arena);
}
END_TEST

Suite *
suite_pack_write(void)
{
	Suite *suite = suite_create("pack_write");
	TCase *tcase = tcase_create("pack_write");

	tcase_set_timeout(tcase, 300);
	tcase_add_test(tcase, files_come_back);
	tcase_add_test(tcase, files_come_back_through_the_book);
	tcase_add_test(tcase, form_is_canonical);
	tcase_add_test(tcase, odd_texts_survive);
	tcase_add_test(tcase, random_texts_survive);
	tcase_add_test(tcase, what_is_no_text_is_refused);
	suite_add_tcase(suite, tcase);
	return suite;
}
