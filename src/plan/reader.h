// SPDX-License-Identifier: MIT
//
// Internal to plan/: what the functions that fill a plan share, and how they fail.
#ifndef SEL_PLAN_READER_H
#define SEL_PLAN_READER_H

#include "plan/keys.h"
#include "plan/yaml_tree.h"

struct sel_plan_reader {
    sel_context *context;
    struct sel_plan *plan; // plan->path names the file in messages
};

// Fails with "file:line: key: what": SEL_BAD_INPUT. `node` NULL leaves the line out, `key` NULL
// the key.
sel_status sel_reader_fail(const struct sel_plan_reader *reader, const struct sel_yaml_node *node,
    const struct sel_plan_key *key, const char *format, ...) __attribute__((format(printf, 4, 5)));

// Fills the whole plan from the root of its tree (plan/sections.c).
sel_status sel_fill_plan(struct sel_plan_reader *reader, const struct sel_yaml_node *root);

// Sets one value: `base` is the plan, or the list's entry (plan/scalars.c, plan/values.c).
typedef sel_status sel_key_setter(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base);
sel_key_setter sel_set_text, sel_set_path, sel_set_whole, sel_set_long, sel_set_number,
    sel_set_choice, sel_set_date, sel_set_value, sel_set_limit, sel_set_order, sel_set_size,
    sel_set_habitats;

// The scalar's text; fails when the node is a list or a mapping.
sel_status sel_scalar_text(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, const char **text);

// The same, and fails when the text is blank or runs over more than one line.
sel_status sel_scalar_line(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, const char **text);

// The scalar's number within the key's range; fails otherwise.
sel_status sel_scalar_number(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, double *number);

// Keeps how the plan writes a path that it owns (plan/paths.c), and frees all that were kept.
sel_status sel_keep_written(
    const struct sel_plan_reader *reader, const char *resolved, const char *written);
void sel_forget_written(struct sel_plan *plan);

// Checks that hold between keys, once all are filled (plan/validate.c).
sel_status sel_plan_validate(struct sel_plan_reader *reader);

#endif
