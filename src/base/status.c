// SPDX-License-Identifier: MIT
//
// One message per public job, the first failure's; callbacks under one lock. Within a pool each
// thread knows which of the pool's jobs it is at, and the lowest-numbered job's message wins.
#include "base/status.h"

#include <pthread.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/unfinished.h"

enum { MESSAGE_SIZE = 4096 };

struct sel_context {
    char message[MESSAGE_SIZE];
    int64_t message_job; // the pool's job it came from
    pthread_mutex_t lock;
    atomic_bool cancelled;
    sel_progress_fn *progress;
    void *progress_user;
    sel_note_fn *note;
    void *note_user;
    struct sel_unfinished unfinished;
};

static _Thread_local int64_t current_job = SEL_OUTSIDE_JOBS;

int64_t sel_fail_as_job(int64_t job) {
    int64_t before = current_job;
    current_job = job;
    return before;
}

sel_context *sel_context_new(void) {
    sel_context *context = calloc(1, sizeof *context);
    if (!context)
        return NULL;
    if (pthread_mutex_init(&context->lock, NULL) != 0) {
        free(context);
        return NULL;
    }
    atomic_init(&context->cancelled, false);
    atomic_init(&context->unfinished.first, NULL);
    return context;
}

void sel_context_free(sel_context *context) {
    if (!context)
        return;
    pthread_mutex_destroy(&context->lock);
    sel_unfinished_clear(&context->unfinished);
    free(context);
}

const char *sel_context_message(const sel_context *context) {
    return context->message;
}

void sel_context_on_progress(sel_context *context, sel_progress_fn *callback, void *user) {
    context->progress = callback;
    context->progress_user = user;
}

void sel_context_on_note(sel_context *context, sel_note_fn *callback, void *user) {
    context->note = callback;
    context->note_user = user;
}

void sel_cancel(sel_context *context) {
    atomic_store(&context->cancelled, true);
}

void sel_discard(sel_context *context) {
    sel_unfinished_remove(&context->unfinished);
}

sel_status sel_begin_unfinished(sel_context *context, const char *path) {
    pthread_mutex_lock(&context->lock);
    bool added = sel_unfinished_add(&context->unfinished, path);
    pthread_mutex_unlock(&context->lock);
    return added ? SEL_OK : sel_fail_memory(context);
}

void sel_context_begin(sel_context *context) {
    context->message[0] = '\0';
    atomic_store(&context->cancelled, false);
}

sel_status sel_fail(sel_context *context, sel_status status, const char *format, ...) {
    pthread_mutex_lock(&context->lock);
    if (context->message[0] == '\0' || current_job < context->message_job) {
        context->message_job = current_job;
        va_list arguments;
        va_start(arguments, format);
        vsnprintf(context->message, MESSAGE_SIZE, format, arguments);
        va_end(arguments);
    }
    pthread_mutex_unlock(&context->lock);
    return status;
}

sel_status sel_fail_memory(sel_context *context) {
    return sel_fail(context, SEL_NO_MEMORY,
        "out of memory: try a smaller --memory, fewer --threads or a smaller study area");
}

void sel_note(sel_context *context, const char *format, ...) {
    if (!context->note)
        return;
    char text[MESSAGE_SIZE];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    pthread_mutex_lock(&context->lock);
    context->note(context->note_user, text);
    pthread_mutex_unlock(&context->lock);
}

void sel_progress(sel_context *context, const char *what, double share) {
    if (!context->progress)
        return;
    pthread_mutex_lock(&context->lock);
    context->progress(context->progress_user, what, share);
    pthread_mutex_unlock(&context->lock);
}

sel_status sel_check_cancel(sel_context *context) {
    if (!atomic_load(&context->cancelled))
        return SEL_OK;
    return sel_fail(context, SEL_INTERRUPTED, "interrupted; nothing was written");
}

const char *sel_status_name(sel_status status) {
    switch (status) {
    case SEL_OK:
        return "done";
    case SEL_USAGE:
        return "usage";
    case SEL_BAD_INPUT:
        return "bad plan or data";
    case SEL_NOTHING:
        return "nothing qualifies";
    case SEL_IO:
        return "input or output failed";
    case SEL_NO_MEMORY:
        return "out of memory";
    case SEL_INTERRUPTED:
        return "interrupted";
    }
    return "unknown status";
}

const char *sel_version(void) {
    return SEL_VERSION;
}
