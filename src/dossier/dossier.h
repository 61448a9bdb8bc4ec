// SPDX-License-Identifier: MIT
//
// The dossier: what a permit office and a land manager need to know of a result, as one HTML file
// that asks for nothing from outside, made from the GeoPackage alone.
#ifndef SEL_DOSSIER_DOSSIER_H
#define SEL_DOSSIER_DOSSIER_H

#include "base/status.h"

// Writes the page to `path`, atomically. SEL_BAD_INPUT when the GeoPackage is none of ours, holds
// no site, or was changed.
sel_status sel_dossier_write(
    sel_context *context, const char *geopackage, const char *path, bool overwrite);

#endif
