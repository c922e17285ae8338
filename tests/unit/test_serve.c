/* What the web server reads before any page sees it: forms, addresses and
 * the headers that say whose request it is. The answers of a running server
 * are left to tests/web. */
#include "serve/form.h"
#include "serve/guard.h"
#include "serve/lan.h"
#include "serve/url.h"
#include "unit/suites.h"
#include "unit/table.h"

#include "base/buf.h"

#include <stdlib.h>
#include <string.h>

START_TEST(forms_as_in_the_table)
{
	struct table table;
	unsigned rows = 0;

	table_open(&table, "forms.tsv");
	while (table_next(&table)) {
		struct lw_err err = {.code = LW_OK};
		struct form form;
		struct buf got;
		size_t i;

		buf_init(&got, 4096);
		if (form_read(&form, table.field[0], strlen(table.field[0]),
			&err) != LW_OK) {
			ck_assert_int_eq(err.code, LW_BAD_INPUT);
			ck_assert_uint_eq(form.count, 0);
			buf_add(&got, "bad");
		}
		for (i = 0; i < form.count; i++)
			buf_printf(&got, "%s%s=%s", i == 0 ? "" : "|",
			    form.fields[i].name, form.fields[i].value);
		ck_assert_msg(strcmp(buf_text(&got), table.field[1]) == 0,
		    "forms.tsv:%u: '%s' and not '%s'", table.row,
		    buf_text(&got), table.field[1]);
		buf_clear(&got);
		form_clear(&form);
		rows++;
	}
	table_close(&table);
	ck_assert_uint_ge(rows, 40);
}
END_TEST

START_TEST(forms_have_caps)
{
	struct lw_err err;
	struct form form;
	char *text = malloc(FORM_BYTES_MAX + 2);
	size_t i;

	ck_assert_ptr_nonnull(text);
	memset(text, 'a', FORM_BYTES_MAX + 1);
	ck_assert_int_eq(form_read(&form, text, FORM_BYTES_MAX, &err), LW_OK);
	ck_assert_uint_eq(form.count, 1);
	form_clear(&form);
	ck_assert_int_eq(
	    form_read(&form, text, FORM_BYTES_MAX + 1, &err), LW_TOO_BIG);
	/* One field more than allowed; empty ones count while reading. */
	memset(text, '&', FORM_FIELDS_MAX);
	ck_assert_int_eq(
	    form_read(&form, text, FORM_FIELDS_MAX - 1, &err), LW_OK);
	ck_assert_uint_eq(form.count, 0);
	form_clear(&form);
	ck_assert_int_eq(
	    form_read(&form, text, FORM_FIELDS_MAX, &err), LW_TOO_BIG);
	/* A NUL that was not even escaped. */
	for (i = 0; i < 3; i++) {
		memcpy(text, "a=b", 3);
		text[i] = '\0';
		ck_assert_int_eq(form_read(&form, text, 3, &err), LW_BAD_INPUT);
	}
	free(text);
}
END_TEST

START_TEST(fields_are_found_by_name)
{
	struct form form;

	ck_assert_int_eq(
	    form_read(&form, "a=1&b=&c.7=x&c.70=y", 19, NULL), LW_OK);
	ck_assert_str_eq(form_get(&form, "a"), "1");
	ck_assert_str_eq(form_get(&form, "b"), "");
	ck_assert_str_eq(form_get(&form, "z"), "");
	ck_assert_ptr_null(form_get_or_null(&form, "b"));
	ck_assert_ptr_null(form_get_or_null(&form, "z"));
	ck_assert_str_eq(form_get_at(&form, "c", 7), "x");
	ck_assert_str_eq(form_get_at(&form, "c", 70), "y");
	ck_assert_str_eq(form_get_at(&form, "c", 8), "");
	form_clear(&form);
	ck_assert_str_eq(form_get(&form, "a"), "");
}
END_TEST

START_TEST(paths_as_in_the_table)
{
	struct table table;
	unsigned rows = 0;

	table_open(&table, "urls.tsv");
	while (table_next(&table)) {
		struct lw_err err = {.code = LW_OK};
		struct url_path path;
		struct buf got;
		size_t i;

		buf_init(&got, 4096);
		if (url_path_read(&path, table.field[0], &err) != LW_OK) {
			buf_add(&got, err.code == LW_TOO_BIG ? "big" : "bad");
			path.count = 0;
		}
		for (i = 0; i < path.count; i++)
			buf_printf(
			    &got, "%s%s", i == 0 ? "" : "|", path.segments[i]);
		ck_assert_msg(strcmp(buf_text(&got), table.field[1]) == 0,
		    "urls.tsv:%u: '%s' and not '%s'", table.row, buf_text(&got),
		    table.field[1]);
		buf_clear(&got);
		rows++;
	}
	table_close(&table);
	ck_assert_uint_ge(rows, 30);
}
END_TEST

START_TEST(long_paths_are_refused)
{
	char target[2 * URL_PATH_MAX];
	struct url_path path;

	memset(target, 'a', sizeof target);
	target[0] = '/';
	target[URL_PATH_MAX - 1] = '\0';
	ck_assert_int_eq(url_path_read(&path, target, NULL), LW_OK);
	ck_assert_uint_eq(strlen(path.segments[0]), URL_PATH_MAX - 2);
	target[URL_PATH_MAX - 1] = 'a';
	target[URL_PATH_MAX] = '\0';
	ck_assert_int_eq(url_path_read(&path, target, NULL), LW_TOO_BIG);
}
END_TEST

START_TEST(addresses_are_escaped_for_their_place)
{
	struct buf url;

	buf_init(&url, 1000);
	buf_add(&url, "/devices");
	url_add_segment(&url, "a/b c?\xc3\xa9");
	url_add_query(&url, "pattern", "1Hz/50% red:3&x=\"'");
	url_add_query(&url, "lamp", NULL);
	url_add_query(&url, "lamp", "");
	url_add_query(&url, "q", "3+7");
	ck_assert_str_eq(buf_text(&url),
	    "/devices/a%2Fb%20c%3F%C3%A9"
	    "?pattern=1Hz%2F50%25%20red%3A3%26x%3D%22%27&q=3%2B7");
	buf_clear(&url);
}
END_TEST

START_TEST(a_field_is_left_out)
{
	static const char *const all[][2] = {
	    {"/a", "/a"},
	    {"/a?said=note", "/a"},
	    {"/a?said=note&b=1", "/a?b=1"},
	    {"/a?b=1&said=note", "/a?b=1"},
	    {"/a?b=1&said=x&c=2&said=y", "/a?b=1&c=2"},
	    {"/a?saida=1", "/a?saida=1"},
	    {"/a?&&b=1", "/a?b=1"},
	};
	size_t i;

	for (i = 0; i < sizeof all / sizeof all[0]; i++) {
		struct buf url;

		buf_init(&url, 1000);
		url_add_without(&url, all[i][0], "said");
		ck_assert_str_eq(buf_text(&url), all[i][1]);
		buf_clear(&url);
	}
}
END_TEST

START_TEST(only_local_addresses_are_gone_back_to)
{
	static const char *const good[] = {"/", "/jobs/3", "/?device=a-b",
	    "/read?pattern=1Hz%2F50%25&device=x", "/find?q=a+b"};
	static const char *const bad[] = {"", "jobs", "//evil.example",
	    "/\\evil.example", "/a//evil", "http://evil.example/",
	    "javascript:alert(1)", "/\t/evil", "/a\r\nSet-Cookie: x", "/a b",
	    "/a#b", "/\"><script>", "/caf\xc3\xa9", "/a@b", "/a:b"};
	size_t i;

	for (i = 0; i < sizeof good / sizeof good[0]; i++)
		ck_assert_msg(url_is_local(good[i]), "%s", good[i]);
	for (i = 0; i < sizeof bad / sizeof bad[0]; i++)
		ck_assert_msg(!url_is_local(bad[i]), "%s", bad[i]);
}
END_TEST

START_TEST(hosts_are_exact)
{
	static const char *const bad[] = {"", "127.0.0.1", "localhost",
	    "127.0.0.1:80170", "127.0.0.1:801", "127.0.0.1:8018",
	    "127.0.0.1.evil.example:8017", "evil.example:8017", "evil.example",
	    "localhost.:8017", "LOCALHOST:8017", "xlocalhost:8017",
	    " localhost:8017", "localhost:8017 ", "localhost:8017,evil.example",
	    "user@localhost:8017", "::1:8017", "[::1]", "0.0.0.0:8017",
	    "127.0.0.2:8017", "127.1:8017", "2130706433:8017",
	    "localhost:08017", "localhost:+8017"};
	struct lan lan, http;
	size_t i;

	ck_assert_int_eq(lan_init(&lan, false, false, 8017, NULL), LW_OK);
	ck_assert_int_eq(lan_init(&http, false, false, 80, NULL), LW_OK);
	ck_assert(lan_host_is_ours(&lan, "127.0.0.1:8017", 0));
	ck_assert(lan_host_is_ours(&lan, "localhost:8017", 0));
	ck_assert(lan_host_is_ours(&lan, "[::1]:8017", 0));
	for (i = 0; i < sizeof bad / sizeof bad[0]; i++)
		ck_assert_msg(!lan_host_is_ours(&lan, bad[i], 0), "%s", bad[i]);
	/* RFC 9110, 4.2.1: 80 is the port of http when none is given. */
	ck_assert(lan_host_is_ours(&http, "localhost", 0));
	ck_assert(lan_host_is_ours(&http, "localhost:80", 0));
	ck_assert(!lan_host_is_ours(&http, "evil.example", 0));
}
END_TEST

START_TEST(origins_are_exact)
{
	static const char *const bad[] = {"", "null", "http://",
	    "http://127.0.0.1", "https://127.0.0.1:8017",
	    "http://127.0.0.1:8017/", "http://127.0.0.1:80171",
	    "http://localhost:8017", "http://evil.example",
	    "HTTP://127.0.0.1:8017", "127.0.0.1:8017",
	    "http://127.0.0.1:8017 http://evil.example"};
	struct lan lan;
	size_t i;

	ck_assert_int_eq(lan_init(&lan, false, false, 8017, NULL), LW_OK);
	ck_assert(lan_origin_is_ours(
	    &lan, "http://127.0.0.1:8017", "127.0.0.1:8017"));
	for (i = 0; i < sizeof bad / sizeof bad[0]; i++)
		ck_assert_msg(
		    !lan_origin_is_ours(&lan, bad[i], "127.0.0.1:8017"), "%s",
		    bad[i]);
}
END_TEST

START_TEST(types_of_forms)
{
	ck_assert(guard_type_is_form("application/x-www-form-urlencoded"));
	ck_assert(guard_type_is_form(
	    "Application/X-WWW-Form-Urlencoded; charset=UTF-8"));
	ck_assert(!guard_type_is_form(""));
	ck_assert(!guard_type_is_form("text/plain"));
	ck_assert(!guard_type_is_form("multipart/form-data; boundary=x"));
	ck_assert(!guard_type_is_form("application/x-www-form-urlencodedx"));
	ck_assert(!guard_type_is_form("application/x-www-form"));
}
END_TEST

Suite *
suite_serve(void)
{
	Suite *suite = suite_create("serve");
	TCase *forms = tcase_create("forms");
	TCase *urls = tcase_create("urls");
	TCase *guard = tcase_create("guard");

	tcase_add_test(forms, forms_as_in_the_table);
	tcase_add_test(forms, forms_have_caps);
	tcase_add_test(forms, fields_are_found_by_name);
	suite_add_tcase(suite, forms);
	tcase_add_test(urls, paths_as_in_the_table);
	tcase_add_test(urls, long_paths_are_refused);
	tcase_add_test(urls, addresses_are_escaped_for_their_place);
	tcase_add_test(urls, a_field_is_left_out);
	tcase_add_test(urls, only_local_addresses_are_gone_back_to);
	suite_add_tcase(suite, urls);
	tcase_add_test(guard, hosts_are_exact);
	tcase_add_test(guard, origins_are_exact);
	tcase_add_test(guard, types_of_forms);
	suite_add_tcase(suite, guard);
	return suite;
}
