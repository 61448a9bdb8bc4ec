// SPDX-License-Identifier: MIT
//
// Why a site ranks where it does, told from the written GeoPackage alone.
#ifndef SEL_EXPLAIN_EXPLAIN_H
#define SEL_EXPLAIN_EXPLAIN_H

#include "base/status.h"
#include "base/text.h"

// rank 0: all sites, in short.
sel_status sel_explain_write(
    sel_context *context, const char *geopackage, int rank, struct sel_text *text);

// The same for a pair of habitats, "riparian wood | hay meadow" (in any order).
sel_status sel_explain_pair_write(
    sel_context *context, const char *geopackage, const char *pair, struct sel_text *text);

#endif
