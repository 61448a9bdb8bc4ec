// SPDX-License-Identifier: MIT
//
// Names sorted once and searched by halves: there may be thousands of blocks, and every candidate
// asks.
#include "dossier/groups.h"

#include <stdlib.h>
#include <string.h>

struct sel_dossier_group {
    const char *name;
    int number;
};

static int by_name(const void *left, const void *right) {
    const struct sel_dossier_group *a = left, *b = right;
    return strcmp(a->name, b->name);
}

bool sel_dossier_groups_init(struct sel_dossier_groups *groups, const void *rows, size_t row_size,
    size_t offset, size_t count) {
    *groups = (struct sel_dossier_groups){.count = count};
    groups->sorted = malloc((count + 1) * sizeof *groups->sorted);
    if (!groups->sorted)
        return false;
    for (size_t i = 0; i < count; i++) {
        const char *name;
        memcpy(&name, (const char *)rows + i * row_size + offset, sizeof name);
        groups->sorted[i] = (struct sel_dossier_group){name ? name : "", (int)i};
    }
    qsort(groups->sorted, count, sizeof *groups->sorted, by_name);
    return true;
}

void sel_dossier_groups_clear(struct sel_dossier_groups *groups) {
    free(groups->sorted);
    *groups = (struct sel_dossier_groups){0};
}

int sel_dossier_group(const struct sel_dossier_groups *groups, const char *name) {
    struct sel_dossier_group sought = {name, 0};
    const struct sel_dossier_group *found = NULL;
    if (name)
        found = bsearch(&sought, groups->sorted, groups->count, sizeof *groups->sorted, by_name);
    return found ? found->number : -1;
}
