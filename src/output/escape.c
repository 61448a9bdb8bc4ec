// SPDX-License-Identifier: MIT
//
// The five characters that can begin or end markup or a quoted attribute, after the HTML standard
// and XML 1.0; and what XML 1.0 has no room for (section 2.2) becomes U+FFFD.
#include "output/escape.h"

#include <string.h>

static const char *entity_of(char byte) {
    switch (byte) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    default:
        return NULL;
    }
}

// U+FFFE and U+FFFF are well-formed UTF-8, but no characters of XML 1.0.
static bool no_xml_character(const char *at) {
    return strncmp(at, "\xEF\xBF\xBE", 3) == 0 || strncmp(at, "\xEF\xBF\xBF", 3) == 0;
}

void sel_escape_add(struct sel_text *text, const char *chars) {
    const char *at = chars ? chars : "";
    while (*at) {
        const char *entity = entity_of(*at);
        if (entity) {
            sel_text_add(text, entity);
            at++;
        } else if (no_xml_character(at)) {
            sel_text_add(text, "\xEF\xBF\xBD");
            at += 3;
        } else {
            sel_text_add_bytes(text, at++, 1);
        }
    }
}
