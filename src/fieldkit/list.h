// SPDX-License-Identifier: MIT
//
// kit.html and kit.csv: the rounds, and what each of them takes along.
#ifndef SEL_FIELDKIT_LIST_H
#define SEL_FIELDKIT_LIST_H

#include "base/text.h"
#include "fieldkit/data.h"

void sel_fieldkit_list_html(const struct sel_fieldkit *kit, struct sel_text *html);
void sel_fieldkit_list_csv(const struct sel_fieldkit *kit, struct sel_text *csv);

#endif
