// SPDX-License-Identifier: MIT
//
// Made printable first (utf8.h), then the five characters that mean something to markup.
#include "fieldkit/markup.h"

#include <string.h>

#include "output/utf8.h"

static const char *entity(char byte) {
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

static void escape(struct sel_text *text, const char *chars) {
    while (*chars) {
        const char *name = entity(*chars);
        if (name) {
            sel_text_add(text, name);
            chars++;
        } else if (no_xml_character(chars)) {
            sel_text_add(text, "\xEF\xBF\xBD");
            chars += 3;
        } else {
            sel_text_add_bytes(text, chars++, 1);
        }
    }
}

void sel_markup_add(struct sel_text *text, const char *chars) {
    struct sel_text printable;
    if (!chars)
        return;
    sel_text_init(&printable);
    sel_utf8_add_printable(&printable, chars);
    text->failed = text->failed || printable.failed;
    if (printable.chars)
        escape(text, printable.chars);
    sel_text_clear(&printable);
}

void sel_markup_wrap(
    struct sel_text *text, const char *before, const char *chars, const char *after) {
    sel_text_add(text, before);
    sel_markup_add(text, chars);
    sel_text_add(text, after);
}

void sel_markup_name(struct sel_text *text, const char *chars) {
    sel_markup_wrap(text, "<bdi>", chars, "</bdi>");
}
