// SPDX-License-Identifier: MIT
//
// Made printable first (utf8.h), then escaped (escape.h).
#include "fieldkit/markup.h"

#include "output/escape.h"
#include "output/utf8.h"

void sel_markup_add(struct sel_text *text, const char *chars) {
    struct sel_text printable;
    if (!chars)
        return;
    sel_text_init(&printable);
    sel_utf8_add_printable(&printable, chars);
    text->failed = text->failed || printable.failed;
    sel_escape_add(text, printable.chars);
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
