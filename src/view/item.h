/* The parts of an item's document that stand in files of their own. */
#ifndef VIEW_ITEM_H
#define VIEW_ITEM_H

#include "view/parts.h"

/* The title of a cause, check, fault or symptom; its id where the book has
 * none. */
const char *item_title(struct view *view, const char *kind, const char *id);

/* Each puts its key (`device`, `check`, `tree`, `setting`) into the document.
 */
void item_put_device(struct view *view, const struct lw_device *device);
void item_put_check(struct view *view, const struct lw_check *check);
void item_put_tree(struct view *view, const struct lw_tree *tree);
void item_put_setting(
    struct view *view, const struct lw_known_setting *setting);
/* `settings[]`, `has_settings` and `setting_count`: those whose wrong value can
 * look like a fault or like a symptom; the other is NULL. */
void item_put_settings_like(
    struct view *view, json_t *object, const char *fault, const char *symptom);

#endif
