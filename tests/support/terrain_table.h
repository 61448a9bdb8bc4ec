// SPDX-License-Identifier: MIT
//
// Rows of a table of outside values in tests/reference: comma-separated, '#' starts a remark.
#ifndef SEL_TEST_TERRAIN_TABLE_H
#define SEL_TEST_TERRAIN_TABLE_H

#include <stdbool.h>
#include <stdio.h>

enum { TERRAIN_FIELDS_MOST = 20 };

struct terrain_row {
    char line[512];
    char *fields[TERRAIN_FIELDS_MOST];
    int count;
};

// Opens tests/reference/<name>; the test fails when it is missing.
FILE *terrain_table_open(const char *name);

// The next row that is no remark; false at the end.
bool terrain_table_next(FILE *table, struct terrain_row *row);

double terrain_number(const struct terrain_row *row, int field);

#endif
