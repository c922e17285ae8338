/* Which page answers which address. */
#ifndef SERVE_ROUTE_H
#define SERVE_ROUTE_H

#include "serve/request.h"

#include <stdbool.h>
#include <stddef.h>

struct route;

/* The route for a path and a method. NULL when there is none: `allow` is
 * then the methods that the path does take, or NULL when it takes none. */
const struct route *route_find(
    const struct url_path *path, enum method method, const char **allow);

/* Whether a path is for screens that are not paired, too; one that is not
 * known is not. */
bool route_is_open(const struct url_path *path);
/* Whether it is that of a style, script or picture. */
bool route_is_asset(const struct url_path *path);

/* The most bytes of a form that it takes. */
size_t route_most(const struct route *route);

void route_answer(const struct route *route, const struct request *request,
    struct reply *reply);

#endif
