// SPDX-License-Identifier: MIT
//
// Temporary folders and the way to the real rasters.
#include "scene.h"

#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

const char *scene_real_data(void) {
    static char path[4096];
    const char *given = getenv("SELVEDGE_DATA");
    snprintf(path, sizeof path, "%s", given ? given : SEL_TEST_SOURCE "/../shared/data");
    struct stat facts;
    if (stat(path, &facts) == 0 && S_ISDIR(facts.st_mode))
        return path;
    fprintf(stderr, "SKIPPED: no real rasters at %s (set SELVEDGE_DATA to their folder)\n", path);
    return NULL;
}

char *scene_folder(void) {
    const char *base = getenv("TMPDIR");
    char path[4096];
    snprintf(path, sizeof path, "%s/selvedge-test-XXXXXX", base ? base : "/tmp");
    if (!mkdtemp(path))
        abort();
    return strdup(path);
}

static int remove_entry(const char *path, const struct stat *facts, int type, struct FTW *walk) {
    (void)facts, (void)type, (void)walk;
    return remove(path);
}

void scene_remove(char *folder) {
    nftw(folder, remove_entry, 16, FTW_DEPTH | FTW_PHYS);
    free(folder);
}
