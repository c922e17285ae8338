/* Where the book is, and opening it. */
#ifndef CLI_PLACE_H
#define CLI_PLACE_H

#include <lampwright/book.h>

/*
 * Open the book: `path` where one is given, else the book of the XDG data
 * folder, which is made where it is missing. The shipped packs are put in
 * where they are missing. The caller closes the book and frees *opened.
 */
enum lw_status place_open(
    struct lw_book **book, char **opened, const char *path, struct lw_err *err);

#endif
