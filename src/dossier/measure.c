// SPDX-License-Identifier: MIT
//
// What a criterion measures, with its unit: degrees, per cent, and for the access metres or, where
// the plan goes by time, minutes on foot. The unit is that of the file's table `criteria`.
#include <math.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"

bool sel_dossier_on_foot(const struct sel_dossier *dossier) {
    const char *access = sel_criterion_name(SEL_CRITERION_ACCESS);
    for (size_t i = 0; i < dossier->criterion_count; i++) {
        const struct sel_criterion_row *row = &dossier->criteria[i];
        if (row->criterion && strcmp(row->criterion, access) == 0)
            return row->unit && strcmp(row->unit, "min") == 0;
    }
    return false;
}

double sel_site_measure(const struct sel_dossier *dossier, const struct sel_site_row *site,
    enum sel_criterion criterion) {
    const double measures[SEL_CRITERIA] = {site->edge_contrast, site->slope_deg, site->sun_share,
        dossier->on_foot ? site->walk_min : site->access_m};
    return measures[criterion];
}

double sel_candidate_measure(const struct sel_dossier *dossier,
    const struct sel_candidate_row *candidate, enum sel_criterion criterion) {
    const double measures[SEL_CRITERIA] = {candidate->edge_contrast, candidate->slope_deg,
        candidate->sun_share, dossier->on_foot ? candidate->walk_min : candidate->access_m};
    return measures[criterion];
}

struct unit {
    double scale; // from the file's unit to the one that is shown
    int decimals;
    const char *words;
    bool tight; // no space before it
};

static struct unit unit_of(const struct sel_dossier *dossier, enum sel_criterion criterion) {
    switch (criterion) {
    case SEL_CRITERION_SLOPE:
        return (struct unit){1.0, 1, "\xC2\xB0", true};
    case SEL_CRITERION_SUN:
        return (struct unit){100.0, 0, "%", false};
    case SEL_CRITERION_ACCESS:
        return dossier->on_foot ? (struct unit){1.0, 1, "min", false}
                                : (struct unit){1.0, 0, "m", false};
    default:
        return (struct unit){1.0, 2, "", true};
    }
}

void sel_dossier_add_measure(
    struct sel_dossier *dossier, enum sel_criterion criterion, double measure) {
    struct unit unit = unit_of(dossier, criterion);
    sel_html_number(
        dossier->html, unit.scale * measure, unit.decimals, unit.tight ? "" : unit.words);
    if (unit.tight && isfinite(measure))
        sel_text_add(dossier->html, unit.words);
}

void sel_dossier_add_bound(
    struct sel_dossier *dossier, enum sel_criterion criterion, double bound) {
    struct unit unit = unit_of(dossier, criterion);
    sel_text_addf(
        dossier->html, "%.6g%s%s", unit.scale * bound, unit.tight ? "" : "&nbsp;", unit.words);
}
