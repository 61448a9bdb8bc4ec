// SPDX-License-Identifier: MIT
//
// One part of a run that was cut up: a GeoPackage with the part's edges and everything measured, to
// full precision, the blocks of ground it holds and the fingerprint of the plan it was made with.
#ifndef SEL_OUTPUT_PART_H
#define SEL_OUTPUT_PART_H

#include "output/geopackage.h"
#include "survey/measure.h"

enum { SEL_FINGERPRINT_SIZE = 65 };

struct sel_part_facts {
    int part, parts;
    struct sel_cut cut;                     // the ground that was measured
    char fingerprint[SEL_FINGERPRINT_SIZE]; // SHA-256 of plan, habitats and grid as used, hex
};

// The fingerprint that all parts of a run share.
sel_status sel_part_fingerprint(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, char fingerprint[SEL_FINGERPRINT_SIZE]);

// Writes the part's tables, closes and moves into place; `file` is freed whatever comes.
sel_status sel_part_finish(struct sel_geopackage *file, const struct sel_findings *findings,
    const struct sel_part_facts *facts);

// Reads a part's facts. SEL_BAD_INPUT when the file is no part.
sel_status sel_part_facts_read(
    sel_context *context, const char *path, struct sel_part_facts *facts);

// SEL_BAD_INPUT when the part was made from other files than those that are there now, naming the
// first one. Files are told apart by checksum, by size where there is none; plan and habitat table
// are the fingerprint's.
sel_status sel_part_check_inputs(
    sel_context *context, const char *path, struct sel_geopackage *file);

// Adds a part's candidates and counts to the findings and its edges to `file`.
sel_status sel_part_join(sel_context *context, const char *path, struct sel_geopackage *file,
    struct sel_findings *findings);

#endif
