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

// A file `name` of the folder `real` as seen from `folder`, both resolved; NULL in *rest when it
// does not lie within. False: out of memory.
static bool relate(const char *folder, const char *real, const char *name, char **rest) {
    const char *inner = within(folder, real);
    if (strcmp(folder, real) == 0)
        *rest = strdup(name);
    else if (inner)
        *rest = sel_join_path(inner, name);
    else
        return true;
    return *rest;
}

// A whole path from the plan's folder, links within both resolved; NULL in *rest when it does not
// lie within, or nobody knows. False: out of memory.
static bool from_plan(const struct sel_plan *plan, const char *path, char **rest) {
    *rest = NULL;
    if (path[0] != '/' || strncmp(path, "/vsi", 4) == 0)
        return true;
    char *parent = sel_folder_of(path), *folder = NULL, *real = NULL;
    bool able =
        parent && sel_resolve_path(plan->folder, &folder) && sel_resolve_path(parent, &real);
    if (able && folder && real)
        able = relate(folder, real, strrchr(path, '/') + 1, rest);
    free(parent);
    free(folder);
    free(real);
    return able;
}

char *sel_path_told(const struct sel_plan *plan, const char *path) {
    const char *told = sel_plan_written(plan, path);
    if (told != path || !plan->folder)
        return sel_without_secrets(told);
    const char *rest = within(plan->folder, path);
    char *found = NULL;
    if (!rest && !from_plan(plan, path, &found))
        return NULL;
    char *copy = sel_without_secrets(rest ? rest : found ? found : path);
    free(found);
    return copy;
}
