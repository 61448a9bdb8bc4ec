// SPDX-License-Identifier: MIT
//
// Data sets with dates and checksums, the habitat table, the plan as used.
#include <ctype.h>
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"

// --- data sets ---

static void add_optional(struct sel_text *html, const char *before, const char *value) {
    if (!value || !value[0])
        return;
    sel_text_add(html, before);
    sel_html_text(html, value);
}

static void add_size(struct sel_text *html, int64_t bytes) {
    if (bytes == SEL_NO_INTEGER)
        return;
    if (bytes < 1000000)
        sel_text_addf(html, "%.1f&nbsp;kB", (double)bytes / 1000.0);
    else
        sel_text_addf(html, "%.1f&nbsp;MB", (double)bytes / 1e6);
}

static bool is_slash(char c) {
    return c == '/' || c == '\\';
}

static bool leads_away(const char *file) {
    bool drive = isalpha((unsigned char)file[0]) && file[1] == ':';
    return drive || is_slash(file[0]) || (strncmp(file, "..", 2) == 0 && is_slash(file[2]));
}

// The folders of somebody's machine are nothing to print: of a path that leads away from the plan
// the last part.
static const char *shown_name(const char *file) {
    const char *name = file;
    if (!file || !leads_away(file))
        return file;
    for (const char *at = file; *at; at++)
        if (is_slash(*at) && at[1])
            name = at + 1;
    return name;
}

static void add_input(struct sel_text *html, const struct sel_input_row *row) {
    sel_text_add(html, "<tr><th scope=\"row\">");
    sel_html_name(html, row->role);
    sel_text_add(html, "</th><td>");
    sel_html_name(html, shown_name(row->file));
    add_optional(html, ", layer ", row->layer);
    add_optional(html, ", part of ", shown_name(row->belongs_to));
    sel_text_add(html, "<br><small>");
    add_optional(html, "", row->crs);
    if (!isnan(row->pixel_x))
        sel_text_addf(html, ", cells %.6g by %.6g", row->pixel_x, row->pixel_y);
    add_optional(html, ", resampled: ", row->resampling);
    add_optional(html, " ", row->note);
    sel_text_add(html, "</small></td><td class=\"when\">");
    if (row->modified)
        sel_html_date(html, row->modified);
    sel_text_add(html, "</td><td class=\"n\">");
    add_size(html, row->size_bytes);
    sel_text_add(html, "</td><td class=\"sum\">");
    sel_html_text(html, row->sha256);
    sel_text_add(html, "</td></tr>\n");
}

static void add_inputs(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<h3>Data sets</h3>\n");
    sel_html_begin_table(html, "inputs", "role|file|changed|#size|SHA-256");
    for (size_t i = 0; i < dossier->input_count; i++)
        add_input(html, &dossier->inputs[i]);
    sel_html_end_table(html);
}

// --- habitats ---

static void add_habitat(struct sel_dossier *dossier, const struct sel_habitat_row *row) {
    struct sel_text *html = dossier->html;
    char code[SEL_COLOUR_SIZE];
    sel_dossier_colour(dossier, row->habitat, code);
    sel_text_addf(html,
        "<tr><th scope=\"row\"><svg class=\"sign\" viewBox=\"0 0 24 14\" aria-hidden=\"true\" "
        "focusable=\"false\"><rect x=\"1\" y=\"1\" width=\"22\" height=\"12\" fill=\"%s\" "
        "stroke=\"#8b857c\"/></svg> ",
        code);
    sel_html_name(html, row->habitat);
    sel_text_add(html, "</th><td>");
    sel_html_text_within(html, row->values, 40);
    sel_text_addf(html,
        "</td><td class=\"n\">%g</td><td class=\"n\">%g</td><td class=\"n\">%g</td>"
        "<td class=\"n\">%g</td><td>%s</td><td class=\"n\">%.1f</td></tr>\n",
        row->canopy_m, row->cover, row->wetness, row->edge, row->trap == 1 ? "yes" : "no",
        100.0 * row->backdrop_share);
}

static void add_habitats(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<h3>Habitats</h3>\n");
    sel_html_begin_table(html, "traits",
        "habitat|map values|#canopy, m|#cover|#wetness|#edge worth|trap allowed|#% of map");
    for (size_t i = 0; i < dossier->habitat_count; i++)
        add_habitat(dossier, &dossier->habitats[i]);
    sel_html_end_table(html);
}

// --- the plan ---

static void add_pair(struct sel_text *html, const char *key, const char *value, bool by_default) {
    sel_text_addf(html, "<li%s><span>", by_default ? " class=\"default\"" : "");
    sel_html_name(html, key);
    sel_text_add(html, "</span> <span>");
    sel_html_name(html, value);
    sel_text_add(html, "</span></li>\n");
}

static bool names_file(const char *key) {
    const char *last = key ? strrchr(key, '.') : NULL;
    return key && (strcmp(key, "habitats") == 0 || (last && strcmp(last, ".file") == 0));
}

static void add_plan(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<h3>Parameters: the plan as used</h3>\n<p class=\"note\">Grey: the default "
                       "stands.</p>\n<ul class=\"parameters\">\n");
    for (size_t i = 0; i < dossier->plan_count; i++) {
        const struct sel_plan_row *row = &dossier->plan[i];
        add_pair(html, row->key, names_file(row->key) ? shown_name(row->value) : row->value,
            row->is_default == 1);
    }
    sel_text_add(html, "</ul>\n");
}

void sel_dossier_add_sources(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<section class=\"sheet\" id=\"sources\" aria-labelledby=\"sources-head\">\n"
                       "<h2 id=\"sources-head\">Data and parameters</h2>\n");
    add_inputs(dossier);
    add_habitats(dossier);
    add_plan(dossier);
    sel_dossier_add_run(dossier);
    sel_text_add(html, "</section>\n");
}
