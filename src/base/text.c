// SPDX-License-Identifier: MIT
//
// Growing text with a sticky failure mark.
#include "base/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "selvedge.h"

void sel_text_init(struct sel_text *text) {
    *text = (struct sel_text){0};
}

void sel_text_clear(struct sel_text *text) {
    free(text->chars);
    sel_text_init(text);
}

static bool reserve(struct sel_text *text, size_t more) {
    if (text->failed)
        return false;
    char *grown = sel_grow(text->chars, text->length + more + 1, &text->capacity, 1);
    if (!grown) {
        text->failed = true;
        return false;
    }
    text->chars = grown;
    return true;
}

void sel_text_add_bytes(struct sel_text *text, const char *bytes, size_t length) {
    if (!reserve(text, length))
        return;
    memcpy(text->chars + text->length, bytes, length);
    text->length += length;
    text->chars[text->length] = '\0';
}

void sel_text_add(struct sel_text *text, const char *chars) {
    sel_text_add_bytes(text, chars, strlen(chars));
}

void sel_text_addf(struct sel_text *text, const char *format, ...) {
    va_list measure, print;
    va_start(measure, format);
    va_copy(print, measure);
    int length = vsnprintf(NULL, 0, format, measure);
    va_end(measure);
    if (length >= 0 && reserve(text, (size_t)length)) {
        vsnprintf(text->chars + text->length, (size_t)length + 1, format, print);
        text->length += (size_t)length;
    } else {
        text->failed = true;
    }
    va_end(print);
}

char *sel_text_take(struct sel_text *text) {
    if (!reserve(text, 0)) {
        sel_text_clear(text);
        return NULL;
    }
    text->chars[text->length] = '\0';
    char *chars = text->chars;
    sel_text_init(text);
    return chars;
}

void sel_text_free(char *text) {
    free(text);
}
