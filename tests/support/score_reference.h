// SPDX-License-Identifier: MIT
//
// Reads the tables of tests/reference: CSV files of numbers with '#' comment lines (their first one
// names the source) and one line of column names.
#ifndef SEL_TEST_SCORE_REFERENCE_H
#define SEL_TEST_SCORE_REFERENCE_H

#include <stddef.h>

enum { REFERENCE_COLUMNS_MOST = 16 };

struct reference_row {
    int line; // of the file, for messages
    int count;
    double numbers[REFERENCE_COLUMNS_MOST];
};

// Calls `check` for each row of tests/reference/<name>; returns the number of rows. Fails the test
// when the file cannot be read, names no source, or holds a row that is not `columns` numbers.
int reference_each(const char *name, int columns, void (*check)(const struct reference_row *row));

#endif
