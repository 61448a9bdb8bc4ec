// SPDX-License-Identifier: MIT
//
// Both paths are resolved, their common folders cut, and one ".." put for each folder left.
#include "api/relative.h"

#include <stdlib.h>
#include <string.h>

#include "base/files.h"
#include "base/text.h"

// Length of the common leading folders, with the slash after them.
static size_t common_folders(const char *a, const char *b) {
    size_t common = 0;
    for (size_t i = 0; a[i] != '\0' && a[i] == b[i]; i++)
        if (a[i] == '/')
            common = i + 1;
    return common;
}

static char *relate(const char *folder, const char *path) {
    struct sel_text from, out;
    sel_text_init(&from);
    sel_text_init(&out);
    sel_text_addf(&from, "%s/", strcmp(folder, "/") == 0 ? "" : folder);
    if (!from.failed) {
        size_t common = common_folders(from.chars, path);
        for (const char *at = from.chars + common; *at != '\0'; at++)
            if (*at == '/')
                sel_text_add(&out, "../");
        sel_text_add(&out, path + common);
    }
    bool failed = from.failed;
    sel_text_clear(&from);
    char *related = failed ? NULL : sel_text_take(&out);
    sel_text_clear(&out);
    return related;
}

char *sel_relative_path(const char *folder, const char *path) {
    if (strncmp(path, "/vsi", 4) == 0)
        return strdup(path);
    char *from = NULL, *to = NULL, *related = NULL;
    if (sel_resolve_path(folder, &from) && sel_resolve_path(path, &to))
        related = from && to ? relate(from, to) : strdup(path);
    free(from);
    free(to);
    return related;
}
