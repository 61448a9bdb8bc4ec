// SPDX-License-Identifier: MIT
//
// Plain text for a terminal: wrapped paragraphs and tables whose columns fit their contents.
#ifndef SEL_OUTPUT_LAYOUT_H
#define SEL_OUTPUT_LAYOUT_H

#include "base/text.h"

enum { SEL_LINE_WIDTH = 78, SEL_CELL_MOST = 46, SEL_COLUMNS_MOST = 16 };

// What every text for the field ends with.
extern const char SEL_CAUTION[];

// Appends a paragraph, printable, broken between words at SEL_LINE_WIDTH columns. The first line
// begins with `first`, the others with as many blanks.
void sel_wrap(struct sel_text *text, const char *first, const char *paragraph);

// The same for a text, which is emptied; a failure of its goes over.
void sel_wrap_text(struct sel_text *text, const char *first, struct sel_text *paragraph);

enum sel_align { SEL_LEFT, SEL_RIGHT };

// A table being collected: cells row by row, then laid out at once.
struct sel_cells {
    int columns;                 // 1..SEL_COLUMNS_MOST
    const enum sel_align *align; // per column
    char **cells;                // owned
    size_t count, capacity;
    bool failed;
};

void sel_cells_init(struct sel_cells *table, int columns, const enum sel_align *align);
void sel_cells_clear(struct sel_cells *table);

// Adds the next cell; NULL and "" are blank. Cells longer than SEL_CELL_MOST columns are cut.
void sel_cell(struct sel_cells *table, const char *chars);
void sel_cellf(struct sel_cells *table, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

// A number with so many decimals; blank when it is NAN.
void sel_cell_number(struct sel_cells *table, double value, int decimals);

// Appends the table, each line indented; columns are two blanks apart. A table whose memory ran
// out marks the text as failed.
void sel_cells_write(struct sel_text *text, int indent, const struct sel_cells *table);

#endif
