// SPDX-License-Identifier: MIT
//
// The first page: what is asked for, by whom, where and for how long; what must be heeded; and the
// fields that people fill in by hand. What the plan does not tell is left as a blank line.
#include <inttypes.h>

#include "dossier/html.h"
#include "dossier/parts.h"

// The list of parameters at the end tells longer ones in full.
enum { FIELD_MOST = 280 };

static const char *plural(int64_t count) {
    return count == 1 ? "" : "s";
}

static int64_t traps_of(const struct sel_dossier *dossier) {
    return dossier->primaries * dossier->permit.traps_per_site;
}

// --- heading ---

static void add_heading(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    const char *title = sel_package_fact(dossier->package, "title");
    sel_text_add(html, "<p class=\"kicker\">Trap sites: appendix to an application for a "
                       "permit</p>\n<h1>");
    sel_html_name(html, title && title[0] ? title : "Ranked sites");
    sel_text_addf(html,
        "</h1>\n<p class=\"lead\">Leave is asked to stand %" PRId64 " insect trap%s at %" PRId64
        " place%s from ",
        traps_of(dossier), plural(traps_of(dossier)), dossier->primaries,
        plural(dossier->primaries));
    sel_html_date(html, sel_package_fact(dossier->package, "season.from"));
    sel_text_add(html, " to ");
    sel_html_date(html, sel_package_fact(dossier->package, "season.to"));
    sel_text_add(html,
        ". The traps are passive: insects that fly along find them and climb or drop into a "
        "bottle. Each place lies on the edge between two habitats, where many insects cross, and "
        "was chosen from all such edges in the study area by rules that this document tells of. "
        "Every place has a sheet of its own.</p>\n");
}

// --- who asks, and what for ---

static void add_field(struct sel_text *html, const char *label, const char *value) {
    sel_text_addf(html, "<dt>%s</dt><dd>", label);
    if (value && value[0])
        sel_html_name_within(html, value, FIELD_MOST);
    else
        sel_text_add(html, "<span class=\"blank\" title=\"to be filled in\"></span>");
    sel_text_add(html, "</dd>\n");
}

static void add_application(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    const struct sel_dossier_permit *permit = &dossier->permit;
    sel_text_add(html, "<section class=\"application\" aria-labelledby=\"application\">\n"
                       "<h2 id=\"application\">The application</h2>\n<dl>\n");
    add_field(html, "Applicant", permit->applicant);
    add_field(html, "Contact", permit->contact);
    add_field(html, "Authority", permit->authority);
    add_field(html, "Purpose", permit->purpose);
    add_field(html, "Fluids in the bottles", permit->fluids);
    add_field(html, "Permit number", NULL);
    add_field(html, "Place, date, signature", NULL);
    sel_text_add(html, "</dl>\n</section>\n");
}

// --- figures ---

static void add_figure(struct sel_text *html, const char *words, double value) {
    sel_text_addf(html, "<li><strong>%.10g</strong> %s</li>\n", value, words);
}

// How many primaries stand where a strip may be cleared.
static int64_t count_clearable(const struct sel_dossier *dossier) {
    int64_t count = 0;
    for (size_t i = 0; i < dossier->package->site_count; i++) {
        const struct sel_site_row *site = &dossier->package->sites[i];
        count += sel_is_primary(site) && site->clearing == 1;
    }
    return count;
}

static int64_t count_trap_days(const struct sel_dossier *dossier) {
    int64_t count = 0;
    for (size_t i = 0; dossier->trap_days && i < dossier->package->site_count; i++)
        count += dossier->trap_days[i];
    return count;
}

static void add_clearing(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    double area = sel_dossier_clearing_m2(dossier);
    int64_t clearable = count_clearable(dossier);
    if (!(area > 0.0)) {
        sel_text_add(html, "<p>The plan names no clearing; if a strip is to be cut free around a "
                           "trap, it must be asked for.</p>\n");
        return;
    }
    sel_text_addf(html,
        "<p>Around each trap a strip of %g by %g&nbsp;m is to be kept free of tall growth; at "
        "%" PRId64 " of the %" PRId64 " sites no zone forbids that.",
        dossier->permit.clearing_m[0], dossier->permit.clearing_m[1], clearable,
        dossier->primaries);
    if (clearable < dossier->primaries)
        sel_text_add(html, " At the others nothing is cut.");
    sel_text_add(html, "</p>\n");
}

static void add_figures(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    double traps = (double)traps_of(dossier);
    double area = sel_dossier_clearing_m2(dossier) * (double)count_clearable(dossier) *
                  dossier->permit.traps_per_site;
    sel_text_add(html, "<section class=\"glance\" aria-labelledby=\"glance\">\n"
                       "<h2 id=\"glance\">At a glance</h2>\n<ul class=\"figures\">\n");
    add_figure(html, "sites", (double)dossier->primaries);
    add_figure(html, "reserves", (double)dossier->reserves);
    add_figure(html, "traps", traps);
    add_figure(html, "days of the season", (double)dossier->days);
    if (dossier->trap_days)
        add_figure(html, "trap-days", (double)count_trap_days(dossier));
    if (area > 0.0)
        add_figure(html, "m\xC2\xB2 cleared in total", area);
    sel_text_add(html, "</ul>\n");
    add_clearing(dossier);
    sel_text_add(html, "<p>A reserve is used only when its site turns out unusable; it takes the "
                       "site's place and adds no trap.</p>\n</section>\n");
}

// --- cautions ---

static void add_cautions(struct sel_text *html) {
    sel_text_add(html,
        "<section class=\"cautions\" aria-labelledby=\"cautions\">\n"
        "<h2 id=\"cautions\">Before a trap goes up</h2>\n<ul>\n"
        "<li>This is a shortlist made from maps. Every place must be looked at first; what is "
        "found there counts, not the map.</li>\n"
        "<li>The landowner's and the authority's permission come first. Catches may hold protected "
        "species: tell what is done then.</li>\n"
        "<li>Ethanol is flammable: no flame near it, and keep it shut, cool and labelled. "
        "Insecticide only as its label and local law allow. Used fluids are disposed of as local "
        "rules say.</li>\n"
        "<li>Streams rise, banks give way, slopes slip, knives cut, branches fall: nobody works "
        "alone out of call. Walking times and distances are estimates.</li>\n"
        "</ul>\n<p class=\"prevail\">Local rules and licensed practice stand above this document. "
        "A rank is no permission.</p>\n</section>\n");
}

// --- contents ---

static void add_site_links(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    for (size_t i = 0; i < dossier->package->site_count; i++) {
        const struct sel_site_row *site = &dossier->package->sites[i];
        char anchor[SEL_SITE_ANCHOR_SIZE];
        if (!sel_is_primary(site))
            continue;
        sel_site_anchor(site, anchor);
        sel_text_addf(html, " <a href=\"#%s\">%" PRId64 "</a>", anchor, site->rank);
    }
}

static void add_contents(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<nav class=\"contents\" aria-label=\"Contents\">\n"
                       "<a href=\"#map\">Map</a> <a href=\"#list\">List of sites</a> "
                       "<a href=\"#rejected\">What was considered and rejected</a> "
                       "<a href=\"#land\">Land, clearing, water</a> <span>Sheets:");
    add_site_links(dossier);
    sel_text_add(html, "</span> <a href=\"#method\">Method</a> <a href=\"#sources\">Data and "
                       "parameters</a>\n</nav>\n");
}

void sel_dossier_add_front(struct sel_dossier *dossier) {
    sel_text_add(dossier->html, "<div class=\"sheet cover\" id=\"top\">\n");
    add_heading(dossier);
    sel_text_add(dossier->html, "<div class=\"columns\">\n");
    add_application(dossier);
    add_figures(dossier);
    sel_text_add(dossier->html, "</div>\n");
    add_cautions(dossier->html);
    add_contents(dossier);
    sel_text_add(dossier->html, "</div>\n");
}
