// SPDX-License-Identifier: MIT
//
// A continuation line begins with one blank, which counts among its 75 octets.
#include "fieldkit/ics.h"

#include <string.h>

#include "output/utf8.h"

enum { OCTETS_MOST = 75 };

// The largest part of `chars` within `most` octets that ends between characters.
static size_t part_of(const char *chars, size_t most) {
    size_t taken = 0, length;
    while (chars[taken]) {
        sel_utf8_next(chars + taken, &length);
        if (taken + length > most)
            break;
        taken += length;
    }
    return taken;
}

void sel_ics_line(struct sel_text *ics, const char *line) {
    size_t most = OCTETS_MOST;
    while (strlen(line) > most) {
        size_t taken = part_of(line, most);
        sel_text_add_bytes(ics, line, taken);
        sel_text_add(ics, "\r\n ");
        line += taken;
        most = OCTETS_MOST - 1;
    }
    sel_text_add(ics, line);
    sel_text_add(ics, "\r\n");
}

static void escape_printable(struct sel_text *line, const char *chars) {
    for (; *chars; chars++) {
        if (*chars == '\\' || *chars == ';' || *chars == ',')
            sel_text_add(line, "\\");
        sel_text_add_bytes(line, chars, 1);
    }
}

// Line breaks are taken out first: the printable form would replace them.
void sel_ics_escape(struct sel_text *line, const char *chars) {
    while (chars && *chars) {
        size_t length = strcspn(chars, "\n");
        struct sel_text piece, printable;
        sel_text_init(&piece);
        sel_text_init(&printable);
        sel_text_add_bytes(&piece, chars, length);
        sel_utf8_add_printable(&printable, piece.chars ? piece.chars : "");
        escape_printable(line, printable.chars ? printable.chars : "");
        line->failed = line->failed || piece.failed || printable.failed;
        sel_text_clear(&piece);
        sel_text_clear(&printable);
        chars += length;
        if (*chars == '\n') {
            sel_text_add(line, "\\n");
            chars++;
        }
    }
}
