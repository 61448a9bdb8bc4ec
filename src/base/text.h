// SPDX-License-Identifier: MIT
//
// A growing text buffer. An append that runs out of memory marks the buffer as failed and later
// appends do nothing, so a writer checks once, at the end.
#ifndef SEL_BASE_TEXT_H
#define SEL_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

struct sel_text {
    char *chars; // NUL-terminated once anything was added; NULL before
    size_t length, capacity;
    bool failed;
};

void sel_text_init(struct sel_text *text);
void sel_text_clear(struct sel_text *text);
void sel_text_add(struct sel_text *text, const char *chars);
void sel_text_add_bytes(struct sel_text *text, const char *bytes, size_t length);
void sel_text_addf(struct sel_text *text, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

// Hands the characters over (free with free) and leaves the buffer empty; NULL when it failed.
char *sel_text_take(struct sel_text *text);

#endif
