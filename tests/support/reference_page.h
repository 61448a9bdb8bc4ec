// SPDX-License-Identifier: MIT
//
// Pages of docs/ that are made from tables in the code.
#ifndef SEL_TEST_REFERENCE_PAGE_H
#define SEL_TEST_REFERENCE_PAGE_H

#include "base/text.h"

// Fails the test unless docs/NAME is `text`; with SELVEDGE_REGENERATE=1 writes the page anew first.
// Clears the text.
void reference_page_is(const char *name, struct sel_text *text);

#endif
