// SPDX-License-Identifier: MIT
//
// The reference page of the GeoPackage, docs/output.md, made from the column lists.
#ifndef SEL_OUTPUT_REFERENCE_H
#define SEL_OUTPUT_REFERENCE_H

#include "base/text.h"
#include "output/columns.h"

// The tables of the page in its order: those of `rank` and `gather`, then a part's own.
const struct sel_table_kind *const *sel_output_tables(int *count);
const struct sel_table_kind *const *sel_output_part_tables(int *count);

// Appends the page as Markdown. tests/output/test_reference.c compares it with docs/output.md, and
// writes that file anew when the environment holds SELVEDGE_REGENERATE=1.
void sel_output_reference(struct sel_text *text);

#endif
