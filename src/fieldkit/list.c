// SPDX-License-Identifier: MIT
//
// The kit list as a page to print and tick off, and as a table for a spreadsheet.
#include "fieldkit/list.h"

#include <math.h>

#include "fieldkit/cautions.h"
#include "fieldkit/csv.h"
#include "fieldkit/items.h"
#include "fieldkit/markup.h"
#include "fieldkit/page.h"
#include "fieldkit/remarks.h"
#include "fieldkit/tour_words.h"
#include "fieldkit/words.h"

static const char STYLE[] =
    "td.tick{width:6mm}"
    "td.tick::before{content:'';display:inline-block;width:3.2mm;height:3.2mm;"
    "border:.25mm solid #5b625d;border-radius:.5mm}"
    "table{font-size:9pt}td{line-height:1.3}"
    ".kit .num{width:17mm}.kit .name{width:50mm}.kit .ids{width:32mm}.kit td.soft{font-size:8pt}"
    ".time{text-align:right;font-variant-numeric:tabular-nums;width:21mm}"
    "section.round{break-before:page}.day{white-space:nowrap}"
    ".facts{display:flex;gap:2mm 7mm;flex-wrap:wrap;margin:0 0 3mm}"
    ".facts div b{display:block;font-size:13pt;font-weight:600;line-height:1.25}"
    ".facts div{color:#5b625d;font-size:8.5pt}.facts div b{color:#1c1f1d}"
    "ol.tools{break-inside:avoid;columns:2;column-gap:8mm;margin:0;padding:0;list-style:none}"
    "ol.tools li{break-inside:avoid;padding:.5mm 0 .5mm 5.2mm;text-indent:-5.2mm}"
    "ol.tools li::before{content:'';display:inline-block;width:3mm;height:3mm;"
    "border:.25mm solid #5b625d;border-radius:.5mm;margin-right:2mm;vertical-align:-.3mm}";

// --- facts and remarks ---

static void add_fact(struct sel_text *html, const char *what, const char *value) {
    sel_markup_wrap(html, "<div><b>", value, "</b>");
    sel_markup_wrap(html, "", what, "</div>\n");
}

static void add_count(struct sel_text *html, const char *what, size_t count) {
    struct sel_text value;
    sel_text_init(&value);
    sel_text_addf(&value, "%zu", count);
    add_fact(html, what, value.chars);
    sel_text_clear(&value);
}

static void add_season(const struct sel_fieldkit *kit, struct sel_text *html) {
    struct sel_text value;
    sel_text_init(&value);
    sel_add_iso_date(&value, kit->plan.first_day);
    sel_text_add(&value, " to ");
    sel_add_iso_date(&value, kit->plan.last_day);
    add_fact(html, "season", value.chars);
    html->failed = html->failed || value.failed;
    sel_text_clear(&value);
}

static void add_facts(const struct sel_fieldkit *kit, struct sel_text *html) {
    sel_text_add(html, "<div class=\"facts\">\n");
    add_count(html, kit->primary_count == 1 ? "site" : "sites", kit->primary_count);
    add_count(html, kit->round_count == 1 ? "round" : "rounds", kit->round_count);
    if (kit->plan.traps > 1)
        add_count(html, "traps at each site", (size_t)kit->plan.traps);
    add_count(html, "bottles for each trap", kit->stint_count);
    add_count(html, "days between changes", (size_t)kit->plan.field.interval_days);
    add_season(kit, html);
    sel_text_add(html, "</div>\n");
}

static void add_remarks(const struct sel_fieldkit *kit, struct sel_text *html) {
    struct sel_kit_remarks remarks;
    sel_fieldkit_remarks(kit, &remarks);
    for (size_t i = 0; i < remarks.count; i++)
        sel_markup_wrap(html, "<p class=\"warn\">", remarks.lines[i], "</p>\n");
}

// --- rounds ---

// A cell of words that may be long: "at least 2 h 05 min".
static void begin_time(struct sel_text *html) {
    sel_text_add(html, "<td class=\"time\">");
}

static void add_order(
    const struct sel_fieldkit *kit, const struct sel_round *tour, struct sel_text *html) {
    sel_text_add(html, "<td>");
    for (size_t i = 0; i < tour->count; i++)
        sel_markup_wrap(html, i > 0 ? " \u2192 " : "",
            sel_fieldkit_id(sel_fieldkit_at(kit, tour->first + i)), "");
    sel_text_add(html, "</td>");
}

static void add_days(struct sel_text *html, int days) {
    sel_text_addf(html, "<td class=\"num\">%d day%s</td>", days, days == 1 ? "" : "s");
}

static void add_round_row(const struct sel_fieldkit *kit, size_t round, struct sel_text *html) {
    const struct sel_round *row = &kit->rounds[round];
    sel_text_addf(html, "<tr><td>%zu</td>", round + 1);
    add_order(kit, row, html);
    begin_time(html);
    sel_add_walking(kit, row, html);
    sel_text_add(html, "</td>");
    begin_time(html);
    sel_add_duration(html, row->travel_min);
    sel_text_add(html, "</td>");
    add_days(html, kit->setup_days[round]);
    begin_time(html);
    sel_add_whole_tour(kit, row, html);
    sel_text_add(html, "</td>");
    add_days(html, kit->takedown_days[round]);
    sel_text_add(html, "<td class=\"num\">");
    sel_add_iso_date(html, sel_fieldkit_stint(kit, round, 0).from_day);
    sel_text_add(html, "<br>to ");
    sel_add_iso_date(html, sel_fieldkit_stint(kit, round, kit->stint_count - 1).to_day);
    sel_text_add(html, "</td></tr>\n");
}

static void add_rounds(const struct sel_fieldkit *kit, struct sel_text *html) {
    sel_text_add(html,
        "<h2>Rounds</h2>\n<table><thead><tr><th></th><th>order of sites</th><th class=\"time\">"
        "walking</th><th class=\"time\">travel</th><th class=\"num\">set-up</th>"
        "<th class=\"time\">change day</th><th class=\"num\">take-down</th>"
        "<th class=\"num\">traps stand</th></tr></thead>\n<tbody>\n");
    for (size_t i = 0; i < kit->round_count; i++)
        add_round_row(kit, i, html);
    sel_text_addf(html,
        "</tbody></table>\n<p class=\"soft\">Walking is there and back from every access point, in "
        "all. Travel is between %s, counted over the straight line at %.4g km/h. A "
        "set-up takes %d min at each trap, a change %d min, taking down %.4g min. The way to the "
        "first place and home is not in it. All times are estimates.</p>\n",
        sel_travel_ends(kit), kit->plan.field.travel_kmh, kit->plan.field.setup_min,
        kit->plan.field.service_min, kit->plan.field.takedown_min);
}

static void add_stop(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html) {
    const struct sel_site_row *row = site->row;
    sel_markup_wrap(html, "<tr><td><b>", sel_fieldkit_id(site), "</b></td><td>");
    sel_text_add(
        html, site->access == SEL_NO_ACCESS ? "not known" : kit->access[site->access].name);
    sel_text_add(html, "</td><td class=\"mono\">");
    if (site->access != SEL_NO_ACCESS)
        sel_add_position(
            html, kit->access[site->access].latitude, kit->access[site->access].longitude);
    sel_text_add(html, "</td>");
    begin_time(html);
    sel_add_walk(site, html);
    sel_text_add(html, "</td><td class=\"num\">");
    if (!isnan(site->walk_m))
        sel_text_addf(html, "%.0f m", site->walk_m);
    sel_markup_wrap(html, "</td><td><bdi>", row->parcel, "</bdi></td><td>");
    sel_markup_name(html, row->zone);
    sel_text_add(html, "</td></tr>\n");
}

static void add_stops(const struct sel_fieldkit *kit, size_t round, struct sel_text *html) {
    const struct sel_round *row = &kit->rounds[round];
    sel_text_add(html,
        "<table><thead><tr><th>site</th><th>from</th><th>access point</th><th class=\"time\">walk "
        "each way</th><th class=\"num\">way</th><th>parcel</th><th>zone</th></tr></thead>\n"
        "<tbody>\n");
    for (size_t i = 0; i < row->count; i++)
        add_stop(kit, sel_fieldkit_at(kit, row->first + i), html);
    sel_text_add(html, "</tbody></table>\n");
}

// --- days ---

static void add_tour(
    const struct sel_fieldkit *kit, const struct sel_round *tour, struct sel_text *html) {
    add_order(kit, tour, html);
    begin_time(html);
    sel_add_walking(kit, tour, html);
    sel_text_add(html, "</td>");
    begin_time(html);
    sel_add_duration(html, tour->travel_min);
    sel_text_add(html, "</td>");
    begin_time(html);
    sel_add_whole_tour(kit, tour, html);
    sel_text_add(html, "</td></tr>\n");
}

// One of the days on which a round is set up or taken down.
static void add_long_visit(const struct sel_fieldkit *kit, int64_t first_day, int day,
    const char *what, const struct sel_round *tour, struct sel_text *html) {
    sel_text_add(html, "<tr><td class=\"day\">");
    sel_add_long_date(html, first_day + day);
    sel_text_addf(html, "</td><td>%s</td>", what);
    add_tour(kit, tour, html);
}

static void add_changes(const struct sel_fieldkit *kit, size_t round, struct sel_text *html) {
    size_t changes = kit->stint_count - 1;
    if (changes == 0)
        return;
    sel_text_add(html, "<tr><td class=\"day\">");
    sel_add_long_date(html, sel_fieldkit_stint(kit, round, 0).to_day);
    if (changes > 1) {
        sel_text_add(html, "<br>to ");
        sel_add_long_date(html, sel_fieldkit_stint(kit, round, changes - 1).to_day);
    }
    sel_text_addf(html, "</td><td>change heads, %zu time%s", changes, changes == 1 ? "" : "s");
    if (changes > 1)
        sel_text_addf(html, ", about every %d days", kit->plan.field.interval_days);
    sel_text_add(html, "</td>");
    add_tour(kit, &kit->rounds[round], html);
}

static void add_visits(const struct sel_fieldkit *kit, size_t round, struct sel_text *html) {
    sel_text_add(html, "<table><thead><tr><th>day</th><th>what</th><th>order of sites</th>"
                       "<th class=\"time\">walking</th><th class=\"time\">travel</th>"
                       "<th class=\"time\">together</th></tr></thead>\n<tbody>\n");
    for (int day = 0; day < kit->setup_days[round]; day++) {
        struct sel_round tour = sel_fieldkit_setup(kit, round, day);
        add_long_visit(kit, kit->setup_day[round], day, "set up", &tour, html);
    }
    add_changes(kit, round, html);
    for (int day = 0; day < kit->takedown_days[round]; day++) {
        struct sel_round tour = sel_fieldkit_takedown(kit, round, day);
        add_long_visit(kit, sel_fieldkit_takedown_day(kit, round), day, "take down", &tour, html);
    }
    sel_text_add(html, "</tbody></table>\n");
}

// --- things ---

static void add_amount(struct sel_text *html, const struct sel_kit_item *item, double amount) {
    sel_text_add(html, "<td class=\"num\">");
    if (amount == 0.0)
        sel_text_add(html, "\u2013");
    else if (item->fluid)
        sel_add_volume(html, amount);
    else
        sel_text_addf(html, "%.0f", amount);
    sel_text_add(html, "</td>");
}

static void add_name(
    const struct sel_fieldkit *kit, size_t index, const char *name, struct sel_text *html) {
    static const size_t TRAP = 0, PRESERVATIVE = 3;
    sel_markup_wrap(html, "<td class=\"name\">", name, "");
    if (index == TRAP)
        sel_markup_wrap(html, ": <bdi>", kit->plan.field.trap_type, "</bdi>");
    if (index == PRESERVATIVE)
        sel_markup_wrap(html, ": <bdi>",
            kit->plan.field.preservative ? kit->plan.field.preservative : "not named in the plan",
            "</bdi>");
    sel_text_add(html, "</td>");
}

static void add_things(const struct sel_fieldkit *kit, size_t round, struct sel_text *html) {
    sel_text_add(html,
        "<table class=\"kit\"><thead><tr><th></th><th>what</th><th class=\"num\">set-up</th>"
        "<th class=\"num\">each change</th><th class=\"num\">season</th><th>sites</th><th></th>"
        "</tr></thead>\n<tbody>\n");
    for (size_t i = 0; i < sel_kit_items(); i++) {
        struct sel_kit_item item = sel_kit_count(kit, i, round);
        struct sel_text sites;
        sel_text_init(&sites);
        sel_kit_sites(kit, i, round, &sites);
        if (item.season > 0.0) {
            sel_text_add(html, "<tr><td class=\"tick\"></td>");
            add_name(kit, i, item.name, html);
            add_amount(html, &item, item.setup);
            add_amount(html, &item, item.change);
            add_amount(html, &item, item.season);
            sel_markup_wrap(html, "<td class=\"ids\">", sites.chars, "</td>");
            sel_markup_wrap(html, "<td class=\"soft\">", item.note, "</td></tr>\n");
        }
        html->failed = html->failed || sites.failed;
        sel_text_clear(&sites);
    }
    sel_text_add(html, "</tbody></table>\n");
}

static void add_pan_advice(const struct sel_fieldkit *kit, struct sel_text *html) {
    if (kit->plan.field.pans > 0)
        return;
    struct sel_text sunny, shady;
    sel_text_init(&sunny);
    sel_text_init(&shady);
    sel_kit_sites(kit, sel_kit_items() - 2, kit->round_count, &sunny);
    sel_kit_sites(kit, sel_kit_items() - 1, kit->round_count, &shady);
    sel_text_add(html, "<p class=\"soft\">The plan has no open pans (field.pans). Should you add "
                       "some: propylene glycol where it is sunny and they dry out (");
    sel_markup_add(html, sunny.chars ? sunny.chars : "no site");
    sel_markup_wrap(
        html, "), soapy water elsewhere (", shady.chars ? shady.chars : "no site", ").</p>\n");
    html->failed = html->failed || sunny.failed || shady.failed;
    sel_text_clear(&sunny);
    sel_text_clear(&shady);
}

static void add_tools(struct sel_text *html) {
    static const char *const TOOLS[] = {"permits and landowners\u2019 letters, copies",
        "setup cards, labels, this list", "GPS receiver with sites.gpx, and a paper map",
        "compass without steel nearby", "pencils, and tape that sticks when wet",
        "spirit level, tape measure, mallet", "knife and secateurs, where clearing is allowed",
        "spare cable ties and needle and thread", "tight box for full bottles, upright",
        "funnel, fine sieve, wash bottle", "container for used fluids", "gloves and eye protection",
        "first-aid kit, tick tweezers, phone, drinking water",
        "insecticide only as label and law allow"};
    sel_text_add(html, "<h2>For every round</h2>\n<ol class=\"tools\">\n");
    for (size_t i = 0; i < sizeof TOOLS / sizeof *TOOLS; i++)
        sel_markup_wrap(html, "<li>", TOOLS[i], "</li>\n");
    sel_text_add(html, "</ol>\n");
}

static void add_round(const struct sel_fieldkit *kit, size_t round, struct sel_text *html) {
    sel_text_addf(html, "<section class=\"round\"><h1>Round %zu</h1>\n", round + 1);
    add_visits(kit, round, html);
    sel_text_add(html, "<h2>Stops</h2>\n");
    add_stops(kit, round, html);
    if (kit->round_count > 1) {
        sel_text_add(html, "<h2>To take along</h2>\n");
        add_things(kit, round, html);
    }
    sel_markup_wrap(html, "<p class=\"tiny\">", SEL_CAUTIONS_SHORT, "</p></section>\n");
}

void sel_fieldkit_list_html(const struct sel_fieldkit *kit, struct sel_text *html) {
    sel_page_begin(html, "Kit list", kit->title, STYLE);
    sel_text_add(html, "<h1>Kit list</h1>");
    sel_markup_wrap(html, "<p class=\"soft\"><bdi>", kit->title, "</bdi></p>\n");
    add_facts(kit, html);
    add_remarks(kit, html);
    add_rounds(kit, html);
    sel_text_add(html, "<h2>For the whole survey</h2>\n");
    add_things(kit, kit->round_count, html);
    add_pan_advice(kit, html);
    add_tools(html);
    sel_page_cautions(html);
    for (size_t i = 0; i < kit->round_count; i++)
        add_round(kit, i, html);
    sel_page_end(html);
}

// --- table ---

static void add_csv_row(
    const struct sel_fieldkit *kit, size_t index, size_t round, struct sel_text *csv) {
    struct sel_kit_item item = sel_kit_count(kit, index, round);
    struct sel_text sites;
    sel_text_init(&sites);
    sel_kit_sites(kit, index, round, &sites);
    if (round == kit->round_count)
        sel_csv_cell(csv, "all");
    else
        sel_csv_cellf(csv, "%zu", round + 1);
    sel_csv_cell(csv, item.name);
    sel_csv_cell(csv, item.fluid ? "ml" : "piece");
    sel_csv_number(csv, item.setup, 0);
    sel_csv_number(csv, item.change, 0);
    sel_csv_number(csv, item.season, 0);
    sel_csv_cell(csv, sites.chars);
    sel_csv_cell(csv, item.note);
    sel_csv_end(csv);
    csv->failed = csv->failed || sites.failed;
    sel_text_clear(&sites);
}

void sel_fieldkit_list_csv(const struct sel_fieldkit *kit, struct sel_text *csv) {
    static const char *const HEADS[] = {
        "round", "item", "unit", "setup", "each_change", "season", "sites", "note"};
    for (size_t i = 0; i < sizeof HEADS / sizeof *HEADS; i++)
        sel_csv_cell(csv, HEADS[i]);
    sel_csv_end(csv);
    for (size_t round = 0; round <= kit->round_count; round++)
        for (size_t i = 0; i < sel_kit_items(); i++)
            add_csv_row(kit, i, round, csv);
}
