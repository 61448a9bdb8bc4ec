// SPDX-License-Identifier: MIT
//
// "What if?": sliders for the weights and, as JSON, what the page's script needs to choose anew.
// The section is hidden until the script shows it, so that without one the page is whole.
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "dossier/candidates.h"
#include "dossier/html.h"
#include "output/names.h"
#include "output/utf8.h"

// --- JSON ---

// A JSON string. What could end a script element is escaped too.
static void add_json_text(struct sel_text *html, const char *chars) {
    struct sel_text printable;
    sel_text_init(&printable);
    sel_utf8_add_printable(&printable, chars ? chars : "");
    sel_text_add(html, "\"");
    for (const char *at = printable.chars ? printable.chars : ""; *at; at++) {
        if (*at == '"' || *at == '\\' || *at == '<' || *at == '>' || *at == '&')
            sel_text_addf(html, "\\u%04x", (unsigned)*at);
        else
            sel_text_add_bytes(html, at, 1);
    }
    sel_text_add(html, "\"");
    html->failed = html->failed || printable.failed;
    sel_text_clear(&printable);
}

static void add_json_number(struct sel_text *html, double value, int digits) {
    sel_text_addf(html, "%.*g", digits, isfinite(value) ? value : 0.0);
}

static void add_criteria(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    bool first = true;
    sel_text_add(html, "\"criteria\":[");
    for (int i = 0; i < SEL_CRITERIA; i++) {
        char words[SEL_CRITERION_WORDS];
        if (!dossier->in_use[i])
            continue;
        sel_criterion_words(sel_criterion_name((enum sel_criterion)i), words);
        sel_text_addf(html, "%s{\"name\":\"%s\",\"weight\":%.9g}", first ? "" : ",", words,
            dossier->weights[i]);
        first = false;
    }
    sel_text_add(html, "],\n");
}

static void add_quotas(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "\"quotas\":[");
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        sel_text_addf(html, "%s{\"least\":%d,\"most\":%d}", kind == 0 ? "" : ",",
            dossier->quota[kind].least, dossier->quota[kind].most);
    sel_text_add(html, "],");
}

static void add_rules(struct sel_dossier *dossier) {
    const struct sel_package *package = dossier->package;
    struct sel_text *html = dossier->html;
    double wanted = sel_package_number(package, "sites.wanted");
    sel_text_addf(html, "\"metres\":%.9g,\"apart\":%.9g,\"wanted\":%.0f,\"geometric\":%s,",
        dossier->metres, sel_package_number(package, "apart_m"),
        wanted > 0.0 ? wanted : (double)dossier->primaries, dossier->geometric ? "true" : "false");
    add_quotas(dossier);
    sel_text_add(html, "\"spread\":");
    add_json_number(html, sel_package_number(package, "choice.spread"), 9);
    sel_text_add(html, ",\"even\":");
    add_json_number(html, sel_package_number(package, "choice.even_m"), 15);
    sel_text_add(html, ",\n");
}

// Map positions are written relative to the north-west corner of what the page holds.
struct origin {
    double x, y;
};

static struct origin origin_of(
    const struct sel_dossier *dossier, const struct sel_dossier_pick *pick) {
    struct origin origin = {(double)INFINITY, -(double)INFINITY};
    for (size_t i = 0; i < pick->count; i++) {
        origin.x = fmin(origin.x, dossier->candidates[pick->rows[i]].x);
        origin.y = fmax(origin.y, dossier->candidates[pick->rows[i]].y);
    }
    return origin;
}

static void add_position(struct sel_text *html, struct origin origin, double x, double y) {
    sel_svg_number(html, x - origin.x);
    sel_text_add(html, ",");
    sel_svg_number(html, origin.y - y);
}

static void add_occupied(struct sel_dossier *dossier, struct origin origin) {
    struct sel_text *html = dossier->html;
    sel_text_addf(html, "\"x\":%.12g,\"y\":%.12g,\n\"occupied\":[", origin.x, origin.y);
    for (size_t i = 0; i < dossier->occupied_count; i++) {
        sel_text_add(html, i == 0 ? "[" : ",[");
        add_position(html, origin, dossier->occupied[i].x, dossier->occupied[i].y);
        sel_text_add(html, "]");
    }
    sel_text_add(html, "],\n");
}

// Pairs by number, in the order of the table `pairs`.
static void add_pairs(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "\"pairs\":[");
    for (size_t i = 0; i < dossier->pair_count; i++) {
        sel_text_add(html, i == 0 ? "" : ",");
        add_json_text(html, dossier->pairs[i].pair);
    }
    sel_text_add(html, "],\n");
}

// The rank of the primary made of a candidate; 0: none.
static int64_t rank_of(const struct sel_dossier *dossier, const struct sel_candidate_row *row) {
    const struct sel_site_row *site = sel_dossier_site(dossier, row->site);
    return site && sel_is_primary(site) ? site->rank : 0;
}

// [x, y, pair, block, score, rank or 0, worth of each criterion in use]; of no pair or block: -1
static void add_candidate(
    struct sel_dossier *dossier, struct origin origin, const struct sel_candidate_row *row) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "[");
    add_position(html, origin, row->x, row->y);
    sel_text_addf(html, ",%d,%d,", sel_candidate_group(dossier, row, SEL_BY_PAIR),
        sel_candidate_group(dossier, row, SEL_BY_BLOCK));
    add_json_number(html, row->score, 9);
    sel_text_addf(html, ",%" PRId64, rank_of(dossier, row));
    for (int i = 0; i < SEL_CRITERIA; i++) {
        if (!dossier->in_use[i])
            continue;
        sel_text_add(html, ",");
        add_json_number(html, sel_candidate_worth(dossier, row, (enum sel_criterion)i), 9);
    }
    sel_text_add(html, "]");
}

static void add_data(struct sel_dossier *dossier, const struct sel_dossier_pick *pick) {
    struct sel_text *html = dossier->html;
    struct origin origin = origin_of(dossier, pick);
    sel_text_add(html, "<script type=\"application/json\" id=\"candidates\">{\n");
    add_rules(dossier);
    add_criteria(dossier);
    add_occupied(dossier, origin);
    add_pairs(dossier);
    sel_text_add(html, "\"candidates\":[\n");
    for (size_t i = 0; i < pick->count; i++) {
        add_candidate(dossier, origin, &dossier->candidates[pick->rows[i]]);
        sel_text_add(html, i + 1 < pick->count ? ",\n" : "\n");
    }
    sel_text_add(html, "]}\n</script>\n");
}

// --- sliders ---

static void add_slider(struct sel_text *html, int number, const char *words, double weight) {
    sel_text_addf(html,
        "<div class=\"slider\"><label for=\"weight-%d\">%s</label>"
        "<input type=\"range\" id=\"weight-%d\" min=\"0\" max=\"100\" step=\"1\" value=\"%.0f\">"
        "<output id=\"weight-%d-share\" for=\"weight-%d\">%.0f&nbsp;%%</output></div>\n",
        number, words, number, 100.0 * weight, number, number, 100.0 * weight);
}

static void add_sliders(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    int number = 0;
    sel_text_add(html, "<div class=\"sliders\" role=\"group\" aria-label=\"Weights\">\n");
    for (int i = 0; i < SEL_CRITERIA; i++) {
        char words[SEL_CRITERION_WORDS];
        if (!dossier->in_use[i])
            continue;
        sel_criterion_words(sel_criterion_name((enum sel_criterion)i), words);
        add_slider(html, number++, words, dossier->weights[i]);
    }
    sel_text_add(html, "<button type=\"button\" id=\"weights-reset\">Back to the plan's weights"
                       "</button>\n</div>\n");
}

// What the choice chose from, as the account of the run has it.
static int64_t eligible(const struct sel_dossier *dossier) {
    for (size_t i = 0; i < dossier->dropped_count; i++) {
        const struct sel_dropped_row *row = &dossier->dropped[i];
        if (row->step && row->reason && strcmp(row->step, "eligible") == 0 &&
            strcmp(row->reason, "all") == 0)
            return row->count;
    }
    return (int64_t)dossier->candidate_count;
}

// "the quotas per pair of habitats and per block"; nothing where the plan sets none.
static void add_quota_words(struct sel_dossier *dossier) {
    const struct sel_dossier_quota *pair = &dossier->quota[SEL_BY_PAIR];
    const struct sel_dossier_quota *block = &dossier->quota[SEL_BY_BLOCK];
    bool by_pair = pair->least > 0 || pair->most > 0;
    bool by_block = block->least > 0 || block->most > 0;
    if (by_pair || by_block)
        sel_text_addf(dossier->html, " and the quotas%s%s%s",
            by_pair ? " per pair of habitats" : "", by_pair && by_block ? " and" : "",
            by_block ? " per block of the ground" : "");
}

// How the page chooses, by the rules of the plan.
static void add_way(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    bool least = dossier->quota[SEL_BY_PAIR].least > 0 || dossier->quota[SEL_BY_BLOCK].least > 0;
    bool spread = sel_package_number(dossier->package, "choice.spread") > 0.0;
    if (least)
        sel_text_add(html, "least numbers are met before all else, then ");
    sel_text_add(html,
        spread ? "again and again the place that adds most by its score and by its distance to "
                 "those taken before, among all that keep the least distance"
               : "the best first, then the next best that keeps the least distance");
    add_quota_words(dossier);
    sel_text_add(html, ".");
}

static void add_caveats(struct sel_dossier *dossier, size_t count) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<p class=\"note\">The page holds ");
    if (count < dossier->candidate_count)
        sel_text_addf(html, "the %zu most promising of ", count);
    sel_text_addf(html,
        "the %zu candidate%s that the file keeps. It chooses anew: ", dossier->candidate_count,
        dossier->candidate_count == 1 ? "" : "s");
    add_way(dossier);
    sel_text_add(html, " That choice and the run's own sites are both improved by exchanging one "
                       "site at a time, and the better of the two is shown.");
    if (eligible(dossier) > (int64_t)dossier->candidate_count)
        sel_text_addf(html,
            " The run had %" PRId64 " eligible candidates: far from the plan's weights a place "
            "that the file did not keep may be missing here.",
            eligible(dossier));
    if (!dossier->has_occupied)
        sel_text_add(html, " Traps that stand already are not in the file, so no distance is kept "
                           "from them here.");
    sel_text_add(html, " It is a quick look: limits and zones stay as they are, reserves are not "
                       "chosen anew, and a new run is the proof.</p>\n");
}

sel_status sel_dossier_add_weights(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    struct sel_dossier_pick pick;
    sel_status status = sel_dossier_pick(dossier, &pick);
    if (status != SEL_OK || pick.count == 0)
        return status;
    sel_text_add(html,
        "<section class=\"sheet screen\" id=\"weights\" aria-labelledby=\"weights-head\" hidden>\n"
        "<h2 id=\"weights-head\">What if things were weighed differently?</h2>\n"
        "<p>Move a slider to give a criterion more or less weight. The list below and the map "
        "above "
        "show which sites would stay, move or drop out.</p>\n");
    add_sliders(dossier);
    sel_text_add(html,
        "<p id=\"weights-summary\" role=\"status\"></p>\n"
        "<table id=\"weights-table\"><thead><tr><th scope=\"col\">place</th>"
        "<th scope=\"col\">edge between</th><th scope=\"col\" class=\"n\">rank now</th>"
        "<th scope=\"col\" class=\"n\">rank then</th><th scope=\"col\" class=\"n\">score then</th>"
        "<th scope=\"col\">what changes</th></tr></thead><tbody></tbody></table>\n");
    add_caveats(dossier, pick.count);
    add_data(dossier, &pick);
    sel_text_add(html, "</section>\n");
    sel_dossier_pick_clear(&pick);
    return status;
}
