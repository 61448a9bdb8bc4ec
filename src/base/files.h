// SPDX-License-Identifier: MIT
//
// Whole files: read one, and replace one without ever leaving half of it behind.
#ifndef SEL_BASE_FILES_H
#define SEL_BASE_FILES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"

// A name for a temporary file in the folder of `path`, with the same ending; free with free.
// NULL: out of memory. The file is not made.
char *sel_temporary_name(const char *path);

// fsyncs `temporary`, renames it to `path` and fsyncs the folder. On failure removes `temporary`
// and leaves `path` as it was (unless only the last step failed, and the message says so).
sel_status sel_replace_file(sel_context *context, const char *temporary, const char *path);

// Writes `length` bytes to `path` the same way. Fails when it exists and overwrite is false.
sel_status sel_write_file(
    sel_context *context, const char *path, const void *bytes, size_t length, bool overwrite);

// Whether two paths lead to one file, by name or by device and inode.
bool sel_is_same_file(const char *a, const char *b);

// SEL_BAD_INPUT when `path` exists and overwrite is false, is no plain file, or its folder is
// missing; SEL_IO when the folder cannot be written to.
sel_status sel_check_output(sel_context *context, const char *path, bool overwrite);

// SEL_BAD_INPUT, "PATH: WHAT: give a name that ends in .png", unless the path ends in `ending`
// (".png"), in capitals or not, after a name.
sel_status sel_check_ending(
    sel_context *context, const char *path, const char *ending, const char *what);

// Makes a folder unless it is there; `made` (may be NULL) tells which. Its parent must exist.
sel_status sel_make_folder(sel_context *context, const char *path, bool *made);

// Reads a whole file of at most `most` bytes; *bytes (free with free) ends in a NUL not counted.
// After a failure *bytes is NULL.
sel_status sel_read_file(
    sel_context *context, const char *path, size_t most, char **bytes, size_t *length);

// folder/name, or name alone when it is absolute or a /vsi path. Free with free; NULL: no memory.
char *sel_join_path(const char *folder, const char *name);

// A path with its links resolved, to be freed with free; NULL in *real when there is no such path.
// False: out of memory.
bool sel_resolve_path(const char *path, char **real);

// The folder part of a path, "." when there is none. Free with free; NULL: no memory.
char *sel_folder_of(const char *path);

#endif
