/* matched_words(TABLE): an SQL function for the index, that says how many of
 * the words searched for are in the row. */
#ifndef BOOK_MATCHED_H
#define BOOK_MATCHED_H

#include <sqlite3.h>

/* Make the function known to a connection; SQLite's code comes back. */
int matched_register(sqlite3 *db);

#endif
