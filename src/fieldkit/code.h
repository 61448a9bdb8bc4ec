// SPDX-License-Identifier: MIT
//
// A two-dimensional code (a symbol of ISO/IEC 18004, made by libqrencode) drawn as inline SVG.
#ifndef SEL_FIELDKIT_CODE_H
#define SEL_FIELDKIT_CODE_H

#include <stdbool.h>

#include "base/text.h"

// Whether a symbol can hold the text and still fit a label: 1 to 106 printable characters of ASCII,
// which is what the sixth size of symbols holds at level M.
bool sel_code_fits(const char *text);

// Appends the symbol of a text that fits, its quiet zone included; the text itself stands for it
// where it cannot be seen. `module_mm` is the side of one of its squares on paper.
void sel_code_draw(const char *text, double module_mm, struct sel_text *html);

#endif
