// SPDX-License-Identifier: MIT
//
// Walks the plan's tree along the table of keys: refuses what the table does not know, hands each
// value to the setter of its kind, and fills what is absent from the table's defaults, which are
// parsed as if the plan had said them.
#include "plan/reader.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "plan/words.h"

// No survey has more layers, and checks between entries stay quick.
enum { ENTRIES_MOST = 1000 };

static sel_key_setter set_section, set_list;

static sel_status set_key(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    static sel_key_setter *const setters[SEL_KEY_KINDS] = {
        [SEL_KEY_SECTION] = set_section,
        [SEL_KEY_LIST] = set_list,
        [SEL_KEY_TEXT] = sel_set_text,
        [SEL_KEY_PATH] = sel_set_path,
        [SEL_KEY_WHOLE] = sel_set_whole,
        [SEL_KEY_LONG] = sel_set_long,
        [SEL_KEY_NUMBER] = sel_set_number,
        [SEL_KEY_CHOICE] = sel_set_choice,
        [SEL_KEY_DATE] = sel_set_date,
        [SEL_KEY_VALUE] = sel_set_value,
        [SEL_KEY_LIMIT] = sel_set_limit,
        [SEL_KEY_ORDER] = sel_set_order,
        [SEL_KEY_SIZE] = sel_set_size,
        [SEL_KEY_HABITATS] = sel_set_habitats,
    };
    return setters[key->kind](reader, key, node, base);
}

static size_t list_leaves(const char *section, const char *leaves[SEL_PLAN_KEYS_MOST]) {
    size_t count, found = 0;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count; i++) {
        const char *leaf = sel_key_leaf(&keys[i], section);
        if (leaf)
            leaves[found++] = leaf;
    }
    return found;
}

static sel_status fail_unknown(struct sel_plan_reader *reader, const char *section,
    const struct sel_yaml_node *node, const char *const *leaves, size_t count) {
    struct sel_text allowed;
    sel_text_init(&allowed);
    for (size_t i = 0; i < count; i++)
        sel_text_addf(&allowed, "%s%s", i > 0 ? ", " : "", leaves[i]);
    char *list = sel_text_take(&allowed);
    if (!list)
        return sel_fail_memory(reader->context);
    const char *nearest = sel_nearest_word(node->key, leaves, count);
    const char *dot = section[0] ? "." : "";
    sel_status status =
        nearest ? sel_reader_fail(reader, node, NULL,
                      "%s%s%s: is no key of a plan: did you mean %s? Keys allowed here: %s",
                      section, dot, sel_quote(node->key).chars, nearest, list)
                : sel_reader_fail(reader, node, NULL,
                      "%s%s%s: is no key of a plan: keys allowed here: %s", section, dot,
                      sel_quote(node->key).chars, list);
    free(list);
    return status;
}

static sel_status refuse_unknown(
    struct sel_plan_reader *reader, const char *section, const struct sel_yaml_node *map) {
    const char *leaves[SEL_PLAN_KEYS_MOST];
    size_t count = list_leaves(section, leaves);
    for (const struct sel_yaml_node *node = map->first; node; node = node->next) {
        bool known = false;
        for (size_t i = 0; i < count && !known; i++)
            known = strcmp(leaves[i], node->key) == 0;
        if (!known)
            return fail_unknown(reader, section, node, leaves, count);
    }
    return SEL_OK;
}

static sel_status set_default(
    struct sel_plan_reader *reader, const struct sel_plan_key *key, char *base) {
    struct sel_yaml_tree tree;
    sel_status status =
        sel_yaml_parse(reader->context, key->name, key->fallback, strlen(key->fallback), &tree);
    if (status == SEL_OK)
        status = set_key(reader, key, tree.root, base);
    sel_yaml_clear(&tree);
    return status;
}

static sel_status fill_section(struct sel_plan_reader *reader, const char *section,
    const struct sel_yaml_node *node, char *base);

static sel_status fill_absent(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *parent, char *base) {
    if (key->presence == SEL_KEY_REQUIRED)
        return sel_reader_fail(reader, parent, key, "is missing: give %s", key->meaning);
    if (key->presence == SEL_KEY_OPTIONAL)
        return SEL_OK;
    if (key->kind == SEL_KEY_SECTION)
        return fill_section(reader, key->name, NULL, base);
    return set_default(reader, key, base);
}

static sel_status fill_key(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    if (sel_yaml_is_empty(node))
        return sel_reader_fail(reader, node, key,
            "nothing is written after it: give %s, or take the key out", key->meaning);
    if (base == (char *)reader->plan)
        reader->plan->places[key - sel_plan_keys(NULL)] = node->key_place;
    return set_key(reader, key, node, base);
}

// A path alone is short for { file: path }.
static const struct sel_yaml_node *find_leaf(
    const struct sel_yaml_node *section, const char *leaf) {
    if (section && section->kind == SEL_YAML_SCALAR)
        return strcmp(leaf, "file") == 0 ? section : NULL;
    return sel_yaml_find(section, leaf);
}

static sel_status fill_section(struct sel_plan_reader *reader, const char *section,
    const struct sel_yaml_node *node, char *base) {
    sel_status status = SEL_OK;
    if (node && node->kind == SEL_YAML_MAP)
        status = refuse_unknown(reader, section, node);
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count && status == SEL_OK; i++) {
        const char *leaf = sel_key_leaf(&keys[i], section);
        if (!leaf)
            continue;
        const struct sel_yaml_node *value = find_leaf(node, leaf);
        status = value ? fill_key(reader, &keys[i], value, base)
                       : fill_absent(reader, &keys[i], node, base);
    }
    return status;
}

static sel_status set_section(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    bool path_alone = key->short_form && node->kind == SEL_YAML_SCALAR;
    if (node->kind != SEL_YAML_MAP && !path_alone)
        return sel_reader_fail(reader, node, key,
            "is %s where keys with values are expected%s: give %s",
            node->kind == SEL_YAML_LIST ? "a list" : sel_quote(node->text).chars,
            key->short_form ? ", or a path alone" : "", key->meaning);
    if (key->place)
        *(struct sel_place *)(base + key->place) = node->key_place;
    return fill_section(reader, key->name, node, base);
}

static sel_status set_list(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    bool one = node->kind != SEL_YAML_LIST;
    size_t wanted = one ? 1 : node->count;
    if (wanted == 0)
        return sel_reader_fail(
            reader, node, key, "is an empty list: give %s, or take the key out", key->meaning);
    if (wanted > ENTRIES_MOST)
        return sel_reader_fail(
            reader, node, key, "has %zu entries: give at most %d", wanted, ENTRIES_MOST);
    char *entries = calloc(wanted, key->list->entry_bytes);
    if (!entries)
        return sel_fail_memory(reader->context);
    *(char **)(base + key->offset) = entries;
    *(size_t *)(base + key->list->count) = wanted; // all zero, so that clearing is safe from here
    const struct sel_plan_key *entry = sel_key_entry(key);
    const struct sel_yaml_node *item = one ? node : node->first;
    sel_status status = SEL_OK;
    for (size_t i = 0; i < wanted && status == SEL_OK; i++, item = item->next)
        status = fill_key(reader, entry, item, entries + i * key->list->entry_bytes);
    return status;
}

sel_status sel_fill_plan(struct sel_plan_reader *reader, const struct sel_yaml_node *root) {
    if (!root || sel_yaml_is_empty(root))
        return sel_reader_fail(
            reader, NULL, NULL, "is empty: `selvedge start` writes a plan to begin with");
    if (root->kind != SEL_YAML_MAP)
        return sel_reader_fail(reader, root, NULL,
            "a plan is made of lines like `title: Alder Brook`: see docs/plan.md");
    return fill_section(reader, "", root, (char *)reader->plan);
}
