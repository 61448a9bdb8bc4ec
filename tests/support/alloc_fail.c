// SPDX-License-Identifier: MIT
//
// The linker's --wrap: a call of malloc reaches __wrap_malloc, and __real_malloc is the library's
// (or the sanitizer's) own.
#include "alloc_fail.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <dirent.h>
#include <errno.h>
#include <execinfo.h>
#include <ftw.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

// NOLINTBEGIN(bugprone-reserved-identifier): the linker gives these names.
void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
char *__real_strdup(const char *text);
char *__real_strndup(const char *text, size_t most);
char *__real_realpath(const char *path, char *resolved);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);
char *__wrap_strdup(const char *text);
char *__wrap_strndup(const char *text, size_t most);
char *__wrap_realpath(const char *path, char *resolved);
// NOLINTEND(bugprone-reserved-identifier)

#ifdef __SANITIZE_ADDRESS__ // gcc's name for it; every call takes four times as long then
enum { SLOWER = 4 };
#else
enum { SLOWER = 1 };
#endif

enum { FRAMES = 24, FRAMES_ALIKE = 5, CHAINS_MOST = 8192, ALL_FIRST = 300 };

// A chain of calls that ends in an allocation; its innermost calls tell chains apart.
struct chain {
    void *frames[FRAMES]; // the innermost first
    int length;
    int sweep;        // the first that met it
    long first, last; // which of that sweep's allocations come from it
};

static atomic_long allocations, failing; // `failing` is 0 while none is to fail
static struct chain failed;              // where one did
static struct chain chains[CHAINS_MOST]; // while they are noted; one thread only
static size_t chain_count;
static int sweep_count;
static bool noting;

// The chain that ends in the call that returns to `caller`; what is within is the test's own.
static void look_back(struct chain *chain, const void *caller) {
    void *frames[FRAMES] = {0};
    int length = backtrace(frames, FRAMES), skip = 0;
    while (skip < length && frames[skip] != caller)
        skip++;
    chain->length = length - skip;
    memcpy(chain->frames, frames + skip, (size_t)chain->length * sizeof *frames);
}

static void note_chain(long number, const void *caller) {
    struct chain here = {.sweep = sweep_count, .first = number, .last = number};
    look_back(&here, caller);
    for (size_t i = 0; i < chain_count; i++)
        if (memcmp(chains[i].frames, here.frames, FRAMES_ALIKE * sizeof *here.frames) == 0) {
            if (chains[i].sweep == sweep_count)
                chains[i].last = number;
            return;
        }
    if (chain_count == CHAINS_MOST)
        abort();
    chains[chain_count++] = here;
}

static bool fails(const void *caller) {
    long number = atomic_fetch_add(&allocations, 1) + 1;
    if (noting)
        note_chain(number, caller);
    if (number != atomic_load(&failing))
        return false;
    look_back(&failed, caller);
    errno = ENOMEM;
    return true;
}

void *__wrap_malloc(size_t size) {
    return fails(__builtin_return_address(0)) ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size) {
    return fails(__builtin_return_address(0)) ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size) {
    return fails(__builtin_return_address(0)) ? NULL : __real_realloc(old, size);
}

char *__wrap_strdup(const char *text) {
    return fails(__builtin_return_address(0)) ? NULL : __real_strdup(text);
}

char *__wrap_strndup(const char *text, size_t most) {
    return fails(__builtin_return_address(0)) ? NULL : __real_strndup(text, most);
}

char *__wrap_realpath(const char *path, char *resolved) {
    return fails(__builtin_return_address(0)) ? NULL : __real_realpath(path, resolved);
}

// --- the sweep ---

struct outcome {
    sel_status status;
    char message[512];
    bool failed; // the allocation that was to fail was reached
};

static struct outcome call(const struct alloc_fail_sweep *sweep, long number) {
    struct outcome outcome = {0};
    sel_context *context = sel_context_new();
    assert_non_null(context);
    atomic_store(&allocations, 0);
    atomic_store(&failing, number);
    outcome.status = sweep->call(context, sweep->user);
    atomic_store(&failing, 0);
    outcome.failed = number > 0 && atomic_load(&allocations) >= number;
    snprintf(outcome.message, sizeof outcome.message, "%s", sel_context_message(context));
    sel_context_free(context);
    return outcome;
}

// The name of an entry of the folder, or NULL when it is empty; static storage.
static const char *left_in(const char *folder) {
    static char name[256];
    DIR *entries = opendir(folder);
    assert_non_null(entries);
    name[0] = '\0';
    for (const struct dirent *entry; (entry = readdir(entries)) != NULL;)
        if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0)
            snprintf(name, sizeof name, "%s", entry->d_name);
    closedir(entries);
    return name[0] ? name : NULL;
}

static int remove_within(const char *path, const struct stat *facts, int type, struct FTW *walk) {
    (void)facts, (void)type;
    return walk->level > 0 ? remove(path) : 0;
}

static void empty(const char *folder) {
    assert_int_equal(nftw(folder, remove_within, 16, FTW_DEPTH | FTW_PHYS), 0);
}

// Returns how many allocations it took.
static long call_well(const struct alloc_fail_sweep *sweep) {
    struct outcome outcome = call(sweep, 0);
    long taken = atomic_load(&allocations);
    if (outcome.status != SEL_OK)
        fail_msg("%s: %s: %s", sweep->name, sel_status_name(outcome.status), outcome.message);
    empty(sweep->folder);
    return taken;
}

// Returns the first of the chains that no sweep before has met.
static size_t note_chains(const struct alloc_fail_sweep *sweep) {
    size_t known = chain_count;
    sweep_count++;
    noting = true;
    call_well(sweep);
    noting = false;
    assert_true(chain_count > known);
    return known;
}

// Whether the call failed as it should, or needed fewer allocations this time, as threads may.
static bool call_without(const struct alloc_fail_sweep *sweep, long number) {
    struct outcome outcome = call(sweep, number);
    const char *left = outcome.status == SEL_OK ? NULL : left_in(sweep->folder);
    empty(sweep->folder);
    if (!outcome.failed)
        return true;
    if (outcome.status == SEL_NO_MEMORY && strstr(outcome.message, "out of memory") && !left)
        return true;
    backtrace_symbols_fd(failed.frames, failed.length, STDERR_FILENO);
    print_error("%s: allocation %ld failed: \"%s\": \"%s\"; %s is left\n", sweep->name, number,
        sel_status_name(outcome.status), outcome.message, left ? left : "nothing");
    return false;
}

void alloc_fail_everywhere(const struct alloc_fail_sweep *sweep) {
    size_t first = note_chains(sweep);
    int bad = 0;
    for (size_t i = first; i < chain_count;
         i += i < ALL_FIRST ? 1 : (size_t)(sweep->stride * SLOWER))
        bad += !call_without(sweep, i % 2 == 0 ? chains[i].first : chains[i].last);
    call_well(sweep);
    print_message("%s: allocations from %zu places\n", sweep->name, chain_count - first);
    assert_int_equal(bad, 0);
}

void alloc_fail_in_threads(const struct alloc_fail_sweep *sweep) {
    long all = call_well(sweep);
    int bad = 0;
    for (long number = 1; number <= all; number += sweep->stride * SLOWER)
        bad += !call_without(sweep, number);
    call_well(sweep);
    assert_int_equal(bad, 0);
}
