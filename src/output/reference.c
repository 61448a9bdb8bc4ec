// SPDX-License-Identifier: MIT
//
// One Markdown table for each layer and table of the GeoPackage, from the lists of columns that
// write it, with a few words before. The pictures have no columns and are told in words.
#include "output/reference.h"

#include "output/part_rows.h"
#include "output/rows.h"

static const char OPENING[] =
    "# The GeoPackage: every layer, table and column\n"
    "\n"
    "This page is made from the lists of columns in `src/output/rows*.c` and `part_rows.c`, the "
    "same\n"
    "that write the file. To make it anew after a change there:\n"
    "\n"
    "    SELVEDGE_REGENERATE=1 ctest --test-dir build -R output_reference\n"
    "\n"
    "`rank` and `gather` write one OGC GeoPackage (an SQLite file) which any GIS opens; "
    "`explain`,\n"
    "`map`, `fieldkit` and `dossier` need nothing else. Terms are those of [terms.md](terms.md), "
    "the\n"
    "formulas those of [method.md](method.md).\n"
    "\n"
    "- Geometries are in the coordinate system of the study grid (table `run`, `grid.crs`). Unit\n"
    "  *CRS* is that system's; for the pixels of an input it is that of the input.\n"
    "- NULL means: not known, not asked for, or no such thing.\n"
    "- Sides a and b follow the order of the habitat table. Directions are degrees clockwise.\n"
    "- A column named for a criterion is NULL where the criterion is not in use; `walk_min`, "
    "`walk_m`\n"
    "  and `climb_m`, and the layer `walks`, need access by time.\n"
    "- A set of raster tiles lies beside the layers: `backdrop`, the shaded habitats of the whole\n"
    "  ground.\n"
    "- The file is written beside its place and moved there when it is complete: a file that is "
    "there\n"
    "  is whole.\n";

static const char PARTS[] =
    "\n"
    "# Tables of a part\n"
    "\n"
    "What `rank --part` writes is for `gather` alone ([parts.md](parts.md)): the layer `edges` "
    "and\n"
    "the table `inputs` as above, and these. `sites` and `flyways` are there and empty.\n";

const struct sel_table_kind *const *sel_output_tables(int *count) {
    static const struct sel_table_kind *const TABLES[] = {&SEL_TABLE_SITES, &SEL_TABLE_FLYWAYS,
        &SEL_TABLE_WALKS, &SEL_TABLE_EDGES, &SEL_TABLE_CANDIDATES, &SEL_TABLE_GROUND_AREA,
        &SEL_TABLE_GROUND_ZONES, &SEL_TABLE_GROUND_ACCESS, &SEL_TABLE_GROUND_OCCUPIED,
        &SEL_TABLE_CRITERIA, &SEL_TABLE_HORIZON, &SEL_TABLE_PROFILE, &SEL_TABLE_RIVALS,
        &SEL_TABLE_CLOSE_UP, &SEL_TABLE_HABITATS, &SEL_TABLE_PAIRS, &SEL_TABLE_BLOCKS,
        &SEL_TABLE_SENSITIVITY, &SEL_TABLE_DROPPED, &SEL_TABLE_INPUTS, &SEL_TABLE_PLAN,
        &SEL_TABLE_RUN};
    *count = sizeof TABLES / sizeof *TABLES;
    return TABLES;
}

const struct sel_table_kind *const *sel_output_part_tables(int *count) {
    static const struct sel_table_kind *const TABLES[] = {
        &SEL_TABLE_PART, &SEL_TABLE_PART_COUNTS, &SEL_TABLE_PART_CANDIDATES};
    *count = sizeof TABLES / sizeof *TABLES;
    return TABLES;
}

static const char *geometry_name(OGRwkbGeometryType geometry) {
    switch (geometry) {
    case wkbNone:
        return "Table";
    case wkbPoint:
        return "Layer of points";
    case wkbLineString:
        return "Layer of lines";
    case wkbLineStringZM:
        return "Layer of lines with elevation and minutes";
    case wkbMultiPolygon:
        return "Layer of polygons";
    default:
        return "Layer of points, lines or polygons";
    }
}

static const char *type_name(enum sel_column_kind kind) {
    switch (kind) {
    case SEL_COLUMN_INTEGER:
        return "whole number";
    case SEL_COLUMN_BOOLEAN:
        return "boolean";
    case SEL_COLUMN_TEXT:
        return "text";
    case SEL_COLUMN_BYTES:
        return "bytes";
    default:
        return "number";
    }
}

// The geometry's own coordinates are no columns of the file.
static bool is_shown(const struct sel_column *column) {
    return column->kind != SEL_COLUMN_POINT_X && column->kind != SEL_COLUMN_POINT_Y;
}

static bool has_columns(const struct sel_table_kind *table) {
    for (int i = 0; i < table->column_count; i++)
        if (is_shown(&table->columns[i]))
            return true;
    return false;
}

static void add_table(const struct sel_table_kind *table, struct sel_text *text) {
    sel_text_addf(
        text, "\n## `%s`\n\n%s. %s.\n", table->name, geometry_name(table->geometry), table->about);
    if (!has_columns(table))
        return;
    sel_text_add(text, "\n| column | type | unit | meaning |\n| --- | --- | --- | --- |\n");
    for (int i = 0; i < table->column_count; i++) {
        const struct sel_column *column = &table->columns[i];
        if (is_shown(column))
            sel_text_addf(text, "| `%s` | %s | %s | %s |\n", column->name, type_name(column->kind),
                column->unit, column->meaning);
    }
}

void sel_output_reference(struct sel_text *text) {
    int count;
    const struct sel_table_kind *const *tables = sel_output_tables(&count);
    sel_text_add(text, OPENING);
    for (int i = 0; i < count; i++)
        add_table(tables[i], text);
    tables = sel_output_part_tables(&count);
    sel_text_add(text, PARTS);
    for (int i = 0; i < count; i++)
        add_table(tables[i], text);
}
