// SPDX-License-Identifier: MIT
//
// Writes rows of comma-separated values. Reading is in csv_read.c.
#include "fieldkit/csv.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "output/utf8.h"

// A separator is due unless the row has only just begun.
static void separate(struct sel_text *csv) {
    if (csv->length > 0 && csv->chars[csv->length - 1] != '\n')
        sel_text_add(csv, ",");
}

static void add_quoted(struct sel_text *csv, const char *chars) {
    sel_text_add(csv, "\"");
    for (; *chars; chars++) {
        if (*chars == '"')
            sel_text_add(csv, "\"");
        sel_text_add_bytes(csv, chars, 1);
    }
    sel_text_add(csv, "\"");
}

static bool needs_quotes(const char *chars) {
    size_t length = strlen(chars);
    return strpbrk(chars, ",\"") || length == 0 || chars[0] == ' ' || chars[length - 1] == ' ';
}

// An empty first cell is quoted, so that the next cell knows that one went before.
static void add_cell(struct sel_text *csv, const char *chars) {
    bool begins = csv->length == 0 || csv->chars[csv->length - 1] == '\n';
    separate(csv);
    if (chars[0] == '\0' && !begins)
        return;
    if (needs_quotes(chars))
        add_quoted(csv, chars);
    else
        sel_text_add(csv, chars);
}

void sel_csv_cell(struct sel_text *csv, const char *chars) {
    struct sel_text printable;
    sel_text_init(&printable);
    sel_utf8_add_printable(&printable, chars ? chars : "");
    csv->failed = csv->failed || printable.failed;
    add_cell(csv, printable.chars ? printable.chars : "");
    sel_text_clear(&printable);
}

void sel_csv_cellf(struct sel_text *csv, const char *format, ...) {
    char chars[256];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(chars, sizeof chars, format, arguments);
    va_end(arguments);
    sel_csv_cell(csv, chars);
}

void sel_csv_number(struct sel_text *csv, double value, int decimals) {
    if (isfinite(value))
        sel_csv_cellf(csv, "%.*f", decimals, value);
    else
        sel_csv_cell(csv, "");
}

void sel_csv_end(struct sel_text *csv) {
    sel_text_add(csv, "\n");
}
