// SPDX-License-Identifier: MIT
//
// The plan view: a compass card 220 units wide, true north up, angles clockwise.
#include "fieldkit/drawing.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "fieldkit/markup.h"
#include "fieldkit/words.h"

static const double RADIANS_PER_DEGREE = 0.017453292519943295;
static const double CARD = 78.0;  // radius of the ground shown
static const double PANEL = 44.0; // half the panel's length

struct spot {
    double x, y;
};

static struct spot at_bearing(double degrees, double radius) {
    double turned = degrees * RADIANS_PER_DEGREE;
    struct spot spot = {radius * sin(turned), -radius * cos(turned)};
    return spot;
}

void sel_fieldkit_colour(const char *colour, char code[8]) {
    bool good = colour && colour[0] == '#' && strlen(colour) == 7;
    for (size_t i = 1; good && i < 7; i++)
        good = isxdigit((unsigned char)colour[i]) != 0;
    snprintf(code, 8, "%s", good ? colour : "#c8c8c8");
}

// --- ground ---

// The half of the card that lies toward `bearing`.
static void add_half(struct sel_text *html, double bearing, const struct sel_habitat_row *habitat) {
    struct spot from = at_bearing(bearing - 90.0, CARD), to = at_bearing(bearing + 90.0, CARD);
    char code[8];
    sel_fieldkit_colour(habitat ? habitat->colour : NULL, code);
    sel_text_addf(html,
        "<path d=\"M%.2f %.2fA%.0f %.0f 0 0 1 %.2f %.2fZ\" fill=\"%s\" fill-opacity=\".55\"/>\n",
        from.x, from.y, CARD, CARD, to.x, to.y, code);
}

static void add_side_name(struct sel_text *html, double bearing, const char *letter) {
    struct spot at = at_bearing(bearing, 57.0);
    sel_text_addf(html,
        "<circle cx=\"%.2f\" cy=\"%.2f\" r=\"8\" fill=\"#fff\" stroke=\"#1c1f1d\" "
        "stroke-width=\".6\"/><text x=\"%.2f\" y=\"%.2f\" class=\"m b\">%s</text>\n",
        at.x, at.y, at.x, at.y + 3.6, letter);
}

static void add_ground(const struct sel_fieldkit_site *site, struct sel_text *html) {
    struct spot ends[2] = {at_bearing(site->row->edge_true_deg, CARD),
        at_bearing(site->row->edge_true_deg + 180.0, CARD)};
    if (!isnan(site->toward_b_deg)) {
        add_half(html, site->toward_b_deg + 180.0, site->a);
        add_half(html, site->toward_b_deg, site->b);
    }
    sel_text_addf(html,
        "<line x1=\"%.2f\" y1=\"%.2f\" x2=\"%.2f\" y2=\"%.2f\" stroke=\"#1c1f1d\" "
        "stroke-width=\".8\" stroke-dasharray=\"4 2.5\"/>\n",
        ends[0].x, ends[0].y, ends[1].x, ends[1].y);
    if (isnan(site->toward_b_deg))
        return;
    add_side_name(html, site->toward_b_deg + 180.0, "a");
    add_side_name(html, site->toward_b_deg, "b");
}

// --- compass card ---

static void add_ring(struct sel_text *html) {
    sel_text_addf(html,
        "<circle r=\"%.0f\" fill=\"none\" stroke=\"#1c1f1d\" stroke-width=\".8\"/>\n<path d=\"",
        CARD);
    for (int degrees = 0; degrees < 360; degrees += 10) {
        struct spot in = at_bearing(degrees, CARD);
        struct spot out = at_bearing(degrees, CARD + (degrees % 30 == 0 ? 5.0 : 2.5));
        sel_text_addf(html, "M%.2f %.2fL%.2f %.2f", in.x, in.y, out.x, out.y);
    }
    sel_text_add(html, "\" stroke=\"#1c1f1d\" stroke-width=\".6\" fill=\"none\"/>\n");
}

static void add_numbers(struct sel_text *html) {
    static const char *const LETTERS[] = {"N", "E", "S", "W"};
    for (int degrees = 0; degrees < 360; degrees += 30) {
        struct spot at = at_bearing(degrees, CARD + 11.5);
        if (degrees % 90 == 0)
            sel_text_addf(html, "<text x=\"%.2f\" y=\"%.2f\" class=\"m b\">%s</text>", at.x,
                at.y + 3.0, LETTERS[degrees / 90]);
        else
            sel_text_addf(html, "<text x=\"%.2f\" y=\"%.2f\" class=\"m s\">%d</text>", at.x,
                at.y + 2.4, degrees);
    }
    sel_text_add(html, "\n");
}

static void add_needle(struct sel_text *html, double degrees, const char *colour, bool full) {
    struct spot foot = at_bearing(degrees, CARD + 17.0), tip = at_bearing(degrees, CARD + 29.0);
    struct spot left = at_bearing(degrees - 1.9, CARD + 22.5);
    struct spot right = at_bearing(degrees + 1.9, CARD + 22.5);
    sel_text_addf(html,
        "<path d=\"M%.2f %.2fL%.2f %.2f\" stroke=\"%s\" stroke-width=\"1\"/>"
        "<path d=\"M%.2f %.2fL%.2f %.2fL%.2f %.2fZ\" fill=\"%s\" stroke=\"%s\" "
        "stroke-width=\".7\"/>\n",
        foot.x, foot.y, tip.x, tip.y, colour, tip.x, tip.y, left.x, left.y, right.x, right.y,
        full ? colour : "#fff", colour);
}

static void add_north(const struct sel_site_row *row, struct sel_text *html) {
    static const char MAGNETIC[] = "#9c2f2a";
    add_needle(html, 0.0, "#1c1f1d", true);
    if (isnan(row->declination_deg))
        return;
    add_needle(html, row->declination_deg, MAGNETIC, false);
    struct spot foot = at_bearing(row->declination_deg, 0.0);
    struct spot tip = at_bearing(row->declination_deg, CARD);
    sel_text_addf(html,
        "<line x1=\"%.2f\" y1=\"%.2f\" x2=\"%.2f\" y2=\"%.2f\" stroke=\"%s\" stroke-width=\".6\" "
        "stroke-dasharray=\"1.5 2\"/>\n",
        foot.x, foot.y, tip.x, tip.y, MAGNETIC);
}

// --- trap ---

static void add_panel(const struct sel_site_row *row, struct sel_text *html) {
    struct spot one = at_bearing(row->panel_true_deg, PANEL);
    struct spot other = at_bearing(row->panel_true_deg + 180.0, PANEL);
    sel_text_addf(html,
        "<line x1=\"%.2f\" y1=\"%.2f\" x2=\"%.2f\" y2=\"%.2f\" stroke=\"#fff\" "
        "stroke-width=\"7\" stroke-linecap=\"round\"/>"
        "<line x1=\"%.2f\" y1=\"%.2f\" x2=\"%.2f\" y2=\"%.2f\" stroke=\"#1c1f1d\" "
        "stroke-width=\"4\" stroke-linecap=\"round\"/>\n",
        one.x, one.y, other.x, other.y, one.x, one.y, other.x, other.y);
}

// Insects come from both sides at right angles to the panel.
static void add_flight(const struct sel_site_row *row, struct sel_text *html) {
    for (int side = -1; side <= 1; side += 2) {
        double toward = row->panel_true_deg + 90.0 * side;
        struct spot from = at_bearing(toward, 40.0), to = at_bearing(toward, 9.0);
        struct spot left = at_bearing(toward - 12.0, 16.0), right = at_bearing(toward + 12.0, 16.0);
        sel_text_addf(html,
            "<path d=\"M%.2f %.2fL%.2f %.2fM%.2f %.2fL%.2f %.2fL%.2f %.2f\" stroke=\"#1c1f1d\" "
            "stroke-width=\"1.1\" fill=\"none\"/>\n",
            from.x, from.y, to.x, to.y, left.x, left.y, to.x, to.y, right.x, right.y);
    }
}

static void add_head(const struct sel_site_row *row, struct sel_text *html) {
    struct spot at = at_bearing(row->head_true_deg, PANEL);
    sel_text_addf(html,
        "<circle cx=\"%.2f\" cy=\"%.2f\" r=\"7.5\" fill=\"#f2b632\" stroke=\"#1c1f1d\" "
        "stroke-width=\"1.6\"/><text x=\"%.2f\" y=\"%.2f\" class=\"m b\">H</text>\n",
        at.x, at.y, at.x, at.y + 3.3);
}

void sel_fieldkit_draw_plan(const struct sel_fieldkit_site *site, struct sel_text *html) {
    sel_text_add(html, "<svg class=\"plan\" viewBox=\"-112 -112 224 210\" role=\"img\" "
                       "aria-label=\"panel and head from above\">\n");
    add_ground(site, html);
    add_ring(html);
    add_numbers(html);
    add_north(site->row, html);
    add_flight(site->row, html);
    add_panel(site->row, html);
    add_head(site->row, html);
    sel_text_add(html, "</svg>\n");
}
