// SPDX-License-Identifier: MIT
//
// A counter under a lock and a handful of POSIX threads; the caller's thread works too.
#define _GNU_SOURCE // sched_getaffinity

#include "base/pool.h"

#include <pthread.h>
#include <sched.h>
#include <unistd.h>

enum { MOST_THREADS = 256 };

struct pool {
    sel_context *context;
    const char *what;
    int64_t jobs, next, done, failed_job;
    sel_status failure;
    sel_job_fn *run;
    void *user;
    pthread_mutex_t lock;
};

struct worker {
    struct pool *pool;
    int thread;
};

static int64_t take_job(struct pool *pool) {
    pthread_mutex_lock(&pool->lock);
    int64_t job = pool->failure == SEL_OK && pool->next < pool->jobs ? pool->next++ : -1;
    pthread_mutex_unlock(&pool->lock);
    return job;
}

// The public header promises progress from the caller's own thread: that is thread 0.
static void report(struct pool *pool, int64_t done) {
    sel_progress(pool->context, pool->what, (double)done / (double)pool->jobs);
}

static void finish_job(struct pool *pool, int thread, int64_t job, sel_status status) {
    pthread_mutex_lock(&pool->lock);
    int64_t done = ++pool->done;
    if (status != SEL_OK && (pool->failure == SEL_OK || job < pool->failed_job)) {
        pool->failure = status;
        pool->failed_job = job;
    }
    pthread_mutex_unlock(&pool->lock);
    if (thread == 0)
        report(pool, done);
}

static void *work(void *argument) {
    struct worker *worker = argument;
    struct pool *pool = worker->pool;
    for (int64_t job = take_job(pool); job >= 0; job = take_job(pool)) {
        int64_t outer_job = sel_fail_as_job(job);
        sel_status status = sel_check_cancel(pool->context);
        if (status == SEL_OK)
            status = pool->run(pool->user, worker->thread, job);
        sel_fail_as_job(outer_job);
        finish_job(pool, worker->thread, job, status);
    }
    return NULL;
}

// A scheduler may have given this process a few of the machine's processors only.
static long count_processors(void) {
    cpu_set_t allowed;
    if (sched_getaffinity(0, sizeof allowed, &allowed) == 0)
        return CPU_COUNT(&allowed);
    return sysconf(_SC_NPROCESSORS_ONLN);
}

int sel_thread_count(int wanted) {
    if (wanted > MOST_THREADS)
        return MOST_THREADS;
    if (wanted > 0)
        return wanted;
    long processors = count_processors();
    if (processors < 1)
        return 1;
    return processors > MOST_THREADS ? MOST_THREADS : (int)processors;
}

sel_status sel_pool_run(sel_context *context, const char *what, int threads, int64_t jobs,
    sel_job_fn *run, void *user) {
    struct pool pool = {.context = context, .what = what, .jobs = jobs, .run = run, .user = user};
    struct worker workers[MOST_THREADS];
    pthread_t handles[MOST_THREADS];
    threads = sel_thread_count(threads);
    if (threads > jobs)
        threads = jobs > 0 ? (int)jobs : 1;
    if (pthread_mutex_init(&pool.lock, NULL) != 0)
        return sel_fail_memory(context);
    int started = 1;
    for (int i = 0; i < threads; i++)
        workers[i] = (struct worker){.pool = &pool, .thread = i};
    while (
        started < threads && pthread_create(&handles[started], NULL, work, &workers[started]) == 0)
        started++;
    work(&workers[0]);
    for (int i = 1; i < started; i++)
        pthread_join(handles[i], NULL);
    if (pool.jobs > 0 && pool.failure == SEL_OK)
        report(&pool, pool.jobs);
    pthread_mutex_destroy(&pool.lock);
    return pool.failure;
}
