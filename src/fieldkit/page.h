// SPDX-License-Identifier: MIT
//
// The frame of the kit's HTML pages: one file each, no script, nothing fetched, A4 when printed.
#ifndef SEL_FIELDKIT_PAGE_H
#define SEL_FIELDKIT_PAGE_H

#include "base/text.h"

// Opens a page. `what` ("Labels") and the survey's `title` make its title; `style` is put after the
// rules that all pages share.
void sel_page_begin(struct sel_text *html, const char *what, const char *title, const char *style);
void sel_page_end(struct sel_text *html);

// The list of cautions under its own heading.
void sel_page_cautions(struct sel_text *html);

#endif
