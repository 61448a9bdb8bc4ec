// SPDX-License-Identifier: MIT
//
// The groups that quotas count by, pairs or blocks, and the number of each as the run counted them:
// its place in the table that lists them. Internal to dossier/.
#ifndef SEL_DOSSIER_GROUPS_H
#define SEL_DOSSIER_GROUPS_H

#include <stdbool.h>
#include <stddef.h>

struct sel_dossier_group;

struct sel_dossier_groups {
    struct sel_dossier_group *sorted; // owned; by name
    size_t count;
};

// Lists names, borrowed; row i of a table keeps its name at rows + i * row_size + offset. False
// when memory is out; then there is nothing to clear.
bool sel_dossier_groups_init(struct sel_dossier_groups *groups, const void *rows, size_t row_size,
    size_t offset, size_t count);
void sel_dossier_groups_clear(struct sel_dossier_groups *groups);

// The number of the group of that name; -1: none. `name` may be NULL.
int sel_dossier_group(const struct sel_dossier_groups *groups, const char *name);

#endif
