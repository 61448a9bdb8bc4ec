// SPDX-License-Identifier: MIT
//
// Land, clearing and water: traps, trap-days and the ground cleared per parcel, and what each site
// asks to be heeded.
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "survey/flood.h"

// One parcel with the sites on it.
struct holding {
    const struct sel_site_row *first; // names parcel and owner
    int64_t sites, clearable, reserves, trap_days;
};

static bool alike(const char *a, const char *b) {
    return strcmp(a ? a : "", b ? b : "") == 0;
}

static struct holding *holding_of(
    struct holding *holdings, size_t *count, const struct sel_site_row *site) {
    for (size_t i = 0; i < *count; i++)
        if (alike(holdings[i].first->parcel, site->parcel) &&
            alike(holdings[i].first->owner_ref, site->owner_ref))
            return &holdings[i];
    holdings[*count] = (struct holding){.first = site};
    return &holdings[(*count)++];
}

static size_t gather(const struct sel_dossier *dossier, struct holding *holdings) {
    const struct sel_package *package = dossier->package;
    size_t count = 0;
    for (size_t i = 0; i < package->site_count; i++) {
        const struct sel_site_row *site = &package->sites[i];
        struct holding *holding = holding_of(holdings, &count, site);
        holding->sites += sel_is_primary(site);
        holding->clearable += sel_is_primary(site) && site->clearing == 1;
        holding->reserves += !sel_is_primary(site);
        holding->trap_days += dossier->trap_days ? dossier->trap_days[i] : 0;
    }
    return count;
}

static void add_counts(struct sel_dossier *dossier, const struct holding *holding) {
    struct sel_text *html = dossier->html;
    int64_t traps = holding->sites * dossier->permit.traps_per_site;
    double area = sel_dossier_clearing_m2(dossier) * (double)holding->clearable *
                  dossier->permit.traps_per_site;
    sel_text_addf(html,
        "<td class=\"n\">%" PRId64 "</td><td class=\"n\">%" PRId64 "</td><td class=\"n\">%" PRId64
        "</td><td class=\"n\">",
        holding->sites, holding->reserves, traps);
    if (dossier->trap_days)
        sel_text_addf(html, "%" PRId64, holding->trap_days);
    else
        sel_text_add(html, "not in this file");
    sel_text_add(html, "</td><td class=\"n\">");
    if (sel_dossier_clearing_m2(dossier) > 0.0)
        sel_text_addf(html, "%.4g", area);
    else
        sel_text_add(html, "none asked");
    sel_text_add(html, "</td></tr>\n");
}

static void add_holding(struct sel_dossier *dossier, const struct holding *holding) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<tr><th scope=\"row\">");
    sel_html_name(html, holding->first->parcel);
    sel_text_add(html, "</th><td>");
    sel_html_name(html, holding->first->owner_ref);
    sel_text_add(html, "</td>");
    add_counts(dossier, holding);
}

static void add_holdings(
    struct sel_dossier *dossier, const struct holding *holdings, size_t count) {
    struct sel_text *html = dossier->html;
    struct holding total = {0};
    sel_html_begin_table(html, "parcels",
        "parcel|owner's reference|#sites|#reserves|#traps|#trap-days|#cleared, m\xC2\xB2");
    for (size_t i = 0; i < count; i++) {
        add_holding(dossier, &holdings[i]);
        total.sites += holdings[i].sites;
        total.clearable += holdings[i].clearable;
        total.reserves += holdings[i].reserves;
        total.trap_days += holdings[i].trap_days;
    }
    sel_text_add(html, "<tr class=\"total\"><th scope=\"row\">in total</th><td></td>");
    add_counts(dossier, &total);
    sel_html_end_table(html);
}

// --- what to heed ---

static void add_water(struct sel_text *html, const struct sel_site_row *site) {
    if (isnan(site->water_m)) {
        sel_text_add(html, "none found near");
        return;
    }
    sel_html_number(html, site->water_m, 0, "m");
    sel_text_addf(html, " away, %.1f&nbsp;m %s", fabs(site->above_water_m),
        site->above_water_m < 0.0 ? "above the site" : "below the site");
    if (sel_may_flood(site->water_m, site->above_water_m))
        sel_text_add(html, " <strong>may flood</strong>");
}

static void add_care(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    sel_text_addf(
        html, "<tr class=\"%s\"><th scope=\"row\">", sel_is_primary(site) ? "primary" : "reserve");
    sel_html_name_within(html, site->site, 16);
    sel_text_add(html, "</th><td>");
    if (site->zone && site->zone[0])
        sel_html_name(html, site->zone);
    else
        sel_text_add(html, "none");
    sel_text_addf(html, "</td><td>%s</td><td>",
        sel_yes_or_no(site->clearing, "not forbidden", "<strong>no</strong>", "not known"));
    add_water(html, site);
    sel_text_addf(html, "</td><td>%s</td><td>%s</td></tr>\n",
        sel_yes_or_no(site->support, "yes", "no: poles", "not known"),
        sel_yes_or_no(site->shade, "yes", "no", "not known"));
}

static void add_cares(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html,
        "<p class=\"note\">Water is looked for on the land-cover map within "
        "500&nbsp;m; small ditches may be missing there. \"May flood\": less than 1&nbsp;m above "
        "water within 100&nbsp;m, less than 2&nbsp;m above it within 50&nbsp;m, or within "
        "25&nbsp;m.</p>\n");
    sel_html_begin_table(
        html, "care", "site|zones|clearing|nearest open water|stems to tie to|shade the bottle");
    for (size_t i = 0; i < dossier->package->site_count; i++)
        add_care(dossier, &dossier->package->sites[i]);
    sel_html_end_table(html);
}

sel_status sel_dossier_add_parcels(struct sel_dossier *dossier) {
    struct sel_package *package = dossier->package;
    struct sel_text *html = dossier->html;
    struct holding *holdings = calloc(package->site_count + 1, sizeof *holdings);
    if (!holdings)
        return sel_fail_memory(package->context);
    size_t count = gather(dossier, holdings);
    sel_text_add(html, "<section class=\"sheet\" id=\"land\" aria-labelledby=\"land-head\">\n"
                       "<h2 id=\"land-head\">Land, clearing and water</h2>\n");
    if (!sel_dossier_plan(dossier, "parcels.file"))
        sel_text_add(html,
            "<p>The plan names no layer of parcels, so the owners are not known from "
            "this file.</p>\n");
    add_holdings(dossier, holdings, count);
    sel_text_addf(html,
        "<p class=\"note\">%d trap%s per site. A trap-day is one trap standing for 24 hours, from "
        "one date to the next; they are counted from set-up to take-down as the field kit plans "
        "these, within the season. Reserves add none.</p>\n",
        dossier->permit.traps_per_site, dossier->permit.traps_per_site == 1 ? "" : "s");
    sel_text_add(html, "<h3>What each place asks to be heeded</h3>\n");
    add_cares(dossier);
    sel_text_add(html, "</section>\n");
    free(holdings);
    return SEL_OK;
}
