// SPDX-License-Identifier: MIT
//
// Which candidates the page takes along so that it can choose anew. Internal to dossier/.
#ifndef SEL_DOSSIER_CANDIDATES_H
#define SEL_DOSSIER_CANDIDATES_H

#include "dossier/parts.h"

// Rows of dossier->candidates, rising, so best first: all of them, or where there are too many the
// best under the plan's weights, those that became sites, and in every square of half the least
// distance the best by score and under each criterion alone, of each group that has a quota.
struct sel_dossier_pick {
    size_t *rows; // owned
    size_t count;
};

sel_status sel_dossier_pick(const struct sel_dossier *dossier, struct sel_dossier_pick *pick);
void sel_dossier_pick_clear(struct sel_dossier_pick *pick);

// The worth of a candidate's measure, 0..1.
double sel_candidate_worth(const struct sel_dossier *dossier,
    const struct sel_candidate_row *candidate, enum sel_criterion criterion);

// The number of the pair or block that it belongs to; -1: none.
int sel_candidate_group(const struct sel_dossier *dossier,
    const struct sel_candidate_row *candidate, enum sel_quota_kind kind);

#endif
