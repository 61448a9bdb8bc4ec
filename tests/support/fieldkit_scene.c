// SPDX-License-Identifier: MIT
#include "fieldkit_scene.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/files.h"

static void *must(void *memory) {
    if (!memory)
        abort();
    return memory;
}

struct fieldkit_scene_wish fieldkit_scene_usual(void) {
    return (struct fieldkit_scene_wish){
        .size = {.rows = 300, .cols = 400, .sites = 12, .reserves = 1, .apart_m = 400},
        .field = output_scene_field(),
        .traps = 1,
        .from = {2027, 5, 15},
        .to = {2027, 8, 31}};
}

static void must_hold(const struct fieldkit_scene *scene, sel_status status) {
    if (status == SEL_OK)
        return;
    fprintf(stderr, "%s\n", sel_context_message(scene->survey->context));
    abort();
}

struct fieldkit_scene *fieldkit_scene_new(struct fieldkit_scene_wish wish) {
    struct fieldkit_scene *scene = must(calloc(1, sizeof *scene));
    scene->survey = output_scene_new(wish.size);
    scene->survey->plan.field = wish.field;
    scene->survey->plan.permit.traps_per_site = wish.traps;
    scene->survey->plan.season_from = wish.from;
    scene->survey->plan.season_to = wish.to;
    if (wish.adjust)
        wish.adjust(scene->survey);
    scene->geopackage = output_scene_path(scene->survey, "sites.gpkg");
    must_hold(scene, output_scene_write(scene->survey, scene->geopackage, true, false));
    must_hold(scene, sel_package_open(scene->survey->context, scene->geopackage, &scene->package));
    must_hold(scene, sel_fieldkit_read(&scene->package, &scene->kit));
    return scene;
}

void fieldkit_scene_free(struct fieldkit_scene *scene) {
    sel_fieldkit_clear(&scene->kit);
    sel_package_close(&scene->package);
    free(scene->geopackage);
    output_scene_free(scene->survey);
    free(scene);
}

char *fieldkit_scene_file(
    const struct fieldkit_scene *scene, const char *name, const struct sel_text *text) {
    char *path = output_scene_path(scene->survey, name);
    if (text->failed)
        abort();
    must_hold(scene, sel_write_file(scene->survey->context, path, text->chars, text->length, true));
    return path;
}

int fieldkit_scene_python(const char *name, const char *path, char **output) {
    char command[4096];
    snprintf(command, sizeof command, "/usr/bin/python3 '%s/tests/support/%s' '%s' 2>&1",
        SEL_TEST_SOURCE, name, path);
    return output_scene_run(command, output);
}

size_t fieldkit_scene_count(const char *whole, const char *part) {
    size_t count = 0;
    for (const char *at = whole; (at = strstr(at, part)) != NULL; at += strlen(part))
        count++;
    return count;
}
