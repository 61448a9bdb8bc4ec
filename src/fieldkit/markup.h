// SPDX-License-Identifier: MIT
//
// Text for HTML and XML: whatever a name holds, it comes out as text.
#ifndef SEL_FIELDKIT_MARKUP_H
#define SEL_FIELDKIT_MARKUP_H

#include "base/text.h"

// Appends `chars` (NULL: nothing) as content of an element or of a quoted attribute: markup is
// escaped; control characters, those that turn the line's direction and what XML cannot hold are
// replaced by U+FFFD.
void sel_markup_add(struct sel_text *text, const char *chars);

// The same, with `before` and `after` as they stand around it.
void sel_markup_wrap(
    struct sel_text *text, const char *before, const char *chars, const char *after);

// The same for a name among other words: in HTML's <bdi>, so that right-to-left writing does not
// reorder its surroundings.
void sel_markup_name(struct sel_text *text, const char *chars);

#endif
