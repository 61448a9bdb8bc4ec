// SPDX-License-Identifier: MIT
//
// Widths are terminal columns, not bytes (see utf8.h).
#include "output/layout.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "output/utf8.h"

const char SEL_CAUTION[] =
    "A rank is no permission: ask the landowner and the authority first, and look at each place "
    "before a trap goes up. Mind water that rises, steep ground and protected species. Local rules "
    "and licensed practice stand above this list.";

// --- paragraphs ---

static void add_blanks(struct sel_text *text, int count) {
    for (int i = 0; i < count; i++)
        sel_text_add(text, " ");
}

static void add_word(struct sel_text *text, int indent, const char *word, int *at) {
    int width = sel_utf8_width(word);
    bool first = *at == indent;
    bool fits = *at + 1 + width <= SEL_LINE_WIDTH;
    if (!first && fits) {
        sel_text_add(text, " ");
        ++*at;
    } else if (!first) {
        sel_text_add(text, "\n");
        add_blanks(text, indent);
        *at = indent;
    }
    sel_utf8_add_printable(text, word);
    *at += width;
}

static void add_words(struct sel_text *text, int indent, char *words) {
    static const char BLANKS[] = " \n\t";
    int at = indent;
    for (char *word = words + strspn(words, BLANKS); *word;) {
        size_t length = strcspn(word, BLANKS);
        bool last = word[length] == '\0';
        word[length] = '\0';
        add_word(text, indent, word, &at);
        word += length + !last;
        word += strspn(word, BLANKS);
    }
    sel_text_add(text, "\n");
}

void sel_wrap(struct sel_text *text, const char *first, const char *paragraph) {
    char *words = strdup(paragraph);
    if (!words) {
        text->failed = true;
        return;
    }
    sel_text_add(text, first);
    add_words(text, sel_utf8_width(first), words);
    free(words);
}

void sel_wrap_text(struct sel_text *text, const char *first, struct sel_text *paragraph) {
    sel_wrap(text, first, paragraph->chars ? paragraph->chars : "");
    text->failed = text->failed || paragraph->failed;
    sel_text_clear(paragraph);
}

// --- tables ---

void sel_cells_init(struct sel_cells *table, int columns, const enum sel_align *align) {
    *table = (struct sel_cells){.columns = columns, .align = align};
}

void sel_cells_clear(struct sel_cells *table) {
    for (size_t i = 0; i < table->count; i++)
        free(table->cells[i]);
    free(table->cells);
    *table = (struct sel_cells){0};
}

void sel_cell(struct sel_cells *table, const char *chars) {
    struct sel_text text;
    sel_text_init(&text);
    sel_utf8_add_cell(&text, chars ? chars : "", 0, SEL_CELL_MOST);
    char *cell = sel_text_take(&text);
    char **grown = sel_grow(table->cells, table->count + 1, &table->capacity, sizeof *grown);
    if (grown)
        table->cells = grown;
    if (!cell || !grown) {
        free(cell);
        table->failed = true;
        return;
    }
    table->cells[table->count++] = cell;
}

void sel_cellf(struct sel_cells *table, const char *format, ...) {
    char chars[256];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(chars, sizeof chars, format, arguments);
    va_end(arguments);
    sel_cell(table, chars);
}

void sel_cell_number(struct sel_cells *table, double value, int decimals) {
    if (isnan(value))
        sel_cell(table, "");
    else
        sel_cellf(table, "%.*f", decimals, value);
}

static int column_width(const struct sel_cells *table, int column) {
    int widest = 0;
    for (size_t i = (size_t)column; i < table->count; i += (size_t)table->columns) {
        int width = sel_utf8_width(table->cells[i]);
        widest = width > widest ? width : widest;
    }
    return widest;
}

static size_t last_filled(const struct sel_cells *table, size_t row) {
    size_t last = 0;
    for (size_t i = 0; i < (size_t)table->columns; i++)
        if (row + i < table->count && table->cells[row + i][0] != '\0')
            last = i;
    return last;
}

static void write_row(struct sel_text *text, int indent, const struct sel_cells *table, size_t row,
    const int *widths) {
    size_t last = last_filled(table, row);
    bool blank = table->cells[row + last][0] == '\0';
    add_blanks(text, blank ? 0 : indent);
    for (size_t i = 0; i <= last && !blank; i++) {
        const char *cell = table->cells[row + i];
        int gap = widths[i] - sel_utf8_width(cell);
        if (i > 0)
            add_blanks(text, 2);
        if (table->align[i] == SEL_RIGHT)
            add_blanks(text, gap);
        sel_text_add(text, cell);
        if (table->align[i] == SEL_LEFT && i < last)
            add_blanks(text, gap);
    }
    sel_text_add(text, "\n");
}

void sel_cells_write(struct sel_text *text, int indent, const struct sel_cells *table) {
    int widths[SEL_COLUMNS_MOST] = {0};
    for (int i = 0; i < table->columns && i < SEL_COLUMNS_MOST; i++)
        widths[i] = column_width(table, i);
    text->failed = text->failed || table->failed;
    for (size_t row = 0; row < table->count; row += (size_t)table->columns)
        write_row(text, indent, table, row, widths);
}
