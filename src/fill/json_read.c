/* Reads a document from JSON, as one process hands it to another. What it has
 * to say is left to whoever shows it. */
#include "fill/doc.h"
#include "fill/fill.h"

#include "base/err.h"

enum lw_status
fill_doc_read(
    struct lw_doc **doc, const char *text, size_t length, struct lw_err *err)
{
	json_error_t why;
	json_t *root;

	*doc = NULL;
	root = json_loadb(text, length, JSON_REJECT_DUPLICATES, &why);
	if (root == NULL && json_error_code(&why) == json_error_out_of_memory)
		return err_no_memory(err);
	if (root == NULL)
		return err_set_at(err, LW_BAD_INPUT, (unsigned)why.line,
		    (unsigned)why.column, "this is no JSON: %.150s", why.text);
	if (!json_is_object(root)) {
		json_decref(root);
		return err_set(err, LW_BAD_INPUT,
		    "a document is a JSON object, with { to begin with");
	}
	*doc = doc_new(root);
	return *doc == NULL ? err_no_memory(err) : LW_OK;
}
