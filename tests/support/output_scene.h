// SPDX-License-Identifier: MIT
//
// A survey of the invented Alder Brook valley made by hand, for tests of the output: no other stage
// has a part in it. Everything is a plain function of the cell, so that tests can say what must
// come out.
#ifndef SEL_TEST_OUTPUT_SCENE_H
#define SEL_TEST_OUTPUT_SCENE_H

#include "edge/trace.h"
#include "survey/result.h"

struct output_scene {
    sel_context *context;
    char *folder; // temporary; removed by output_scene_free
    struct sel_plan plan;
    struct sel_study study;
    struct sel_survey survey;
};

struct output_scene_size {
    int64_t rows, cols; // of 10 m cells
    int sites;
    int reserves; // of each site that has room for them
    double apart_m;
    bool no_access; // the criterion is not in use
};

enum {
    SCENE_ARABLE = 1,
    SCENE_MEADOW,
    SCENE_WOOD,
    SCENE_PLANTATION,
    SCENE_HEATH,
    SCENE_VILLAGE,
    SCENE_WATER,
    SCENE_HEDGE,
    SCENE_FEN,
    SCENE_HABITATS = SCENE_FEN
};

// Aborts when memory is out. Names of habitats, parcels and notes are hostile on purpose: quotes,
// markup, emoji, right-to-left writing, SQL, terminal escapes.
struct output_scene *output_scene_new(struct output_scene_size size);

// The same with access by time: 80 m a minute, and walks from 300 m west of each site.
struct output_scene *output_scene_on_foot(struct output_scene_size size);
void output_scene_free(struct output_scene *scene);

// folder/name; freed with the scene's folder path, by the caller.
char *output_scene_path(const struct output_scene *scene, const char *name);

// The field days of its plan.
struct sel_plan_field output_scene_field(void);

// The habitat of a cell.
sel_habitat_id output_scene_habitat(const struct output_scene *scene, int64_t row, int64_t col);

// The runs of cracks of one 512-cell block as straight lines.
void output_scene_block(const struct output_scene *scene, int64_t block_row, int64_t block_col,
    struct sel_traced_lines *lines);

// Writes the whole survey with its edges; the blocks in turn, or last block first.
sel_status output_scene_write(
    struct output_scene *scene, const char *path, bool overwrite, bool backwards);

// The name of a criterion's column of `sites`: "v_slope" for prefix 'v'. Free with free.
char *output_scene_column(char prefix, enum sel_criterion criterion);

// Runs a command line through the shell; returns its exit status and, when `output` is not NULL,
// what it printed (free with free). Aborts when it cannot be run.
int output_scene_run(const char *command, char **output);

// The answer of the sqlite3 shell to a query on a file, without its last line break; columns are
// parted by "|". `query` must not hold double quotes. Free with free.
char *output_scene_sql(const char *path, const char *query);

// How many entries the scene's folder holds whose names contain `part`.
int output_scene_files(const struct output_scene *scene, const char *part);

#endif
