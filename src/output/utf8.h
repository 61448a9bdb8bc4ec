// SPDX-License-Identifier: MIT
//
// Names as they come from files: made safe to store and to print, and measured for tables.
#ifndef SEL_OUTPUT_UTF8_H
#define SEL_OUTPUT_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/text.h"

// One code point from `at` (not at the end of the string); *length gets its bytes, at least 1.
// A malformed sequence gives U+FFFD and length 1.
uint32_t sel_utf8_next(const char *at, size_t *length);

// Whether every sequence is well formed.
bool sel_utf8_valid(const char *chars);

// Appends `chars`, malformed sequences replaced by U+FFFD.
void sel_utf8_add(struct sel_text *text, const char *chars);

// The same, and control characters and those that turn the direction of the line are replaced too,
// so that a name cannot move the cursor, colour the terminal or reorder the columns beside it.
void sel_utf8_add_printable(struct sel_text *text, const char *chars);

// Columns that a string takes on a terminal: 0 for combining marks, 2 for wide characters, else 1.
int sel_utf8_width(const char *chars);

// Appends the printable form, cut with an ellipsis to at most `most` columns and padded with blanks
// to at least `least`.
void sel_utf8_add_cell(struct sel_text *text, const char *chars, int least, int most);

#endif
