// SPDX-License-Identifier: MIT
//
// How every output writes a length of time.
#ifndef SEL_OUTPUT_DURATION_H
#define SEL_OUTPUT_DURATION_H

#include "base/text.h"

// "35 min", "1 h", "2 h 05 min", to the nearest whole minute, half a minute up; "under 1 min" below
// half a minute; "unknown" for NAN.
void sel_add_duration(struct sel_text *text, double minutes);

#endif
