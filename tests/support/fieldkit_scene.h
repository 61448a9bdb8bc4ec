// SPDX-License-Identifier: MIT
//
// A field kit made from the hand-made survey of output_scene.h, for tests of its parts.
#ifndef SEL_TEST_FIELDKIT_SCENE_H
#define SEL_TEST_FIELDKIT_SCENE_H

#include "fieldkit/data.h"
#include "output_scene.h"

struct fieldkit_scene {
    struct output_scene *survey;
    char *geopackage; // in the survey's folder
    struct sel_package package;
    struct sel_fieldkit kit;
};

// What is wanted; changed before fieldkit_scene_new takes it.
struct fieldkit_scene_wish {
    struct output_scene_size size;
    struct sel_plan_field field;
    int traps; // at a site
    struct sel_date from, to;
    void (*adjust)(struct output_scene *survey); // NULL: nothing; before the survey is written
};

// Twelve sites with a reserve each on ground of 4 km by 3 km, 15 May to 31 August 2027, days of
// 8 hours, one trap a site, heads changed every 7 days, 500 ml, no pans, no preservative or
// collector named.
struct fieldkit_scene_wish fieldkit_scene_usual(void);

// Writes the survey and reads the kit from it. Aborts when that fails.
struct fieldkit_scene *fieldkit_scene_new(struct fieldkit_scene_wish wish);
void fieldkit_scene_free(struct fieldkit_scene *scene);

// Writes `text` into the survey's folder and returns the path (free with free).
char *fieldkit_scene_file(
    const struct fieldkit_scene *scene, const char *name, const struct sel_text *text);

// Runs the Python script tests/support/NAME on a file and returns its exit status; what it printed
// goes to *output (free with free).
int fieldkit_scene_python(const char *name, const char *path, char **output);

// How many times `part` stands in `whole`.
size_t fieldkit_scene_count(const char *whole, const char *part);

#endif
