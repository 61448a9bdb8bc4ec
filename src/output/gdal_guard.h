// SPDX-License-Identifier: MIT
//
// GDAL kept quiet and its settings kept to ourselves: its messages go into the context, and what
// we set holds for the calling thread only and is put back afterwards.
#ifndef SEL_OUTPUT_GDAL_GUARD_H
#define SEL_OUTPUT_GDAL_GUARD_H

#include "base/status.h"

enum { SEL_GUARD_OPTIONS = 2, SEL_DATE_SIZE = 32 };

struct sel_gdal_guard {
    char *earlier[SEL_GUARD_OPTIONS]; // owned; what the thread had set before
};

// Between begin and end GDAL prints nothing on this thread, SQLite does not wait for the disk (the
// file is flushed once, before it is moved into place), and rows are stamped with `date`
// ("2026-01-31T12:00:00.000Z"). With a NULL guard only the printing is stopped. False: out of
// memory, with a guard only; then nothing was changed, and nothing is to be ended.
bool sel_gdal_begin(struct sel_gdal_guard *guard, const char *date);
void sel_gdal_end(struct sel_gdal_guard *guard);

// Whether GDAL reported a failure on this thread since sel_gdal_begin.
bool sel_gdal_failed(void);

// "path: what: GDAL's message". Returns `status`.
sel_status sel_fail_gdal(
    sel_context *context, sel_status status, const char *path, const char *what);

// The moment rows are stamped with: SOURCE_DATE_EPOCH when the environment sets it, else now.
// SEL_BAD_INPUT when it is no whole number of seconds.
sel_status sel_stamp(sel_context *context, char date[SEL_DATE_SIZE]);

#endif
