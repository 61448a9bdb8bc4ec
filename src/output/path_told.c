// SPDX-License-Identifier: MIT
//
// A file that belongs to another may be told by its whole path, or by one that begins as the plan's
// does: both come out the same.
#include "output/path_told.h"

#include <stdlib.h>
#include <string.h>

#include "base/files.h"
#include "output/secrets.h"

// What follows the folder; NULL when the path does not lie within.
static const char *within(const char *folder, const char *path) {
    size_t length = strlen(folder);
    bool lies = length > 0 && strncmp(path, folder, length) == 0 && path[length] == '/';
    return lies ? path + length + 1 : NULL;
}

// A whole path from the plan's folder, links within both resolved; NULL: not within, or unknown.
static char *from_plan(const struct sel_plan *plan, const char *path) {
    if (path[0] != '/' || strncmp(path, "/vsi", 4) == 0)
        return NULL;
    char *parent = sel_folder_of(path), *rest = NULL;
    char *folder = realpath(plan->folder, NULL), *real = parent ? realpath(parent, NULL) : NULL;
    const char *name = strrchr(path, '/') + 1;
    if (folder && real && strcmp(folder, real) == 0)
        rest = strdup(name);
    else if (folder && real && within(folder, real))
        rest = sel_join_path(within(folder, real), name);
    free(parent);
    free(folder);
    free(real);
    return rest;
}

char *sel_path_told(const struct sel_plan *plan, const char *path) {
    const char *told = sel_plan_written(plan, path);
    if (told != path || !plan->folder)
        return sel_without_secrets(told);
    const char *rest = within(plan->folder, path);
    char *found = rest ? NULL : from_plan(plan, path);
    char *copy = sel_without_secrets(rest ? rest : found ? found : path);
    free(found);
    return copy;
}
