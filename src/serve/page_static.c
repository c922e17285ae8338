/* Style, script and pictures, found by name in a table. */
#include "serve/pages.h"

#include "base/asset.h"
#include "base/err.h"

#include <stdio.h>
#include <string.h>

static const struct {
	const char *name;
	const char *asset;
	const char *type;
} files[] = {
    {"app.css", "web/static/app.css", "text/css; charset=utf-8"},
    {"app.js", "web/static/app.js", "text/javascript; charset=utf-8"},
    {"drafts.js", "web/static/drafts.js", "text/javascript; charset=utf-8"},
    {"film.js", "web/static/film.js", "text/javascript; charset=utf-8"},
    {"film_spot.js", "web/static/film_spot.js",
	"text/javascript; charset=utf-8"},
    {"follow.js", "web/static/follow.js", "text/javascript; charset=utf-8"},
    {"lamp.svg", "web/static/lamp.svg", "image/svg+xml"},
    {"tap.js", "web/static/tap.js", "text/javascript; charset=utf-8"},
};

#define FILE_COUNT (sizeof files / sizeof files[0])

/* FNV-1a, 64 bits (Fowler, Noll, Vo): it tells versions apart, and keeps
 * nobody out. */
static uint64_t
hash_more(uint64_t hash, const unsigned char *data, size_t size)
{
	size_t i;

	for (i = 0; i < size; i++)
		hash = (hash ^ data[i]) * 0x100000001b3u;
	return hash;
}

void
page_static_hash(char hash[17])
{
	uint64_t value = 0xcbf29ce484222325u;
	size_t i;

	for (i = 0; i < FILE_COUNT; i++) {
		const struct asset *asset =
		    asset_find(program_assets, files[i].asset);

		if (asset != NULL)
			value = hash_more(value, asset->data, asset->size);
	}
	snprintf(hash, 17, "%016llx", (unsigned long long)value);
}

void
page_static(const struct request *request, struct reply *reply)
{
	const struct server *server = request->server;
	struct lw_err err = {.code = LW_OK};
	size_t i = 0;

	while (i < FILE_COUNT &&
	       strcmp(files[i].name, request->path.segments[1]) != 0)
		i++;
	if (i == FILE_COUNT) {
		reply_error(reply, 404, "there is no file of that name");
		return;
	}
	if (fill_file(&reply->owned, &server->templates, files[i].asset,
		&err) != LW_OK) {
		reply_failure(reply, &err);
		return;
	}
	reply->status = 200;
	reply->data = buf_text(&reply->owned);
	reply->size = reply->owned.length;
	reply->type = files[i].type;
	/* Files that are being edited are not to be kept. */
	if (server->web_dir == NULL)
		snprintf(reply->etag, sizeof reply->etag, "\"%016llx\"",
		    (unsigned long long)hash_more(0xcbf29ce484222325u,
			(const unsigned char *)reply->data, reply->size));
}
