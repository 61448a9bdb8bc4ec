// SPDX-License-Identifier: MIT
//
// labels.html: labels to print, one small and one large for each bottle of each site.
#ifndef SEL_FIELDKIT_LABELS_H
#define SEL_FIELDKIT_LABELS_H

#include "base/text.h"
#include "fieldkit/data.h"

void sel_fieldkit_labels(const struct sel_fieldkit *kit, struct sel_text *html);

#endif
