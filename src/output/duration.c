// SPDX-License-Identifier: MIT
//
// Rounded before it is split, so that 59.6 min is an hour and not 0 h 60 min.
#include "output/duration.h"

#include <math.h>

void sel_add_duration(struct sel_text *text, double minutes) {
    if (!isfinite(minutes)) {
        sel_text_add(text, "unknown");
        return;
    }
    long whole = lround(minutes);
    if (whole == 0 && minutes > 0.0)
        sel_text_add(text, "under 1 min");
    else if (whole < 60)
        sel_text_addf(text, "%ld min", whole);
    else if (whole % 60 == 0)
        sel_text_addf(text, "%ld h", whole / 60);
    else
        sel_text_addf(text, "%ld h %02ld min", whole / 60, whole % 60);
}
