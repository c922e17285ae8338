/* Which page answers which address. */
#ifndef SERVE_ROUTE_H
#define SERVE_ROUTE_H

#include "serve/request.h"

struct route;

/* The route for a path and a method. NULL when there is none: `allow` is
 * then the methods that the path does take, or NULL when it takes none. */
const struct route *route_find(
    const struct url_path *path, enum method method, const char **allow);

void route_answer(const struct route *route, const struct request *request,
    struct reply *reply);

#endif
