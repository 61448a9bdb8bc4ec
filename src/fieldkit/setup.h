// SPDX-License-Identifier: MIT
//
// setup.html: one page per site for the person who puts the trap up.
#ifndef SEL_FIELDKIT_SETUP_H
#define SEL_FIELDKIT_SETUP_H

#include "base/text.h"
#include "fieldkit/data.h"

void sel_fieldkit_setup_cards(const struct sel_fieldkit *kit, struct sel_text *html);

#endif
