// SPDX-License-Identifier: MIT
//
// A strict reader of small tables of numbers.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "score_reference.h"

static void parse_row(const char *name, const char *text, struct reference_row *row) {
    const char *at = text;
    for (row->count = 0; row->count < REFERENCE_COLUMNS_MOST; at++) {
        char *end;
        row->numbers[row->count++] = strtod(at, &end);
        if (end == at || !strchr(",\r\n", *end))
            fail_msg("%s:%d: not a row of numbers: %s", name, row->line, text);
        at = end;
        if (*at != ',')
            return;
    }
}

int reference_each(const char *name, int columns, void (*check)(const struct reference_row *row)) {
    char path[4096], text[1024];
    snprintf(path, sizeof path, "%s/%s", SEL_TEST_REFERENCE, name);
    FILE *file = fopen(path, "r");
    if (!file)
        fail_msg("%s cannot be read", path);
    struct reference_row row = {0};
    int rows = 0;
    bool past_heading = false;
    while (fgets(text, sizeof text, file)) {
        row.line++;
        if (row.line == 1 && strncmp(text, "# source:", 9) != 0)
            fail_msg("%s: does not begin with \"# source:\"", name);
        if (text[0] == '#')
            continue;
        if (past_heading) {
            parse_row(name, text, &row);
            if (row.count != columns)
                fail_msg("%s:%d: %d columns, not %d", name, row.line, row.count, columns);
            check(&row);
            rows++;
        }
        past_heading = true;
    }
    fclose(file);
    return rows;
}
