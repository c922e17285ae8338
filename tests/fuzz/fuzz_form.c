/* Input: a form as it comes over the wire, and at the same time the target
 * of a request. What is accepted is checked against what the pages rely on:
 * text, no field twice, and addresses that stay on this server. */
#include "base/utf8.h"
#include "serve/form.h"
#include "serve/guard.h"
#include "serve/url.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool good)
{
	if (!good)
		abort();
}

static void
check_text(const char *text)
{
	size_t length = strlen(text), i;

	require(utf8_valid(text, length) == length);
	for (i = 0; i < length; i++)
		require((unsigned char)text[i] >= 0x20 || text[i] == '\n' ||
			text[i] == '\t');
}

/* Written out again and read again it is the same form. */
static void
check_round(const struct form *form)
{
	struct form again;
	struct buf out;
	size_t i;

	buf_init(&out, FORM_BYTES_MAX);
	for (i = 0; i < form->count; i++) {
		buf_add_char(&out, '&');
		url_add_segment(&out, form->fields[i].name);
		buf_add_char(&out, '=');
		url_add_segment(&out, form->fields[i].value);
	}
	/* Escaping can make a long form longer than is taken. */
	if (out.status == LW_OK) {
		require(form_read(&again, buf_text(&out), out.length, NULL) ==
			LW_OK);
		require(again.count == form->count);
		for (i = 0; i < form->count; i++) {
			require(strcmp(again.fields[i].name + 1,
				    form->fields[i].name) == 0);
			require(strcmp(again.fields[i].value + 1,
				    form->fields[i].value) == 0);
		}
		form_clear(&again);
	}
	buf_clear(&out);
}

static void
check_form(const char *text, size_t size)
{
	struct lw_err err = {.code = LW_OK};
	struct form form;
	size_t i;

	if (form_read(&form, text, size, &err) != LW_OK) {
		require(err.code == LW_BAD_INPUT || err.code == LW_TOO_BIG);
		require(err.text[0] != '\0' && form.count == 0);
		return;
	}
	for (i = 0; i < form.count; i++) {
		check_text(form.fields[i].name);
		check_text(form.fields[i].value);
		require(form_get_or_null(&form, form.fields[i].name) ==
			    form.fields[i].value ||
			form.fields[i].value[0] == '\0');
		form_get_at(&form, form.fields[i].value, (unsigned)i);
		guard_type_is_form(form.fields[i].value);
	}
	check_round(&form);
	form_clear(&form);
}

static void
check_target(const char *target)
{
	struct url_path path;
	struct buf out;
	size_t i;

	if (url_path_read(&path, target, NULL) == LW_OK) {
		require(path.count <= URL_SEGMENTS_MAX);
		for (i = 0; i < path.count; i++) {
			check_text(path.segments[i]);
			require(strpbrk(path.segments[i], "/\\") == NULL);
		}
	}
	buf_init(&out, 2 * strlen(target) + 2);
	url_add_without(&out, target, "said");
	require(out.status == LW_OK);
	if (url_is_local(target)) {
		require(target[0] == '/' && target[1] != '/');
		require(url_is_local(buf_text(&out)));
	}
	buf_clear(&out);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	char *text = malloc(size + 1);

	if (text == NULL)
		return 0;
	if (size > 0)
		memcpy(text, data, size);
	text[size] = '\0';
	check_form(text, size);
	check_target(text);
	free(text);
	return 0;
}
