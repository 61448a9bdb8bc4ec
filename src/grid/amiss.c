// SPDX-License-Identifier: MIT
//
// The pixel is read once more, as a number: the fast path keeps no values.
#include "grid/amiss.h"

#include <math.h>
#include <stdio.h>

#include "grid/class_cells.h"
#include "grid/nearest.h"
#include "grid/projector.h"

static bool find_pixel(const struct sel_study *study, const struct sel_band *landcover, int64_t row,
    int64_t col, int64_t *file_row, int64_t *file_col) {
    row += study->sources->row0;
    col += study->sources->col0;
    if (landcover->source->method != SEL_AS_IT_IS)
        return sel_nearest_pixel(landcover->nearest, row, col, file_row, file_col);
    *file_row = row + landcover->source->row_shift;
    *file_col = col + landcover->source->col_shift;
    return true;
}

enum { PLACE_TEXT = 160 };

// "row 3, column 5 of the file, counted from 0 (x 400055.0, y 5439965.0; 49.10394 N, 13.62996 E)"
static sel_status place_text(sel_context *context, const struct sel_grid *grid, int64_t row,
    int64_t col, int64_t file_row, int64_t file_col, char text[PLACE_TEXT]) {
    double x = sel_grid_x(grid, 2 * (double)col + 1), y = sel_grid_y(grid, 2 * (double)row + 1);
    int length = snprintf(text, PLACE_TEXT,
        "row %lld, column %lld of the file, counted from 0 (x %.1f, y %.1f", (long long)file_row,
        (long long)file_col, x, y);
    struct sel_projector *projector = NULL;
    double latitude, longitude;
    sel_status status = sel_projector_new(context, grid, &projector);
    if (status != SEL_OK)
        return status;
    if (sel_place_at(projector, x, y, &latitude, &longitude))
        length += snprintf(text + length, (size_t)(PLACE_TEXT - length), "; %.5f %c, %.5f %c",
            fabs(latitude), latitude < 0 ? 'S' : 'N', fabs(longitude), longitude < 0 ? 'W' : 'E');
    sel_projector_free(projector);
    snprintf(text + length, (size_t)(PLACE_TEXT - length), ")");
    return SEL_OK;
}

sel_status sel_fail_amiss(sel_context *context, const struct sel_study *study,
    const struct sel_band *landcover, int64_t row, int64_t col) {
    const struct sel_study_sources *sources = study->sources;
    const char *file = landcover->raster.file;
    int64_t file_row = 0, file_col = 0;
    double value = 0;
    char place[PLACE_TEXT];
    if (!find_pixel(study, landcover, row, col, &file_row, &file_col))
        return sel_fail(context, SEL_IO, "%s: changed while it was read: start again", file);
    sel_status status = sel_class_value(context, &landcover->raster, file_col, file_row, &value);
    if (status != SEL_OK)
        return status;
    status = place_text(context, &study->grid, row, col, file_row, file_col, place);
    if (status != SEL_OK)
        return status;
    if (value != floor(value) || !isfinite(value))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: %s: %.9g is no whole number, so it is no class: give a raster of class codes, or "
            "another band",
            file, place, value);
    if (sources->table_is_legend)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: %s: class %.0f is not in the legend \"%s\": write the legend to a file with "
            "selvedge legend %s > habitats.csv, add a row for %.0f and name that file in the plan",
            file, place, value, sources->table, sources->table, value);
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: %s: class %.0f is not in the habitat table: add a row for %.0f to %s", file, place,
        value, value, sources->table);
}
