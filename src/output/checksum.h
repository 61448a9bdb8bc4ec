// SPDX-License-Identifier: MIT
//
// SHA-256 of local files.
#ifndef SEL_OUTPUT_CHECKSUM_H
#define SEL_OUTPUT_CHECKSUM_H

#include "base/status.h"

enum { SEL_SHA256_SIZE = 65 }; // hexadecimal digits and the NUL

// Reads the file in blocks; looks for a cancel between them. SEL_IO with a message when it cannot
// be read.
sel_status sel_sha256_file(sel_context *context, const char *path, char digest[SEL_SHA256_SIZE]);

#endif
