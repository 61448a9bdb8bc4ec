// SPDX-License-Identifier: MIT
//
// labels.html: labels to print, one small and one large for each bottle of each site.
#ifndef SEL_FIELDKIT_LABELS_H
#define SEL_FIELDKIT_LABELS_H

#include "base/text.h"
#include "fieldkit/data.h"

// SEL_BAD_INPUT when labels are to have codes and a site's id fits none; ids as the survey makes
// them do, but a file that was changed may hold any.
sel_status sel_fieldkit_check_labels(const struct sel_fieldkit *kit);

// After that check.
void sel_fieldkit_labels(const struct sel_fieldkit *kit, struct sel_text *html);

#endif
