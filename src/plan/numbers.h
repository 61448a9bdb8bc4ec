// SPDX-License-Identifier: MIT
//
// Numbers as people write them in a plan or a table: decimal, with a point. No hexadecimal, no
// infinity, no thousands marks, no unit.
#ifndef SEL_PLAN_NUMBERS_H
#define SEL_PLAN_NUMBERS_H

#include <stdbool.h>
#include <stdint.h>

#include "base/text.h"

// The whole text must be one number ("0.5", "-3", "1e6", ".5"); false otherwise or beyond a double.
bool sel_parse_number(const char *text, double *number);

// The whole text must be one whole number that fits.
bool sel_parse_whole(const char *text, int64_t *number);

// Appends the shortest decimal that reads back as the same double.
void sel_add_number(struct sel_text *text, double number);

// The same as a string in a struct, for messages.
struct sel_number_text {
    char chars[32];
};
struct sel_number_text sel_number_text(double number);

#endif
