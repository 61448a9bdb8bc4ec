// SPDX-License-Identifier: MIT
//
// Which line of a CSV file each record begins in: OGR counts records, people count lines.
#ifndef SEL_PLAN_CSV_LINES_H
#define SEL_PLAN_CSV_LINES_H

#include <stddef.h>

// Writes the 1-based lines in which records begin, the header's first, to `lines`, at most `most`;
// returns how many records there are. Empty lines begin no record; a quoted field may run over
// several lines (RFC 4180).
size_t sel_csv_record_lines(const char *bytes, size_t length, int *lines, size_t most);

#endif
