// SPDX-License-Identifier: MIT
//
// Names sorted once and searched by halves.
#include "dossier/names.h"

#include <stdlib.h>
#include <string.h>

struct sel_name_entry {
    const char *name;
    int row;
};

static const char *name_of(const struct sel_named_rows *rows, size_t row) {
    const char *name;
    memcpy(&name, (const char *)rows->rows + row * rows->row_size + rows->offset, sizeof name);
    return name;
}

static int by_name(const void *left, const void *right) {
    const struct sel_name_entry *a = left, *b = right;
    int order = strcmp(a->name, b->name);
    return order ? order : (a->row > b->row) - (a->row < b->row);
}

bool sel_names_init(struct sel_names *names, struct sel_named_rows rows) {
    *names = (struct sel_names){.rows = rows.count};
    names->sorted = malloc((rows.count + 1) * sizeof *names->sorted);
    if (!names->sorted)
        return false;
    for (size_t i = 0; i < rows.count; i++)
        if (name_of(&rows, i))
            names->sorted[names->count++] = (struct sel_name_entry){name_of(&rows, i), (int)i};
    qsort(names->sorted, names->count, sizeof *names->sorted, by_name);
    return true;
}

void sel_names_clear(struct sel_names *names) {
    free(names->sorted);
    *names = (struct sel_names){0};
}

int sel_names_find(const struct sel_names *names, const char *name) {
    size_t low = 0, high = names->count;
    while (name && low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(names->sorted[middle].name, name) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    bool found = name && low < names->count && strcmp(names->sorted[low].name, name) == 0;
    return found ? names->sorted[low].row : -1;
}

struct sel_row_span *sel_names_spans(const struct sel_names *names, struct sel_named_rows rows) {
    struct sel_row_span *spans = calloc(names->rows + 1, sizeof *spans);
    const char *last = NULL;
    int at = -1;
    for (size_t i = 0; spans && i < rows.count; i++) {
        const char *name = name_of(&rows, i);
        if (!last || !name || strcmp(name, last) != 0)
            at = sel_names_find(names, name);
        last = name;
        if (at >= 0 && spans[at].count == 0)
            spans[at].first = i;
        if (at >= 0 && spans[at].first + spans[at].count == i)
            spans[at].count++;
    }
    return spans;
}
