// SPDX-License-Identifier: MIT
//
// The files are empty: a plan is checked without opening what it names, but for the habitat table.
#include "plan_files.h"

#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/files.h"
#include "base/text.h"
#include "scene.h"

const char plan_files_table[] =
    "value,habitat,canopy_m,cover,wetness,edge,walk,trap,water,ground,support\n"
    "1,hay meadow,0.5,0,0.3,1,0.9,yes,no,firm,no\n"
    "2,alder wood,14,0.8,0.8,1,0.5,yes,no,wet,yes\n"
    "3,alder wood,14,0.8,0.8,1,0.5,yes,no,wet,yes\n"
    ",brook,0,0,1,0.6,0.2,no,yes,wet,no\n"
    ",hedge,3,0.6,0.3,1,0.2,yes,no,firm,yes\n";

const char plan_files_least[] = "rasters: { landcover: landcover.tif, elevation: elevation.tif }\n"
                                "habitats: habitats.csv\n";

const char *plan_files_with(const char *more) {
    static char text[8192];
    snprintf(text, sizeof text, "%s%s", plan_files_least, more);
    return text;
}

static const char *const empty_files[] = {"landcover.tif", "elevation.tif", "canopy.tif",
    "area.gpkg", "brook.gpkg", "hedges.gpkg", "roads.gpkg", "paths.gpkg", "parcels.gpkg",
    "zones.gpkg", "running.gpkg"};

char *plan_files_path(const struct plan_files *files, const char *name) {
    char *path = sel_join_path(files->folder, name);
    assert_non_null(path);
    return path;
}

void plan_files_write(const struct plan_files *files, const char *name, const char *text) {
    char *path = plan_files_path(files, name);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, strlen(text), file), strlen(text));
    assert_int_equal(fclose(file), 0);
    free(path);
}

void plan_files_open(struct plan_files *files) {
    *files = (struct plan_files){.folder = scene_folder(), .context = sel_context_new()};
    assert_non_null(files->context);
    for (size_t i = 0; i < sizeof empty_files / sizeof empty_files[0]; i++)
        plan_files_write(files, empty_files[i], "");
    plan_files_write(files, "habitats.csv", plan_files_table);
}

void plan_files_close(struct plan_files *files) {
    sel_plan_clear(&files->plan);
    sel_context_free(files->context);
    scene_remove(files->folder);
}

sel_status plan_files_read(struct plan_files *files, const char *text) {
    char *path = plan_files_path(files, "survey.yaml");
    plan_files_write(files, "survey.yaml", text);
    sel_plan_clear(&files->plan);
    sel_context_begin(files->context);
    sel_status status = sel_plan_read(files->context, path, &files->plan);
    free(path);
    return status;
}

void plan_files_message(const struct plan_files *files, const char *message) {
    struct sel_text wanted;
    sel_text_init(&wanted);
    for (const char *at = message; *at; at++) {
        if (*at == '@')
            sel_text_add(&wanted, files->folder);
        else
            sel_text_add_bytes(&wanted, at, 1);
    }
    char *chars = sel_text_take(&wanted);
    assert_string_equal(sel_context_message(files->context), chars);
    free(chars);
}

void plan_files_refused(struct plan_files *files, const char *text, const char *message) {
    sel_status status = plan_files_read(files, text);
    if (status == SEL_OK)
        fail_msg("was accepted, but should say: %s", message);
    plan_files_message(files, message);
    assert_int_equal(status, SEL_BAD_INPUT);
    assert_null(files->plan.path);
}
