// SPDX-License-Identifier: MIT
//
// Lists every key of a plan as used, along the table of keys.
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "plan/keys.h"
#include "plan/show.h"

struct lister {
    sel_context *context;
    const struct sel_plan *plan;
    sel_plan_row_fn *row;
    void *user;
};

static sel_status emit(
    struct lister *lister, const char *name, struct sel_text *value, bool is_default) {
    char *chars = sel_text_take(value);
    if (!chars)
        return sel_fail_memory(lister->context);
    sel_status status = lister->row(lister->user, name, chars, is_default);
    free(chars);
    return status;
}

static sel_status emit_none(struct lister *lister, const char *name) {
    struct sel_text value;
    sel_text_init(&value);
    sel_text_add(&value, "none");
    return emit(lister, name, &value, true);
}

static bool is_absent_section(const struct sel_plan_key *key, const char *base) {
    return key->presence == SEL_KEY_OPTIONAL && *(char *const *)(base + key->offset) == NULL;
}

static bool weight_from_order(const struct lister *lister, const struct sel_plan_key *key) {
    const char *leaf = strrchr(key->name, '.');
    return leaf && strcmp(leaf, ".weight") == 0 && sel_plan_place(lister->plan, "weights").line > 0;
}

static bool stands_by_default(const struct lister *lister, const struct sel_plan_key *key) {
    return lister->plan->places[key - sel_plan_keys(NULL)].line == 0 &&
           !weight_from_order(lister, key);
}

static sel_status list_entry(
    struct lister *lister, const struct sel_plan_key *entry, size_t number, const char *base) {
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    int stem = (int)(strlen(entry->name) - strlen("[]"));
    sel_status status = SEL_OK;
    for (size_t i = 0; i < count && status == SEL_OK; i++) {
        const char *leaf = sel_key_leaf(&keys[i], entry->name);
        if (!leaf)
            continue;
        char name[96];
        snprintf(name, sizeof name, "%.*s[%zu].%s", stem, entry->name, number, leaf);
        struct sel_text value;
        sel_text_init(&value);
        sel_show_value(lister->plan, &keys[i], base, &value);
        const char *fallback = keys[i].fallback ? keys[i].fallback : "none";
        bool is_default = !value.failed && value.chars && strcmp(value.chars, fallback) == 0;
        status = emit(lister, name, &value, is_default);
    }
    return status;
}

static sel_status list_entries(
    struct lister *lister, const struct sel_plan_key *key, const char *base) {
    size_t count = *(const size_t *)(base + key->list->count);
    const char *entries = *(char *const *)(base + key->offset);
    if (count == 0)
        return emit_none(lister, key->name);
    sel_status status = SEL_OK;
    for (size_t i = 0; i < count && status == SEL_OK; i++)
        status =
            list_entry(lister, sel_key_entry(key), i + 1, entries + i * key->list->entry_bytes);
    return status;
}

static sel_status list_section(struct lister *lister, const char *section) {
    const char *base = (const char *)lister->plan;
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    sel_status status = SEL_OK;
    for (size_t i = 0; i < count && status == SEL_OK; i++) {
        const struct sel_plan_key *key = &keys[i];
        if (!sel_key_leaf(key, section))
            continue;
        if (key->kind == SEL_KEY_LIST) {
            status = list_entries(lister, key, base);
        } else if (key->kind == SEL_KEY_SECTION) {
            status = is_absent_section(key, base) ? emit_none(lister, key->name)
                                                  : list_section(lister, key->name);
        } else {
            struct sel_text value;
            sel_text_init(&value);
            sel_show_value(lister->plan, key, base, &value);
            status = emit(lister, key->name, &value, stands_by_default(lister, key));
        }
    }
    return status;
}

sel_status sel_plan_each(
    sel_context *context, const struct sel_plan *plan, sel_plan_row_fn *row, void *user) {
    struct lister lister = {context, plan, row, user};
    return list_section(&lister, "");
}
