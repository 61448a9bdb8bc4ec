// SPDX-License-Identifier: MIT
//
// Text between markup.
#ifndef SEL_OUTPUT_ESCAPE_H
#define SEL_OUTPUT_ESCAPE_H

#include "base/text.h"

// Appends `chars` (UTF-8 made printable already, see utf8.h; NULL: nothing) as content of an
// element or of a quoted attribute of HTML or XML.
void sel_escape_add(struct sel_text *text, const char *chars);

#endif
