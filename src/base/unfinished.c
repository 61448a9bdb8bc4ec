// SPDX-License-Identifier: MIT
//
// A list that only grows, at its head: whoever reads it meanwhile sees whole names.
#include "base/unfinished.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct sel_unfinished_name {
    struct sel_unfinished_name *next;
    char path[];
};

bool sel_unfinished_add(struct sel_unfinished *names, const char *path) {
    struct sel_unfinished_name *first = atomic_load(&names->first);
    for (const struct sel_unfinished_name *name = first; name; name = name->next)
        if (strcmp(name->path, path) == 0)
            return true;
    size_t size = strlen(path) + 1;
    struct sel_unfinished_name *added = malloc(sizeof *added + size);
    if (!added)
        return false;
    added->next = first;
    memcpy(added->path, path, size);
    atomic_store(&names->first, added);
    return true;
}

void sel_unfinished_remove(struct sel_unfinished *names) {
    int reason = errno;
    for (const struct sel_unfinished_name *name = atomic_load(&names->first); name;
         name = name->next)
        unlink(name->path);
    errno = reason;
}

void sel_unfinished_clear(struct sel_unfinished *names) {
    struct sel_unfinished_name *name = atomic_exchange(&names->first, NULL);
    while (name) {
        struct sel_unfinished_name *next = name->next;
        free(name);
        name = next;
    }
}
