// SPDX-License-Identifier: MIT
//
// Layout and lettering of the map's page.
#include "map/page.h"

#include <math.h>

#include "output/utf8.h"

const struct sel_ink SEL_INK_TEXT = {0.13, 0.14, 0.18, 1.0};
const struct sel_ink SEL_INK_FAINT = {0.42, 0.44, 0.49, 1.0};
const struct sel_ink SEL_INK_SITE = {0.50, 0.05, 0.34, 1.0};
const struct sel_ink SEL_INK_PAPER = {1.0, 1.0, 1.0, 1.0};
const double SEL_MAP_VEIL = 0.22;

// In units.
static const double EDGE = 22.0, HEADING = 62.0, TICK_LABELS = 26.0, MARGIN_WIDTH = 205.0,
                    MARGIN_GAP = 20.0, MARGIN_LINE = 19.0, MARGIN_REST = 219.0;
static const double UNITS_ACROSS = 1000.0, UNIT_LEAST = 0.72;

// A map taller than this times the room for its width is drawn narrower.
static const double TALLEST = 1.5;

void sel_page_lay_out(struct sel_map_page *page, int width_px, const double extent[4],
    double metres, int margin_lines) {
    double unit = fmax(UNIT_LEAST, width_px / UNITS_ACROSS);
    double wide = extent[2] - extent[0], high = extent[3] - extent[1];
    double beside = (2.0 * EDGE + TICK_LABELS + MARGIN_GAP + MARGIN_WIDTH) * unit;
    double room = width_px - beside;
    double scale = fmin(room / wide, room * TALLEST / high);
    double centring = 0.5 * (room - wide * scale);
    double left = (EDGE + TICK_LABELS) * unit + centring, top = (EDGE + HEADING) * unit;
    page->unit = unit;
    page->frame =
        (struct sel_map_box){floor(left), floor(top), round(wide * scale), round(high * scale)};
    page->scale = scale;
    page->west = extent[0];
    page->north = extent[3];
    page->metres = metres;
    double margin_height = (MARGIN_LINE * margin_lines + MARGIN_REST) * unit;
    double height = fmax(page->frame.height, margin_height);
    page->margin = (struct sel_map_box){
        page->frame.x + page->frame.width + MARGIN_GAP * unit, top, MARGIN_WIDTH * unit, height};
    page->width = width_px;
    page->height = ceil(top + height + (TICK_LABELS + EDGE) * unit);
}

void sel_set_ink(const struct sel_map_page *page, struct sel_ink ink) {
    cairo_set_source_rgba(page->cairo, ink.red, ink.green, ink.blue, ink.alpha);
}

static double text_width(cairo_t *cairo, const char *chars) {
    cairo_text_extents_t extents;
    cairo_text_extents(cairo, chars, &extents);
    return extents.x_advance;
}

// Cuts `text` (in place) until it and an ellipsis fit.
static void cut_to(cairo_t *cairo, struct sel_text *text, double most) {
    static const char ELLIPSIS[] = "\xE2\x80\xA6";
    if (text_width(cairo, text->chars) <= most)
        return;
    double room = most - text_width(cairo, ELLIPSIS);
    while (text->length > 0 && text_width(cairo, text->chars) > room) {
        do
            text->length--;
        while (text->length > 0 && ((unsigned char)text->chars[text->length] & 0xC0) == 0x80);
        text->chars[text->length] = '\0';
    }
    sel_text_add(text, ELLIPSIS);
}

void sel_letter(const struct sel_map_page *page, double x, double y,
    const struct sel_lettering *lettering, const char *chars) {
    static const double SHARE[] = {0.0, 0.5, 1.0};
    cairo_t *cairo = page->cairo;
    struct sel_text text;
    sel_text_init(&text);
    sel_utf8_add_printable(&text, chars);
    if (text.chars && !text.failed) {
        cairo_select_font_face(cairo, "sans-serif", CAIRO_FONT_SLANT_NORMAL,
            lettering->bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
        cairo_set_font_size(cairo, lettering->size * page->unit);
        if (lettering->most > 0.0)
            cut_to(cairo, &text, lettering->most);
        sel_set_ink(page, lettering->ink);
        cairo_move_to(cairo, x - SHARE[lettering->anchor] * text_width(cairo, text.chars), y);
        cairo_show_text(cairo, text.chars);
    }
    *page->wordless = *page->wordless || text.failed;
    sel_text_clear(&text);
}

double sel_round_step(double most) {
    if (!(most > 0.0))
        return 1.0;
    double power = pow(10.0, floor(log10(most)));
    double lead = most / power;
    return power * (lead >= 5.0 ? 5.0 : lead >= 2.0 ? 2.0 : 1.0);
}
