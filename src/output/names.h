// SPDX-License-Identifier: MIT
//
// Names that several outputs share: site ids, pairs, roles, places of the compass.
#ifndef SEL_OUTPUT_NAMES_H
#define SEL_OUTPUT_NAMES_H

#include "survey/result.h"

enum { SEL_SITE_ID_SIZE = 32 };

// "S01", a reserve "S01R1"; as many digits as the highest rank needs, two at least.
void sel_site_id(
    const struct sel_survey *survey, const struct sel_site *site, char id[SEL_SITE_ID_SIZE]);

// The id of the primary that a rank belongs to.
void sel_primary_id(const struct sel_survey *survey, int rank, char id[SEL_SITE_ID_SIZE]);

// "primary" or "reserve". Static storage.
const char *sel_role_name(const struct sel_site *site);

// Name of a habitat; NULL for the unknown one. Borrowed.
const char *sel_habitat_label(const struct sel_habitats *habitats, sel_habitat_id id);

// "a | b". Free with free; NULL: out of memory.
char *sel_pair_label(const struct sel_habitats *habitats, sel_habitat_id a, sel_habitat_id b);

// The name of the block that a candidate's quotas count by; NULL: it is in none. Borrowed.
const char *sel_block_name(const struct sel_survey *survey, const struct sel_candidate *candidate);

// "edge contrast" for "edge_contrast". `words` has room for SEL_CRITERION_WORDS bytes.
enum { SEL_CRITERION_WORDS = 40 };
void sel_criterion_words(const char *name, char words[SEL_CRITERION_WORDS]);

// "north-north-east" for 20 degrees: the nearest of sixteen. Static storage.
const char *sel_compass_name(double degrees);

// A direction to the nearest whole degree, 0..359, and the first end of an axis, 0..179, as every
// paper tells them; halves go up.
int sel_whole_bearing(double degrees);
int sel_whole_axis(double degrees);

#endif
