// SPDX-License-Identifier: MIT
//
// The inputs that a part was made from against those that are there now.
#include <string.h>
#include <strings.h>

#include "output/part.h"
#include "output/part_rows.h"
#include "output/writer.h"

static const char STATISTICS[] = ".aux.xml"; // what any viewer may leave beside a raster
enum { DIGITS_TOLD = 12 };                   // of a checksum

struct rows {
    const struct sel_input_row *items;
    size_t count;
};

static bool same_text(const char *a, const char *b) {
    return a && b ? strcmp(a, b) == 0 : a == b;
}

static bool ends_in(const char *text, const char *ending) {
    size_t length = strlen(text), wanted = strlen(ending);
    return length >= wanted && strcasecmp(text + length - wanted, ending) == 0;
}

// What plan and habitat table say is in the fingerprint; how they are written does not matter.
static bool counts(const struct sel_input_row *row) {
    return row->role && row->file && strcmp(row->role, "plan") != 0 &&
           strcmp(row->role, "habitats") != 0 && !ends_in(row->file, STATISTICS);
}

static bool same_file(const struct sel_input_row *a, const struct sel_input_row *b) {
    return same_text(a->role, b->role) && same_text(a->file, b->file) &&
           same_text(a->belongs_to, b->belongs_to) && same_text(a->layer, b->layer);
}

// Looks first where it should stand: a mosaic may have thousands of files.
static const struct sel_input_row *find(
    const struct rows *rows, const struct sel_input_row *wanted, size_t place) {
    if (place < rows->count && same_file(&rows->items[place], wanted))
        return &rows->items[place];
    for (size_t i = 0; i < rows->count; i++)
        if (same_file(&rows->items[i], wanted))
            return &rows->items[i];
    return NULL;
}

static sel_status check_row(sel_context *context, const char *path,
    const struct sel_input_row *then, const struct sel_input_row *now) {
    if (then->sha256 && now->sha256) {
        if (strcmp(then->sha256, now->sha256) == 0)
            return SEL_OK;
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: was made from another %s (SHA-256 %.*s..., now %.*s...): make the part anew, or "
            "bring back the file as it was",
            path, now->file, DIGITS_TOLD, then->sha256, DIGITS_TOLD, now->sha256);
    }
    bool sized = then->size_bytes != SEL_NO_INTEGER && now->size_bytes != SEL_NO_INTEGER;
    if (!sized || then->size_bytes == now->size_bytes)
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: was made from another %s (%lld bytes, now %lld): make the part anew, or bring back "
        "the file as it was",
        path, now->file, (long long)then->size_bytes, (long long)now->size_bytes);
}

static sel_status check_rows(
    sel_context *context, const char *path, struct rows then, struct rows now) {
    sel_status status = SEL_OK;
    for (size_t i = 0; i < now.count && status == SEL_OK; i++) {
        const struct sel_input_row *row = &now.items[i];
        if (!counts(row))
            continue;
        const struct sel_input_row *before = find(&then, row, i);
        status = before ? check_row(context, path, before, row)
                        : sel_fail(context, SEL_BAD_INPUT,
                              "%s: was made when %s was not among the inputs: make the part anew, "
                              "or take the file away",
                              path, row->file);
    }
    for (size_t i = 0; i < then.count && status == SEL_OK; i++)
        if (counts(&then.items[i]) && !find(&now, &then.items[i], i))
            status = sel_fail(context, SEL_BAD_INPUT,
                "%s: was made with %s, which is not among the inputs now: make the part anew, or "
                "bring back the file",
                path, then.items[i].file);
    return status;
}

sel_status sel_part_check_inputs(
    sel_context *context, const char *path, struct sel_geopackage *file) {
    GDALDatasetH dataset = NULL;
    void *rows = NULL;
    size_t count = 0;
    sel_gdal_begin(NULL, NULL);
    sel_status status = sel_list_inputs(file);
    if (status == SEL_OK)
        status = sel_part_open(context, path, &dataset);
    if (status == SEL_OK)
        status = sel_rows_read(context, path, dataset, &SEL_TABLE_INPUTS, &rows, &count);
    if (status == SEL_OK)
        status = check_rows(context, path, (struct rows){rows, count},
            (struct rows){file->inputs.rows, file->inputs.count});
    sel_rows_free(&SEL_TABLE_INPUTS, rows, count);
    if (dataset)
        GDALClose(dataset);
    sel_gdal_end(NULL);
    return status;
}
