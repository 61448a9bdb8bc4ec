// SPDX-License-Identifier: MIT
//
// Reading a plan from its file: bytes, tree, values, checks between keys; and how each of them
// fails. The plan's text is at most 1 MiB.
#include "plan/reader.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/files.h"

enum { REASON_MOST = 2048 };

sel_status sel_reader_fail(const struct sel_plan_reader *reader, const struct sel_yaml_node *node,
    const struct sel_plan_key *key, const char *format, ...) {
    char reason[REASON_MOST];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(reason, sizeof reason, format, arguments);
    va_end(arguments);
    char place[32] = "";
    if (node && node->key_place.line > 0)
        snprintf(place, sizeof place, ":%d", node->key_place.line);
    return sel_fail(reader->context, SEL_BAD_INPUT, "%s%s: %s%s%s", reader->plan->path, place,
        key ? key->name : "", key ? ": " : "", reason);
}

static sel_status name_plan(sel_context *context, const char *path, struct sel_plan *plan) {
    plan->path = strdup(path);
    plan->folder = sel_folder_of(path);
    return plan->path && plan->folder ? SEL_OK : sel_fail_memory(context);
}

static sel_status read_tree(sel_context *context, const char *path, struct sel_yaml_tree *tree) {
    char *bytes = NULL;
    size_t length = 0;
    sel_status status = sel_read_file(context, path, SEL_YAML_BYTES_MOST, &bytes, &length);
    if (status == SEL_OK)
        status = sel_yaml_parse(context, path, bytes, length, tree);
    free(bytes);
    return status;
}

sel_status sel_plan_read(sel_context *context, const char *path, struct sel_plan *plan) {
    struct sel_plan_reader reader = {context, plan};
    struct sel_yaml_tree tree = {0};
    *plan = (struct sel_plan){0};
    sel_status status = name_plan(context, path, plan);
    if (status == SEL_OK)
        status = read_tree(context, path, &tree);
    if (status == SEL_OK)
        status = sel_fill_plan(&reader, tree.root);
    if (status == SEL_OK)
        status = sel_plan_validate(&reader);
    sel_yaml_clear(&tree);
    if (status != SEL_OK)
        sel_plan_clear(plan);
    return status;
}
