// SPDX-License-Identifier: MIT
#include "terrain_table.h"

#include <stdlib.h>
#include <string.h>

FILE *terrain_table_open(const char *name) {
    char path[4096];
    snprintf(path, sizeof path, "%s/%s", SEL_TEST_REFERENCE, name);
    FILE *table = fopen(path, "r");
    if (!table) {
        fprintf(stderr, "no table %s\n", path);
        abort();
    }
    return table;
}

static void split(struct terrain_row *row) {
    row->line[strcspn(row->line, "\r\n")] = '\0';
    row->count = 0;
    for (char *field = row->line; field && row->count < TERRAIN_FIELDS_MOST;) {
        row->fields[row->count++] = field;
        field = strchr(field, ',');
        if (field)
            *field++ = '\0';
    }
}

bool terrain_table_next(FILE *table, struct terrain_row *row) {
    while (fgets(row->line, sizeof row->line, table)) {
        if (row->line[0] == '#' || row->line[0] == '\n')
            continue;
        split(row);
        return true;
    }
    return false;
}

double terrain_number(const struct terrain_row *row, int field) {
    return strtod(row->fields[field], NULL);
}
