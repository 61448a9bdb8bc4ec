// SPDX-License-Identifier: MIT
//
// Comma-separated values (RFC 4180, UTF-8): rows written cell by cell, and a whole file read with
// the line of every record.
#ifndef SEL_FIELDKIT_CSV_H
#define SEL_FIELDKIT_CSV_H

#include "base/status.h"
#include "base/text.h"

// --- writing ---

// Appends a cell, with a comma before it unless it is its row's first; quoted where that is needed,
// line breaks and control characters replaced. Rows are ended by sel_csv_end.
void sel_csv_cell(struct sel_text *csv, const char *chars);
void sel_csv_cellf(struct sel_text *csv, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

// A number with so many decimals; an empty cell for NAN.
void sel_csv_number(struct sel_text *csv, double value, int decimals);
void sel_csv_end(struct sel_text *csv);

// --- reading ---

struct sel_csv_record {
    int line;                  // 1-based, where it begins
    const char *const *fields; // as many as the table has columns
};

struct sel_csv_table {
    char *bytes;                    // owned; the fields point into it
    const char **fields;            // owned
    struct sel_csv_record *records; // owned; the header is the first
    size_t record_count, columns;
};

enum { SEL_CSV_COLUMNS_MOST = 64 };

// Reads a file of at most 16 MiB. Blanks around fields are dropped, records without any text are
// left out. SEL_BAD_INPUT, naming file and line, for an empty file, a quote that does not close,
// records of different length, text that is no UTF-8, and other separators than commas. Clear with
// sel_csv_clear whatever comes.
sel_status sel_csv_read(sel_context *context, const char *path, struct sel_csv_table *table);
void sel_csv_clear(struct sel_csv_table *table);

#endif
