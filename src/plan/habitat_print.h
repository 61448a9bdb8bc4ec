// SPDX-License-Identifier: MIT
//
// Internal to plan/: writes the lines of a habitat table.
#ifndef SEL_PLAN_HABITAT_PRINT_H
#define SEL_PLAN_HABITAT_PRINT_H

#include "base/text.h"
#include "plan/legends.h"

// "value,habitat,...,support" without a line end.
void sel_print_habitat_columns(struct sel_text *text);

// A class of a legend under one of its codes, without a line end.
void sel_print_habitat_class(
    int64_t value, const struct sel_legend_class *class, struct sel_text *text);

// A value that no legend explains: a name and blank traits, which sel_habitats_read refuses until
// they are filled in. Without a line end.
void sel_print_habitat_blank(int64_t value, struct sel_text *text);

// A field, quoted where CSV needs it (RFC 4180).
void sel_print_csv_field(const char *field, struct sel_text *text);

#endif
