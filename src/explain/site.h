// SPDX-License-Identifier: MIT
//
// One site explained in full. Internal to explain/.
#ifndef SEL_EXPLAIN_SITE_H
#define SEL_EXPLAIN_SITE_H

#include "base/text.h"
#include "output/package.h"

// Appends all that the file tells of a primary: place, criteria, bearings, sun, reserves, rivals.
sel_status sel_explain_site(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text);

// What a site measures by a criterion, and which of the plan's criteria a row tells of (-1: none we
// know).
double sel_explain_measure(const struct sel_site_row *site, int criterion);
int sel_explain_criterion(const struct sel_criterion_row *row);

// Its parts, in order. Those that read a table can fail.
void sel_explain_place(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *text);
sel_status sel_explain_score(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text);
sel_status sel_explain_change(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text);
void sel_explain_bearings(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *text);
sel_status sel_explain_sun(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text);
void sel_explain_reserves(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *text);
sel_status sel_explain_rivals(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text);

#endif
