// SPDX-License-Identifier: MIT
//
// The context behind every call that can fail: one message, kept from the first failure, and the
// callbacks for progress and notes. Callbacks run under a lock and must not fail or note anything
// themselves; sel_cancel is allowed. A failing function fills the message at the depth that knows
// the file and the value; its callers only pass the status on.
#ifndef SEL_BASE_STATUS_H
#define SEL_BASE_STATUS_H

#include "selvedge.h"

// Records the first failure's message ("what is wrong, where, which value, and the mend") and
// returns `status`. Later calls before the next public job leave the message alone, but among the
// jobs of a pool the lowest-numbered one's first message stands, so that threads do not change it.
// Thread-safe.
sel_status sel_fail(sel_context *context, sel_status status, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

// For the pool: from now on this thread fails as that job of the pool, or outside of any. Returns
// what stood before.
#define SEL_OUTSIDE_JOBS INT64_MAX
int64_t sel_fail_as_job(int64_t job);

// The usual failure of an allocation. Returns SEL_NO_MEMORY.
sel_status sel_fail_memory(sel_context *context);

// Passes a remark on. Thread-safe; the callback runs under a lock.
void sel_note(sel_context *context, const char *format, ...) __attribute__((format(printf, 2, 3)));

// Reports progress, 0..1. Thread-safe. Cheap enough to call per tile, not per cell.
void sel_progress(sel_context *context, const char *what, double share);

// SEL_INTERRUPTED (with its message set) once sel_cancel was called, else SEL_OK.
sel_status sel_check_cancel(sel_context *context);

// Tells the context of a file that is about to be made and is worth nothing before it is finished,
// for sel_discard. Thread-safe.
sel_status sel_begin_unfinished(sel_context *context, const char *path);

// Clears message and cancel flag: a public job function calls it first.
void sel_context_begin(sel_context *context);

#endif
