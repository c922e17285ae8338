/* Who is paired, sending screens away, and how to add a phone. The list is
 * left to the view, letting in to page_pair.c. */
#include "serve/pages.h"

#include "base/err.h"
#include "base/num.h"
#include "serve/qr.h"

#include <lampwright/view.h>

#include <microhttpd.h>
#include <stdio.h>
#include <string.h>

#define PATH_BYTES_MAX (64u * 1024)

static bool
is_loopback(const char *host)
{
	static const char *const names[] = {"127.0.0.1", "localhost", "[::1]"};
	size_t i;

	for (i = 0; i < sizeof names / sizeof names[0]; i++) {
		size_t length = strlen(names[i]);

		if (strncmp(host, names[i], length) == 0 &&
		    (host[length] == ':' || host[length] == '\0'))
			return true;
	}
	return false;
}

/* Where a phone finds this server: as the screen that asks did, where that
 * was over the network, because that way is known to work. */
static bool
find_address(const struct request *request, char address[LAN_URL_SIZE])
{
	struct lan *lan = &request->server->lan;

	if (!lan->open)
		return false;
	lan_look(lan, request->now_s);
	if (!is_loopback(request->host) && !lan->by_name) {
		snprintf(address, LAN_URL_SIZE, "http%s://%s/",
		    lan->tls ? "s" : "", request->host);
		return true;
	}
	return (lan->address_count > 0 || lan->by_name) &&
	       lan_url(address, lan, 0);
}

static void
put_way_in(const struct request *request, struct reply *reply)
{
	char address[LAN_URL_SIZE];
	struct lw_err err = {.code = LW_OK};
	struct buf path;
	unsigned side;

	reply_bool(reply, "open", request->server->lan.open);
	if (!find_address(request, address))
		return;
	reply_text(reply, "address", address);
	buf_init(&path, PATH_BYTES_MAX);
	/* Without the picture there is still the address to type. */
	if (qr_add_path(&path, &side, address, &err) == LW_OK) {
		reply_text(reply, "qr", buf_text(&path));
		reply_int(reply, "qr_side", side);
	}
	buf_clear(&path);
}

void
page_screens(const struct request *request, struct reply *reply)
{
	struct lw_doc *doc = NULL;
	struct lw_err err = {.code = LW_OK};

	if (lw_view_screens(&doc, request->book, request->now_s,
		request->screen.number, &err) != LW_OK) {
		reply_failure(reply, &err);
		return;
	}
	reply_page(reply, MHD_HTTP_OK, "screens", doc);
	put_way_in(request, reply);
}

static void
go_back(struct reply *reply, const char *said)
{
	reply_see_other(reply);
	buf_add(&reply->location, "/screens");
	url_add_query(&reply->location, "said", said);
}

void
page_screens_code(const struct request *request, struct reply *reply)
{
	const struct pairing *pairing = &request->server->pairing;
	struct lw_err err = {.code = LW_OK};
	bool fresh;

	if (!pairing->on) {
		go_back(reply, NULL);
		return;
	}
	if (pages_ready_code(request, &fresh, &err) != LW_OK) {
		reply_failure(reply, &err);
		return;
	}
	if (pairing->code[0] == '\0') {
		page_screens(request, reply);
		reply->status = MHD_HTTP_TOO_MANY_REQUESTS;
		reply_sentence(reply, "error",
		    "five wrong codes were typed, so none is taken for a "
		    "minute; ask for one then");
		return;
	}
	pages_say_code(request);
	go_back(reply, "code-said");
}

void
page_screens_others(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};
	size_t count;

	if (lw_screen_remove_all(
		&count, request->book, request->screen.number, &err) != LW_OK)
		reply_failure(reply, &err);
	else
		go_back(reply, "screens-away");
	pairing_forget(&request->server->pairing);
}

void
page_screen_remove(const struct request *request, struct reply *reply)
{
	struct lw_err err = {.code = LW_OK};
	int64_t number;

	if (!num_parse_int(&number, request->path.segments[1]))
		number = 0;
	if (lw_screen_remove(request->book, number, &err) != LW_OK) {
		reply_failure(reply, &err);
		reply_text(reply, "way", "/screens");
		reply_text(reply, "way_title", "All screens");
		return;
	}
	pairing_forget(&request->server->pairing);
	go_back(reply, "screen-away");
	if (number == request->screen.number) {
		reply_see_other(reply);
		buf_add(&reply->location, "/pair");
		reply_take_cookie(reply);
	}
}
