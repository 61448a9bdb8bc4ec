// SPDX-License-Identifier: MIT
//
// "Why here": what else was eligible within a kilometre of a site, what became of it, and the best
// place that lost. The reasons are those of the run, in words for readers who do not know its
// rules.
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"

static const double REACH_M = 1000.0; // as far as the run lists rivals

// A reason of the table `rivals`: after a number ("12 too near ..."), and of one place ("it
// lies ..."). NULL where there is nothing more to say than the reason itself.
struct reason {
    const char *name, *of_many, *of_one;
};

static const struct reason REASONS[] = {
    {"reserve", "kept as reserves", "it is kept as a reserve"},
    {"too near an occupied place", "too near a trap that stands already",
        "it lies too near a trap that stands already"},
    {"too near a chosen site", "too near a chosen site", "it lies too near a chosen site"},
    {"quota of its pair is full", "between two habitats that have all the sites allowed to them",
        "its two habitats have all the sites allowed to them"},
    {"quota of its block is full", "in a part of the ground that has all the sites allowed to it",
        "its part of the ground has all the sites allowed to it"},
    {"gave way to a minimum",
        "passed over so that every kind of edge or part of the ground gets its share",
        "it gave way so that every kind of edge or part of the ground gets its share"},
    {"gave way to even spread", "passed over so that the sites lie evenly over the ground",
        "it gave way so that the sites lie evenly over the ground"},
    {"lower score", "of lower score",
        "nothing spoke against it but that better places made up the number"},
};

enum { REASONS_KNOWN = sizeof REASONS / sizeof *REASONS };

struct rivals {
    int64_t count, by_reason[REASONS_KNOWN + 1]; // last: a reason that is not known here
    const struct sel_rival_row *best;
};

static int reason_of(const struct sel_rival_row *row) {
    int at = 0;
    while (at < REASONS_KNOWN && (!row->reason || strcmp(row->reason, REASONS[at].name) != 0))
        at++;
    return at;
}

static struct rivals gather(const struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct rivals rivals = {0};
    struct sel_row_span rows = dossier->rival_rows[sel_dossier_index(dossier, site)];
    for (size_t i = 0; i < rows.count; i++) {
        const struct sel_rival_row *row = &dossier->rivals[rows.first + i];
        rivals.count++;
        rivals.by_reason[reason_of(row)]++;
        if (!rivals.best || row->score > rivals.best->score)
            rivals.best = row;
    }
    return rivals;
}

static int64_t chosen_near(const struct sel_dossier *dossier, const struct sel_site_row *site) {
    const struct sel_package *package = dossier->package;
    int64_t count = 0;
    for (size_t i = 0; i < package->site_count; i++) {
        const struct sel_site_row *other = &package->sites[i];
        if (other != site && sel_is_primary(other))
            count += hypot(other->x - site->x, other->y - site->y) * dossier->metres <= REACH_M;
    }
    return count;
}

static void add_counts(struct sel_text *html, const struct rivals *rivals) {
    bool first = true;
    for (int i = 0; i <= REASONS_KNOWN; i++) {
        if (rivals->by_reason[i] == 0)
            continue;
        sel_text_addf(html, "%s %" PRId64 " %s", first ? ":" : ",", rivals->by_reason[i],
            i < REASONS_KNOWN ? REASONS[i].of_many : "for a reason not known here");
        first = false;
    }
    sel_text_add(html, ".");
}

static void add_best(struct sel_text *html, const struct sel_rival_row *best) {
    int reason = reason_of(best);
    sel_text_addf(
        html, " The best of them, %.0f&nbsp;m away, scores %.3f", best->distance_m, best->score);
    if (reason < REASONS_KNOWN)
        sel_text_addf(html, ": %s", REASONS[reason].of_one);
    sel_text_add(html, ".");
}

static void add_chosen(struct sel_text *html, int64_t chosen) {
    if (chosen == 0)
        sel_text_add(html, "within 1&nbsp;km no other site was chosen.");
    else
        sel_text_addf(html, "within 1&nbsp;km %" PRId64 " other site%s chosen.", chosen,
            chosen == 1 ? " was" : "s were");
}

void sel_sheet_add_rivals(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    struct rivals rivals = gather(dossier, site);
    sel_text_add(html, "<p class=\"why\"><strong>Why here:</strong> ");
    add_chosen(html, chosen_near(dossier, site));
    if (rivals.count > 0 && rivals.best) {
        sel_text_addf(html, " %" PRId64 " more candidate%s there", rivals.count,
            rivals.count == 1 ? " was weighed" : "s were weighed");
        add_counts(html, &rivals);
        add_best(html, rivals.best);
    } else {
        sel_text_add(html, " There was no other eligible candidate.");
    }
    sel_text_add(html, "</p>\n");
}
