// SPDX-License-Identifier: MIT
//
// The facts of the run from the table `run`, with plain labels and as many digits as mean
// something; a fact that has no label here is shown under its key.
#include <math.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "plan/numbers.h"

// How a value is written.
enum form {
    AS_IT_IS, // a text or a whole number
    THREE,    // three digits that count
    METRES,   // whole, or three digits where small
    DEGREES,  // four decimals
    UNITS,    // of the coordinate system: one decimal
    PER_CENT, // a share
    SCORES,   // three decimals
    HECTARES, // from square metres
    DAY       // of a moment
};

struct label {
    const char *key, *words;
    enum form form;
};

static const struct label LABELS[] = {
    {"software", "Software", AS_IT_IS},
    {"version", "Version", AS_IT_IS},
    {"gdal", "GDAL, which read the maps", AS_IT_IS},
    {"written", "Written", DAY},
    {"title", "Title", AS_IT_IS},
    {"grid.crs", "Map grid", AS_IT_IS},
    {"grid.rows", "Rows of cells", AS_IT_IS},
    {"grid.columns", "Columns of cells", AS_IT_IS},
    {"grid.x0", "West side, map units", UNITS},
    {"grid.y0", "North side, map units", UNITS},
    {"grid.cell_x", "Cell from west to east, map units", THREE},
    {"grid.cell_y", "Cell from north to south, map units", THREE},
    {"grid.metres_per_unit", "Metres in a map unit", THREE},
    {"grid.cell_x_m", "Cell from west to east", METRES},
    {"grid.cell_y_m", "Cell from north to south", METRES},
    {"grid.latitude", "Latitude of the middle", DEGREES},
    {"grid.longitude", "Longitude of the middle", DEGREES},
    {"grid.scale_worst", "Map scale off by at most", PER_CENT},
    {"grid.lost_share", "Land cover without elevation, left out", PER_CENT},
    {"every_m", "Side of the squares that give one candidate", METRES},
    {"reach_m", "Transect to each side", METRES},
    {"belt_m", "Width of a transect", METRES},
    {"tangent_m", "Edge looked at for its direction", METRES},
    {"flight", "Insects fly, as to the edge", AS_IT_IS},
    {"aggregate", "Mean that makes the score", AS_IT_IS},
    {"season.from", "Season from", DAY},
    {"season.to", "Season to", DAY},
    {"apart_m", "Least distance between sites", METRES},
    {"sites.wanted", "Sites wanted", AS_IT_IS},
    {"seed", "Start of the random numbers", AS_IT_IS},
    {"cracks", "Cell borders between two habitats", AS_IT_IS},
    {"edges.lines", "Lines of edge", AS_IT_IS},
    {"candidates.pool", "Candidates weighed in the choice", AS_IT_IS},
    {"candidates.eligible", "Eligible candidates", AS_IT_IS},
    {"candidates.limit", "Candidates kept in the file, at most", AS_IT_IS},
    {"candidates.written", "Candidates kept in the file", AS_IT_IS},
    {"sites", "Sites", AS_IT_IS},
    {"reserves", "Reserves", AS_IT_IS},
    {"choice.total_score", "Scores of the sites added up", SCORES},
    {"choice.spread", "Weight of even spread", THREE},
    {"choice.even_m", "Distance that counts as evenly spread", METRES},
    {"choice.objective", "What the choice reached", SCORES},
    {"choice.bound", "What no choice can exceed", SCORES},
    {"choice.gap", "The choice may lie below the best by", PER_CENT},
    {"choice.minimums_missed", "Least numbers not met", AS_IT_IS},
    {"choice.sites_missed", "Sites they lack together", AS_IT_IS},
    {"robustness.draws", "Draws of other weights", AS_IT_IS},
    {"robustness.concentration", "How close they keep to the plan's", THREE},
    {"robustness.local_bests", "Places among which ranks were taken", AS_IT_IS},
    {"uncertainty.elevation_rmse_m", "Error of the elevations, by the plan", METRES},
    {"uncertainty.landcover_accuracy", "Land cover that is right, by the plan", PER_CENT},
    {"spread.nearest_mean_m", "To the nearest other site, mean", METRES},
    {"spread.nearest_least_m", "To the nearest other site, least", METRES},
    {"spread.nearest_most_m", "To the nearest other site, most", METRES},
    {"spread.clark_evans", "That mean over the mean of random sets", THREE},
    {"spread.clark_evans_free", "The same over points anywhere", THREE},
    {"spread.share_wider", "Random sets that lie as far apart", PER_CENT},
    {"spread.random_sets", "Random sets", AS_IT_IS},
    {"spread.ground_m2", "Ground that the candidates span", HECTARES},
    {"spread.balance_ground", "Unevenness over the ground (0: even)", THREE},
    {"spread.balance_candidates", "Unevenness over the candidates (0: even)", THREE},
    {"spread.pairs_off", "Sites not shared out as the edges are", PER_CENT},
};

static const struct label *label_of(const char *key) {
    for (size_t i = 0; i < sizeof LABELS / sizeof *LABELS; i++)
        if (strcmp(key, LABELS[i].key) == 0)
            return &LABELS[i];
    return NULL;
}

// Whole numbers keep all their digits.
static void add_rounded(struct sel_text *html, double value) {
    sel_text_addf(html, value == round(value) && fabs(value) < 1e15 ? "%.0f" : "%.3g", value);
}

static void add_number(struct sel_text *html, enum form form, double value) {
    switch (form) {
    case METRES:
        sel_html_number(html, value, fabs(value) >= 100.0 || value == round(value) ? 0 : 1, "m");
        return;
    case DEGREES:
        sel_html_number(html, value, 4, "");
        sel_text_add(html, "\xC2\xB0");
        return;
    case UNITS:
        sel_html_number(html, value, 1, "");
        return;
    case PER_CENT:
        add_rounded(html, 100.0 * value);
        sel_text_add(html, "&nbsp;%");
        return;
    case SCORES:
        sel_html_number(html, value, 3, "");
        return;
    case HECTARES:
        sel_html_number(html, value / 10000.0, 0, "ha");
        return;
    default:
        add_rounded(html, value);
    }
}

static void add_value(struct sel_text *html, enum form form, const char *value) {
    double number;
    if (value && form == DAY)
        sel_html_date(html, value);
    else if (value && form != AS_IT_IS && sel_parse_number(value, &number))
        add_number(html, form, number);
    else
        sel_html_name(html, value);
}

// Files before `candidates.pool` came have the pool under the other key.
static const char *words_of(const struct sel_dossier *dossier, const struct label *label) {
    bool pool = strcmp(label->key, "candidates.eligible") == 0 &&
                !sel_package_fact(dossier->package, "candidates.pool");
    return pool ? "Candidates weighed in the choice" : label->words;
}

static void add_fact(struct sel_dossier *dossier, const struct sel_fact_row *fact) {
    struct sel_text *html = dossier->html;
    const struct label *label = label_of(fact->key);
    sel_text_add(html, "<li><span>");
    if (label)
        sel_text_add(html, words_of(dossier, label));
    else
        sel_html_name(html, fact->key);
    sel_text_add(html, "</span> <span>");
    add_value(html, label ? label->form : THREE, fact->value);
    sel_text_add(html, "</span></li>\n");
}

void sel_dossier_add_run(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    const struct sel_package *package = dossier->package;
    sel_text_add(html, "<h3>Facts of the run</h3>\n<ul class=\"parameters\">\n");
    for (size_t i = 0; i < package->fact_count; i++)
        if (package->facts[i].key && strncmp(package->facts[i].key, "remark.", 7) != 0)
            add_fact(dossier, &package->facts[i]);
    sel_text_add(html, "</ul>\n<p class=\"note\">Made by selvedge ");
    sel_html_text_within(html, sel_version(), 20);
    sel_text_add(html, " from the GeoPackage of the run, which holds the same and more as tables: "
                       "every candidate, every edge, the rivals of each site.</p>\n");
}
