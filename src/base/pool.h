// SPDX-License-Identifier: MIT
//
// Runs independent jobs on a few threads. Jobs are handed out in order; a job's result must not
// depend on which thread runs it or on what ran before.
#ifndef SEL_BASE_POOL_H
#define SEL_BASE_POOL_H

#include "base/status.h"

// One job; `thread` is 0..threads-1 and picks per-thread scratch.
typedef sel_status sel_job_fn(void *user, int thread, int64_t job);

// Runs jobs 0..jobs-1. After the first failure or a cancel no new job starts; returns the failing
// status of the lowest-numbered job that failed, whose message stands, too. As jobs start in order,
// that is the same job whatever the threads do. Progress is reported as `what`, from the calling
// thread only, and never goes back.
sel_status sel_pool_run(
    sel_context *context, const char *what, int threads, int64_t jobs, sel_job_fn *run, void *user);

// The thread count to use: `wanted` (256 at most), or one per processor that this process may run
// on when it is 0 or less.
int sel_thread_count(int wanted);

#endif
