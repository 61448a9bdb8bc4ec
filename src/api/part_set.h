// SPDX-License-Identifier: MIT
//
// The parts that a run is to be joined from: all of one cut, each there once.
#ifndef SEL_API_PART_SET_H
#define SEL_API_PART_SET_H

#include "api/jobs.h"
#include "output/part.h"

struct sel_part_given {
    const char *path; // borrowed
    struct sel_part_facts facts;
};

struct sel_part_set {
    struct sel_part_given *parts; // owned; in the order of their numbers
    size_t count;
    struct sel_cut ground; // what they hold together: the whole
};

// Reads the facts of all parts. SEL_BAD_INPUT, naming the part, when one was made with another plan
// or cut, is missing or doubled. Clear the set whatever comes.
sel_status sel_part_set_read(sel_context *context, const struct sel_opened *opened,
    const char *const *paths, size_t count, struct sel_part_set *set);
void sel_part_set_clear(struct sel_part_set *set);

#endif
