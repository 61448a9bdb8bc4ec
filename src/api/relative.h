// SPDX-License-Identifier: MIT
//
// A file's path as seen from a folder, so that a plan can be moved together with its data.
#ifndef SEL_API_RELATIVE_H
#define SEL_API_RELATIVE_H

// Free with free; NULL: out of memory. A /vsi path, or one that cannot be resolved, stays as it is.
char *sel_relative_path(const char *folder, const char *path);

#endif
