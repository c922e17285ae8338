/* Looks an asset up by its exact name; the tables are made by embed.c. */
#include "base/asset.h"

#include <string.h>

const struct asset *
asset_find(const struct asset *table, const char *name)
{
	if (table == NULL || name == NULL)
		return NULL;
	for (; table->name != NULL; table++) {
		if (strcmp(table->name, name) == 0)
			return table;
	}
	return NULL;
}
