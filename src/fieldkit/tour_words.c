// SPDX-License-Identifier: MIT
//
// Counts how the walks of a tour are known, then says so.
#include "fieldkit/tour_words.h"

#include "output/duration.h"

static size_t count_walks(
    const struct sel_fieldkit *kit, const struct sel_round *tour, enum sel_walk_source source) {
    size_t count = 0;
    for (size_t i = 0; i < tour->count; i++)
        count += sel_fieldkit_at(kit, tour->first + i)->walk_source == source ? 1 : 0;
    return count;
}

static void add_at_least(struct sel_text *text, bool open_ended, double minutes) {
    if (open_ended && minutes < 0.5) {
        sel_text_add(text, "1 min or more");
        return;
    }
    sel_text_add(text, open_ended ? "at least " : "");
    sel_add_duration(text, minutes);
}

void sel_add_walking(
    const struct sel_fieldkit *kit, const struct sel_round *tour, struct sel_text *text) {
    size_t unknown = count_walks(kit, tour, SEL_WALK_UNKNOWN);
    if (unknown == tour->count) {
        sel_text_add(text, "not known, not counted");
        return;
    }
    add_at_least(text, unknown + count_walks(kit, tour, SEL_WALK_STRAIGHT) > 0, tour->walk_min);
    if (unknown > 0)
        sel_text_addf(text, ", without %zu walk%s not known", unknown, unknown == 1 ? "" : "s");
}

void sel_add_whole_tour(
    const struct sel_fieldkit *kit, const struct sel_round *tour, struct sel_text *text) {
    bool known = count_walks(kit, tour, SEL_WALK_GROUND) == tour->count;
    add_at_least(text, !known, sel_round_total_min(tour));
}

void sel_add_walk(const struct sel_fieldkit_site *site, struct sel_text *text) {
    if (site->walk_source == SEL_WALK_UNKNOWN)
        sel_text_add(text, "not known");
    else
        add_at_least(text, site->walk_source == SEL_WALK_STRAIGHT, site->walk_min);
}

const char *sel_travel_ends(const struct sel_fieldkit *kit) {
    return kit->access_count > 0 ? "access points" : "sites";
}
