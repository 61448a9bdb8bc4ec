// SPDX-License-Identifier: MIT
//
// A temporary folder with the files a plan may name, for tests of plans and habitat tables.
#ifndef SEL_TEST_PLAN_FILES_H
#define SEL_TEST_PLAN_FILES_H

#include "plan/plan.h"

struct plan_files {
    char *folder; // holds survey.yaml, habitats.csv and the named files, empty but there
    sel_context *context;
    struct sel_plan plan; // of the last plan_files_read
};

// The habitat table of the folder: meadow 1, wood 2 and 3, brook without a value.
extern const char plan_files_table[];

// The least a plan must say: two rasters and the table.
extern const char plan_files_least[];

// The least plan with more lines after it, which begin in line 3. In static storage; a new call
// overwrites it.
const char *plan_files_with(const char *more);

void plan_files_open(struct plan_files *files);
void plan_files_close(struct plan_files *files);

// Writes a file of the folder.
void plan_files_write(const struct plan_files *files, const char *name, const char *text);

// folder/name; owned by the caller.
char *plan_files_path(const struct plan_files *files, const char *name);

// Writes survey.yaml and reads it into files->plan, dropping the plan read before.
sel_status plan_files_read(struct plan_files *files, const char *text);

// Reads `text` as survey.yaml and asserts that it fails with exactly this message, in which "@"
// stands for the folder.
void plan_files_refused(struct plan_files *files, const char *text, const char *message);

// Asserts the context's message the same way.
void plan_files_message(const struct plan_files *files, const char *message);

#endif
