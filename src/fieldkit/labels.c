// SPDX-License-Identifier: MIT
//
// Two sizes: 62 x 22 mm to lie inside a jar, 93 x 54 mm for the head and the field box. They come
// bottle by bottle, in the order of the rounds, so that a visit's labels are cut from one stack.
// With a two-dimensional code the small one is 25 mm high; the code holds the bottle's eventID.
// Reserves get one label of each size with the bottle's number left blank. What is known only in
// the field is a line to write on, in pencil (common practice: pencil on acid-free paper).
#include "fieldkit/labels.h"

#include <math.h>

#include "fieldkit/code.h"
#include "fieldkit/event_row.h"
#include "fieldkit/markup.h"
#include "fieldkit/page.h"
#include "fieldkit/words.h"
#include "output/columns.h"
#include "plan/words.h"

static const char STYLE[] =
    "@page{margin:9mm 10mm}"
    "body{max-width:190mm}"
    ".sheet{display:flex;flex-wrap:wrap;align-content:flex-start;break-after:page}"
    ".sheet:last-child{break-after:auto}"
    ".intro{break-after:page}"
    ".s,.l{border:.15mm dashed #8b938e;overflow:hidden;break-inside:avoid;display:flex;"
    "flex-direction:column}"
    ".s{width:62mm;height:22mm;padding:.8mm 1.4mm;font-size:5.8pt;line-height:1.2}"
    ".l{width:93mm;height:54mm;padding:2.4mm 3mm;font-size:8.4pt;line-height:1.32}"
    ".h{display:flex;justify-content:space-between;align-items:baseline;gap:1.5mm}"
    ".h b{font-size:1.45em;letter-spacing:.02em;white-space:nowrap}"
    ".t{overflow:hidden;text-overflow:ellipsis;white-space:nowrap;min-width:0}"
    ".c{font-variant-numeric:tabular-nums;white-space:nowrap;overflow:hidden}"
    ".w{display:flex;gap:1.5mm;align-items:flex-end}"
    ".w i{flex:1;border-bottom:.2mm solid #1c1f1d;min-width:8mm}"
    ".w span{flex:none;white-space:nowrap}"
    ".w .k{flex:0 1 auto;overflow:hidden;text-overflow:ellipsis;min-width:0}"
    ".s .w{height:3.3mm}.l .w{height:6mm}"
    ".b{margin-top:auto}"
    ".coded .s{height:25mm}"
    ".q{display:flex;flex:1;min-height:0}"
    ".g{flex:1;min-width:0;display:flex;flex-direction:column}"
    ".q svg{flex:none;align-self:center}"
    ".s .q svg{margin:-.8mm -1.4mm 0 0}.l .q svg{align-self:flex-end;margin:0 -2mm -1.4mm 1mm}";

// The side of a code's square on paper. Handheld readers and phones want 0.33 mm (common practice,
// no source).
static const double SMALL_MODULE_MM = 0.4, LARGE_MODULE_MM = 0.5;

// A label to be made: stint SIZE_MAX leaves the bottle's number blank. Traps count from 1.
struct label {
    const struct sel_fieldkit *kit;
    const struct sel_fieldkit_site *site;
    size_t stint;
    int trap;
    bool large;
};

// A bottle without a number has no event yet.
static bool has_code(const struct label *label) {
    return label->kit->plan.field.label_code && label->stint != SIZE_MAX;
}

// What comes until end_beside stands to the left of the code.
static void begin_beside(const struct label *label, struct sel_text *html) {
    if (has_code(label))
        sel_text_add(html, "<div class=\"q\"><div class=\"g\">\n");
}

static void end_beside(const struct label *label, struct sel_text *html) {
    struct sel_text id;
    if (!has_code(label))
        return;
    sel_text_init(&id);
    sel_event_id(label->kit, label->site, (int)label->stint + 1, &id);
    sel_text_add(html, "</div>\n");
    if (id.failed)
        html->failed = true;
    else
        sel_code_draw(id.chars, label->large ? LARGE_MODULE_MM : SMALL_MODULE_MM, html);
    sel_text_add(html, "</div>\n");
    sel_text_clear(&id);
}

static void add_part(struct sel_text *html, const char **between, const char *part) {
    if (!part)
        return;
    sel_text_add(html, *between);
    sel_markup_name(html, part);
    *between = ", ";
}

// "XX, Lower Hills, Alder Brook valley", the widest first as labels of collections have it, so that
// only the end of a long line is cut. Nothing where the plan names none: the title stands above.
static void add_locality(const struct label *label, struct sel_text *html) {
    const struct sel_plan_field *field = &label->kit->plan.field;
    const char *between = "";
    if (!field->country_code && !field->region && !field->place)
        return;
    sel_text_add(html, "<div class=\"t\">");
    add_part(html, &between, field->country_code);
    add_part(html, &between, field->region);
    add_part(html, &between, field->place);
    sel_text_add(html, "</div>\n");
}

static void add_head(const struct label *label, struct sel_text *html) {
    sel_markup_wrap(html, "<div class=\"h\"><b>", sel_fieldkit_id(label->site), "");
    if (label->kit->plan.traps > 1)
        sel_text_addf(html, " T%d", label->trap);
    if (label->stint == SIZE_MAX)
        sel_text_add(html, " / ____</b>");
    else
        sel_text_addf(html, " / %zu</b>", label->stint + 1);
    sel_markup_wrap(html, "<span class=\"t\"><bdi>", label->kit->title, "</bdi></span></div>\n");
    add_locality(label, html);
}

static void add_parcel(const struct label *label, struct sel_text *html) {
    const char *parcel = label->site->row->parcel;
    if (parcel && parcel[0])
        sel_markup_wrap(html, ", parcel <bdi>", parcel, "</bdi>");
}

// A small label has room for no line of its own for elevation and parcel. Beside a code its lines
// are short, but there is one more of them.
static void add_place(const struct label *label, struct sel_text *html) {
    const struct sel_site_row *row = label->site->row;
    const char *between = label->large || !has_code(label) ? " " : "</div>\n<div class=\"c\">";
    sel_text_add(html, "<div class=\"c\">");
    sel_add_position(html, row->latitude, row->longitude);
    sel_text_addf(html, "%s\u00B1 %.0f m, WGS 84</div>\n<div class=\"t\">", between,
        ceil(row->coordinate_uncertainty_m));
    if (!isnan(row->elevation_m))
        sel_text_addf(html, "%.0f m a.s.l.", sel_round_to(row->elevation_m, 0));
    if (label->large) {
        add_parcel(label, html);
        sel_text_add(html, "</div>\n<div class=\"t\">");
    } else if (!isnan(row->elevation_m)) {
        sel_text_add(html, "; ");
    }
}

static void add_pair(const struct label *label, struct sel_text *html) {
    const struct sel_site_row *row = label->site->row;
    sel_markup_name(html, sel_fieldkit_habitat(row->habitat_a));
    sel_text_add(html, " | ");
    sel_markup_name(html, sel_fieldkit_habitat(row->habitat_b));
    sel_text_add(html, "</div>\n");
}

static void add_trap(const struct label *label, struct sel_text *html) {
    sel_text_add(html, "<div class=\"t\">");
    sel_markup_name(html, label->kit->plan.field.trap_type);
    if (!label->large)
        add_parcel(label, html);
    sel_text_add(html, "</div>\n");
}

// A line to write on, or the text that the plan gives.
static void add_field(struct sel_text *html, const char *name, const char *known) {
    sel_text_addf(html, known ? "<span class=\"k\">%s" : "<span>%s", name);
    if (known)
        sel_markup_wrap(html, " <bdi>", known, "</bdi></span>");
    else
        sel_text_add(html, "</span><i></i>");
}

static void add_days(struct sel_text *html) {
    sel_text_add(html, "<div class=\"w b\"><span>from</span><i></i><span>to</span><i></i></div>\n");
}

static void add_blanks(const struct label *label, struct sel_text *html) {
    const struct sel_plan_field *field = &label->kit->plan.field;
    if (label->large) {
        sel_text_add(html, "<div class=\"w\">");
        add_field(html, "collector", field->collector);
        sel_text_add(html, "</div>\n<div class=\"w\">");
        add_field(html, "preservative", field->preservative);
    } else {
        sel_text_add(html, "<div class=\"w\">");
        add_field(html, "coll.", field->collector);
        add_field(html, "pres.", field->preservative);
    }
    sel_text_add(html, "</div>\n");
}

static void add_plan(const struct label *label, struct sel_text *html) {
    sel_text_add(html, "<div class=\"soft\">");
    if (label->stint != SIZE_MAX) {
        struct sel_stint days = sel_fieldkit_site_stint(label->kit, label->site, label->stint);
        sel_text_addf(html, "round %d, planned ", label->site->round + 1);
        sel_add_iso_date(html, days.from_day);
        sel_text_add(html, " to ");
        sel_add_iso_date(html, days.to_day);
    } else {
        sel_markup_wrap(html, "reserve for ", label->site->row->reserve_for, "");
    }
    sel_text_add(html, "</div>\n");
}

static void add_large(const struct label *label, struct sel_text *html) {
    sel_text_add(html, "<div class=\"l\">");
    add_head(label, html);
    add_place(label, html);
    add_pair(label, html);
    begin_beside(label, html);
    add_trap(label, html);
    add_plan(label, html);
    add_days(html);
    add_blanks(label, html);
    end_beside(label, html);
    sel_text_add(html, "</div>\n");
}

static void add_small(const struct label *label, struct sel_text *html) {
    sel_text_add(html, "<div class=\"s\">");
    begin_beside(label, html);
    add_head(label, html);
    add_place(label, html);
    add_pair(label, html);
    add_trap(label, html);
    add_days(html);
    end_beside(label, html);
    add_blanks(label, html);
    sel_text_add(html, "</div>\n");
}

static void add_traps(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site,
    size_t stint, bool large, struct sel_text *html) {
    for (int trap = 1; trap <= kit->plan.traps; trap++) {
        struct label label = {kit, site, stint, trap, large};
        if (large)
            add_large(&label, html);
        else
            add_small(&label, html);
    }
}

static void begin_sheet(const struct sel_fieldkit *kit, struct sel_text *html) {
    const char *coded = kit->plan.field.label_code ? " coded" : "";
    sel_text_addf(html, "<section class=\"sheet%s\">\n", coded);
}

static void add_sheet(const struct sel_fieldkit *kit, bool large, struct sel_text *html) {
    begin_sheet(kit, html);
    for (size_t stint = 0; stint < kit->stint_count; stint++) {
        for (size_t place = 0; place < kit->primary_count; place++) {
            add_traps(kit, sel_fieldkit_at(kit, place), stint, large, html);
        }
    }
    sel_text_add(html, "</section>\n");
}

static void add_reserves(const struct sel_fieldkit *kit, bool large, struct sel_text *html) {
    if (kit->site_count == kit->primary_count)
        return;
    begin_sheet(kit, html);
    for (size_t i = 0; i < kit->site_count; i++) {
        if (kit->sites[i].row->reserve_for)
            add_traps(kit, &kit->sites[i], SIZE_MAX, large, html);
    }
    sel_text_add(html, "</section>\n");
}

static void add_code_note(const struct sel_fieldkit *kit, struct sel_text *html) {
    if (!kit->plan.field.label_code)
        return;
    sel_text_addf(html,
        "<p>The code holds the bottle\u2019s eventID, by which events.csv tells of it%s. Try one "
        "with your reader before all are cut. Reserves have none, since the bottle\u2019s number "
        "is not known yet.</p>\n",
        kit->plan.traps > 1 ? ": the same for all traps of a site" : "");
}

static void add_intro(const struct sel_fieldkit *kit, struct sel_text *html) {
    size_t traps = kit->primary_count * (size_t)kit->plan.traps;
    sel_text_add(html, "<section class=\"intro\"><h1>Labels</h1>");
    sel_markup_wrap(html, "<p class=\"soft\"><bdi>", kit->title, "</bdi></p>\n");
    sel_text_addf(html,
        "<p>%zu trap%s on %zu site%s, %zu bottle%s each: %zu small labels (62 x %d mm) to lie "
        "inside the jar, then as many large ones (93 x 54 mm) for the head and the field box. They "
        "come bottle by "
        "bottle in the order of the rounds. At the end is one of each size for every trap of a "
        "reserve, with the bottle\u2019s number left blank: print it as often as the reserve is "
        "used.</p>\n",
        traps, traps == 1 ? "" : "s", kit->primary_count, kit->primary_count == 1 ? "" : "s",
        kit->stint_count, kit->stint_count == 1 ? "" : "s", traps * kit->stint_count,
        kit->plan.field.label_code ? 25 : 22);
    sel_text_addf(html,
        "<p>Print at 100 %%, not fitted to the page, on acid-free paper, and cut along the dashed "
        "lines. Write in pencil: ink runs in alcohol. The number after the stroke is the "
        "bottle\u2019s%s. The position is the planned one: where the trap stands elsewhere, strike "
        "it out and write the true one.</p>\n",
        kit->plan.traps > 1 ? ", T1 the site\u2019s first trap" : "");
    add_code_note(kit, html);
    sel_page_cautions(html);
    sel_text_add(html, "</section>\n");
}

static sel_status check_code(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    struct sel_text id;
    sel_text_init(&id);
    sel_event_id(kit, site, (int)kit->stint_count, &id);
    sel_status status = id.failed ? sel_fail_memory(kit->package->context) : SEL_OK;
    if (status == SEL_OK && !sel_code_fits(id.chars))
        status = sel_fail(kit->package->context, SEL_BAD_INPUT,
            "%s: table sites: the id %s does not fit the code of a label: set field.label_code to "
            "false and rank again",
            kit->package->path, sel_quote(sel_fieldkit_id(site)).chars);
    sel_text_clear(&id);
    return status;
}

sel_status sel_fieldkit_check_labels(const struct sel_fieldkit *kit) {
    sel_status status = SEL_OK;
    for (size_t i = 0; kit->plan.field.label_code && i < kit->primary_count && status == SEL_OK;
         i++)
        status = check_code(kit, sel_fieldkit_at(kit, i));
    return status;
}

void sel_fieldkit_labels(const struct sel_fieldkit *kit, struct sel_text *html) {
    sel_page_begin(html, "Labels", kit->title, STYLE);
    add_intro(kit, html);
    add_sheet(kit, false, html);
    add_sheet(kit, true, html);
    add_reserves(kit, false, html);
    add_reserves(kit, true, html);
    sel_page_end(html);
}
