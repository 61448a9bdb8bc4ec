// SPDX-License-Identifier: MIT
//
// Scans for line ends outside quotes. A doubled quote inside a quoted field flips the state twice.
#include "plan/csv_lines.h"

#include <stdbool.h>

static bool is_line_end(char byte) {
    return byte == '\n' || byte == '\r';
}

size_t sel_csv_record_lines(const char *bytes, size_t length, int *lines, size_t most) {
    size_t records = 0;
    int line = 1;
    bool quoted = false, in_record = false;
    for (size_t i = 0; i < length; i++) {
        if (!in_record && !is_line_end(bytes[i])) {
            in_record = true;
            if (records < most)
                lines[records] = line;
            records++;
        }
        if (bytes[i] == '"')
            quoted = !quoted;
        if (bytes[i] == '\n') {
            line++;
            in_record = quoted && in_record;
        }
    }
    return records;
}
