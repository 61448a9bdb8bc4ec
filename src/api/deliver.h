// SPDX-License-Identifier: MIT
//
// What runs have in common at their end: where edges go, and the result with its summary.
#ifndef SEL_API_DELIVER_H
#define SEL_API_DELIVER_H

#include "output/geopackage.h"
#include "survey/survey.h"

// The sink that writes edges into a file while they are traced.
struct sel_edge_sink sel_sink_of(struct sel_geopackage *file);

// Takes how a survey ended, and the file over: writes both the result and *summary, or after a
// failure neither; when nothing qualifies the summary only. Returns how it ended in the end.
sel_status sel_deliver(sel_context *context, sel_status ended, const struct sel_survey *survey,
    struct sel_geopackage *file, char **summary);

#endif
