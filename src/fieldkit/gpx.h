// SPDX-License-Identifier: MIT
//
// sites.gpx: sites, reserves and access points as waypoints, walks as tracks (GPX 1.1).
#ifndef SEL_FIELDKIT_GPX_H
#define SEL_FIELDKIT_GPX_H

#include "base/text.h"
#include "fieldkit/data.h"

void sel_fieldkit_gpx(const struct sel_fieldkit *kit, struct sel_text *gpx);

#endif
