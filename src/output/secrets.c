// SPDX-License-Identifier: MIT
//
// Links after RFC 3986: scheme "://" [ userinfo "@" ] host path [ "?" query ].
#include "output/secrets.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static const char MARK[] = "://";
static const char HIDDEN[] = "...";

// Appends what stands after "://" up to the end of the link; returns where it ends.
static const char *add_link(struct sel_text *text, const char *at) {
    size_t length = strcspn(at, " \t\r\n\"'<>");
    const char *end = at + length;
    size_t host = strcspn(at, "/? \t\r\n\"'<>");
    const char *sign = NULL;
    for (size_t i = 0; i < host; i++)
        if (at[i] == '@')
            sign = at + i;
    if (sign) {
        sel_text_add(text, HIDDEN);
        at = sign;
    }
    const char *query = memchr(at, '?', (size_t)(end - at));
    if (!query) {
        sel_text_add_bytes(text, at, (size_t)(end - at));
    } else {
        sel_text_add_bytes(text, at, (size_t)(query + 1 - at));
        sel_text_add(text, HIDDEN);
    }
    return end;
}

char *sel_without_secrets(const char *value) {
    struct sel_text text;
    sel_text_init(&text);
    const char *at = value;
    for (const char *mark; (mark = strstr(at, MARK)) != NULL;) {
        const char *after = mark + strlen(MARK);
        sel_text_add_bytes(&text, at, (size_t)(after - at));
        at = add_link(&text, after);
    }
    sel_text_add(&text, at);
    return sel_text_take(&text);
}
