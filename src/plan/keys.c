// SPDX-License-Identifier: MIT
//
// Finding one's way in the table of keys by dotted names.
#include "plan/keys.h"

#include <string.h>

const struct sel_plan_key *sel_key_find(const char *name) {
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count; i++)
        if (strcmp(keys[i].name, name) == 0)
            return &keys[i];
    return NULL;
}

const char *sel_key_leaf(const struct sel_plan_key *key, const char *section) {
    const char *leaf = key->name;
    size_t length = strlen(section);
    if (length > 0) {
        if (strncmp(leaf, section, length) != 0 || leaf[length] != '.')
            return NULL;
        leaf += length + 1;
    }
    return strpbrk(leaf, ".[") ? NULL : leaf;
}

const struct sel_plan_key *sel_key_entry(const struct sel_plan_key *list) {
    return list + 1; // the table puts it right below; a test checks that it does
}

struct sel_place sel_plan_place(const struct sel_plan *plan, const char *key) {
    const struct sel_plan_key *row = sel_key_find(key);
    return row ? plan->places[row - sel_plan_keys(NULL)] : (struct sel_place){0, 0};
}
