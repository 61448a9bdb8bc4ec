// SPDX-License-Identifier: MIT
//
// The card: where, how the trap stands, what it should look like there, what to check, and room for
// what was found. The checks are common practice, no source.
#include "fieldkit/setup.h"

#include <math.h>

#include "fieldkit/cautions.h"
#include "fieldkit/drawing.h"
#include "fieldkit/markup.h"
#include "fieldkit/page.h"
#include "fieldkit/setup_parts.h"
#include "fieldkit/words.h"
#include "output/columns.h"

static const char STYLE[] =
    "@page{margin:9mm 12mm}"
    ".card{break-after:page;font-size:8.4pt;line-height:1.27}"
    ".card:last-of-type{break-after:auto}"
    ".top{display:flex;justify-content:space-between;align-items:flex-end;gap:6mm;"
    "border-bottom:.7mm solid #2f5d46;padding-bottom:1.6mm;margin-bottom:2mm}"
    ".top h1{font-size:24pt;line-height:1}"
    ".top .side{text-align:right}"
    ".two{display:flex;gap:6mm}.two>div{flex:1 1 0;min-width:0}"
    ".plan{width:70mm;display:block;margin:0 auto}"
    ".key{display:flex;flex-wrap:wrap;justify-content:center;gap:0 4mm;font-size:7.6pt;"
    "color:#5b625d}"
    ".section{width:100%;display:block;margin:1.5mm 0 0;max-height:30mm}"
    "svg text{font-family:inherit;text-anchor:middle;fill:#1c1f1d}"
    "svg .m{font-size:9px}svg .b{font-weight:700;font-size:10px}svg .s{font-size:7px;fill:#5b625d}"
    "svg text.c{font-size:12px}svg text[text-anchor=start]{text-anchor:start}"
    "svg text[text-anchor=end]{text-anchor:end}"
    ".card h2{font-size:9.6pt;margin:2.4mm 0 .8mm;padding-bottom:.3mm}"
    ".card td,.card th{padding:.42mm 2mm .42mm 0}.card th{font-size:7.8pt}"
    ".card p{margin:.8mm 0 0}"
    ".bear td:first-child{color:#5b625d}"
    ".look td:first-child{width:48mm}"
    ".yes td.box,.yes th.box{width:10mm;text-align:center;padding-right:0}"
    ".yes td.box::before{content:'';display:inline-block;width:3.2mm;height:3.2mm;"
    "border:.25mm solid #1c1f1d;border-radius:.4mm;vertical-align:-.5mm}"
    ".sw{display:inline-block;width:4mm;height:2.8mm;border:.2mm solid #5b625d;margin-right:1.5mm;"
    "vertical-align:-.3mm}"
    ".used{border:.35mm solid #1c1f1d;border-radius:1mm;padding:1.4mm 3mm 2mm;margin-top:2.4mm;"
    "break-inside:avoid}"
    ".used h2{border:0;margin:0;padding:0}"
    ".w{display:flex;gap:2mm;align-items:flex-end;height:6.3mm;white-space:nowrap}"
    ".w i{flex:1;border-bottom:.2mm solid #1c1f1d}";

// --- head ---

static void add_position(const struct sel_fieldkit_site *site, struct sel_text *html) {
    const struct sel_site_row *row = site->row;
    sel_text_add(html, "<div class=\"side mono\"><b>");
    sel_add_position(html, row->latitude, row->longitude);
    sel_text_addf(
        html, "</b><br>WGS 84, good to \u00B1 %.0f m", ceil(row->coordinate_uncertainty_m));
    if (!isnan(row->elevation_m))
        sel_text_addf(html, "; %.0f m a.s.l.", sel_round_to(row->elevation_m, 0));
    if (row->parcel && row->parcel[0])
        sel_markup_wrap(html, "<br>parcel <bdi>", row->parcel, "</bdi>");
    if (row->owner_ref && row->owner_ref[0])
        sel_markup_wrap(html, ", owner <bdi>", row->owner_ref, "</bdi>");
    sel_text_add(html, "</div>");
}

static void add_standing(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html) {
    if (site->row->reserve_for) {
        sel_markup_wrap(html, "reserve for ", site->row->reserve_for, "");
        return;
    }
    sel_text_addf(
        html, "rank %lld, round %d, set up on ", (long long)site->row->rank, site->round + 1);
    sel_add_long_date(html, sel_fieldkit_site_stint(kit, site, 0).from_day);
    sel_text_add(html, ", take down on ");
    sel_add_long_date(html, sel_fieldkit_site_stint(kit, site, kit->stint_count - 1).to_day);
}

static void add_top(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html) {
    sel_markup_wrap(html, "<div class=\"top\"><div><h1>", sel_fieldkit_id(site), "</h1>");
    sel_markup_wrap(html, "<bdi>", kit->title, "</bdi><br><span class=\"soft\">");
    add_standing(kit, site, html);
    sel_text_add(html, "</span></div>\n");
    add_position(site, html);
    sel_text_add(html, "</div>\n");
}

// --- card ---

static void add_key(const struct sel_fieldkit_site *site, struct sel_text *html) {
    sel_text_add(html, "<div class=\"key\"><span>\u25B2 true north</span>");
    if (!isnan(site->row->declination_deg))
        sel_text_add(html, "<span><span style=\"color:#9c2f2a\">\u25B3</span> magnetic "
                           "north</span>");
    sel_text_add(html, "<span>thick: panel</span><span>H: collecting head</span><span>dashed: "
                       "edge</span><span>arrows: flight</span></div>\n");
}

static void add_used_position(struct sel_text *html) {
    sel_text_add(html, "<div class=\"used\"><h2>Position really used</h2>\n"
                       "<div class=\"w\"><span>latitude</span><i></i><span>longitude</span><i></i>"
                       "<span>\u00B1 m</span><i></i><span>elevation m</span><i></i></div>\n"
                       "<div class=\"w\"><span>head points to</span><i></i><span>\u00B0 by "
                       "compass&emsp;date</span>"
                       "<i></i><span>by</span><i></i></div>\n"
                       "<div class=\"w\"><span>remarks</span><i></i></div></div>\n");
}

static void add_card(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html) {
    sel_text_add(html, "<article class=\"card\">\n");
    add_top(kit, site, html);
    sel_text_add(html, "<div class=\"two\"><div>\n");
    sel_fieldkit_draw_plan(site, html);
    add_key(site, html);
    sel_text_add(html, "</div><div>\n");
    sel_card_bearings(kit, site, html);
    sel_card_walk(kit, site, html);
    sel_text_add(html, "</div></div>\n");
    sel_card_habitats(site, html);
    sel_fieldkit_draw_section(kit, site, html);
    sel_card_checks(site, html);
    sel_card_reserves(kit, site, html);
    add_used_position(html);
    sel_markup_wrap(html, "<p class=\"tiny\">", SEL_CAUTIONS_SHORT, "</p>\n</article>\n");
}

void sel_fieldkit_setup_cards(const struct sel_fieldkit *kit, struct sel_text *html) {
    sel_page_begin(html, "Setup cards", kit->title, STYLE);
    for (size_t i = 0; i < kit->site_count; i++)
        add_card(kit, &kit->sites[i], html);
    sel_page_end(html);
}
