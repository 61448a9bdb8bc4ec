// SPDX-License-Identifier: MIT
//
// Several files written to one folder as one: all of them stand in the end, or none has changed.
#ifndef SEL_BASE_FOLDER_H
#define SEL_BASE_FOLDER_H

#include "base/status.h"
#include "base/text.h"

enum { SEL_FOLDER_FILES_MOST = 16 };

// A file that is to be: `text` is owned.
struct sel_folder_file {
    const char *name; // static
    struct sel_text text;
};

struct sel_folder {
    const char *path; // borrowed
    struct sel_folder_file files[SEL_FOLDER_FILES_MOST];
    size_t count;
};

// The text of one more file, to be filled in.
struct sel_text *sel_folder_add(struct sel_folder *folder, const char *name);

// Refuses early what cannot be written: a folder that is a file, files that exist when `overwrite`
// is false.
sel_status sel_folder_check(sel_context *context, const struct sel_folder *folder, bool overwrite);

// Makes the folder if it is not there (its parent must be), writes all files under temporary names,
// then moves them into place. When a move fails, those moved before are put back.
sel_status sel_folder_write(sel_context *context, const struct sel_folder *folder, bool overwrite);

void sel_folder_clear(struct sel_folder *folder);

#endif
