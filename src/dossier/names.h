// SPDX-License-Identifier: MIT
//
// Which row of a table has a name, and which rows tell of a site: looked up once for all, since
// there may be thousands of sites and blocks, and every candidate asks. Internal to dossier/.
#ifndef SEL_DOSSIER_NAMES_H
#define SEL_DOSSIER_NAMES_H

#include <stdbool.h>
#include <stddef.h>

// Rows of a table, each with a name at `offset`; borrowed.
struct sel_named_rows {
    const void *rows;
    size_t row_size, offset, count;
};

struct sel_name_entry;

struct sel_names {
    struct sel_name_entry *sorted; // owned
    size_t count;                  // of rows that have a name
    size_t rows;
};

// Lists the names; of rows of the same name the first counts. False when memory is out; then there
// is nothing to clear.
bool sel_names_init(struct sel_names *names, struct sel_named_rows rows);
void sel_names_clear(struct sel_names *names);

// The row of that name, from 0; -1: none. `name` may be NULL.
int sel_names_find(const struct sel_names *names, const char *name);

// Rows that follow one another.
struct sel_row_span {
    size_t first, count;
};

// For each row that `names` lists, the rows of another table that have its name and follow the
// first that has. Free with free; NULL when memory is out.
struct sel_row_span *sel_names_spans(const struct sel_names *names, struct sel_named_rows rows);

#endif
