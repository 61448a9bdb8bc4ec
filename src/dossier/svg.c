// SPDX-License-Identifier: MIT
//
// SVG 1.1 elements that HTML takes inline.
#include "dossier/svg.h"

#include <math.h>

#include "dossier/html.h"

static const double DEGREE = 0.017453292519943295;

static void number(struct sel_text *text, const char *name, double value) {
    sel_text_addf(text, " %s=\"", name);
    sel_svg_number(text, value);
    sel_text_add(text, "\"");
}

void sel_svg_begin(
    struct sel_text *text, const char *class_name, double width, double height, const char *title) {
    sel_text_addf(text, "<svg class=\"%s\" role=\"img\" viewBox=\"0 0 ", class_name);
    sel_svg_number(text, width);
    sel_text_add(text, " ");
    sel_svg_number(text, height);
    sel_text_addf(text, "\" aria-label=\"%s\">\n", title);
}

void sel_svg_end(struct sel_text *text) {
    sel_text_add(text, "</svg>\n");
}

void sel_svg_line(struct sel_text *text, struct vec2 from, struct vec2 to, sel_svg_look look) {
    sel_text_add(text, "<line");
    number(text, "x1", from.x);
    number(text, "y1", from.y);
    number(text, "x2", to.x);
    number(text, "y2", to.y);
    sel_text_addf(text, " %s/>\n", look);
}

void sel_svg_circle(struct sel_text *text, struct vec2 centre, double radius, sel_svg_look look) {
    sel_text_add(text, "<circle");
    number(text, "cx", centre.x);
    number(text, "cy", centre.y);
    number(text, "r", radius);
    sel_text_addf(text, " %s/>\n", look);
}

void sel_svg_rect(
    struct sel_text *text, struct vec2 corner, double width, double height, sel_svg_look look) {
    sel_text_add(text, "<rect");
    number(text, "x", corner.x);
    number(text, "y", corner.y);
    number(text, "width", width);
    number(text, "height", height);
    sel_text_addf(text, " %s/>\n", look);
}

void sel_svg_point(struct sel_text *text, char command, struct vec2 at) {
    char letter[2] = {command, '\0'};
    sel_text_add(text, letter);
    sel_svg_number(text, at.x);
    sel_text_add(text, " ");
    sel_svg_number(text, at.y);
}

void sel_svg_shape(struct sel_text *text, const struct vec2 *points, size_t count, bool closed,
    sel_svg_look look) {
    sel_text_add(text, "<path d=\"");
    for (size_t i = 0; i < count; i++)
        sel_svg_point(text, i == 0 ? 'M' : 'L', points[i]);
    sel_text_addf(text, "%s\" %s/>\n", closed ? "Z" : "", look);
}

void sel_svg_label(
    struct sel_text *text, struct vec2 at, double size, sel_svg_look look, const char *label) {
    sel_text_add(text, "<text");
    number(text, "x", at.x);
    number(text, "y", at.y);
    number(text, "font-size", size);
    sel_text_addf(text, " %s>%s</text>\n", look, label);
}

void sel_svg_arrow_head(
    struct sel_text *text, struct vec2 tip, struct vec2 direction, double size, sel_svg_look look) {
    struct vec2 back = vec2_sub(tip, vec2_scale(direction, size));
    struct vec2 side = {-direction.y * 0.42 * size, direction.x * 0.42 * size};
    struct vec2 points[] = {tip, vec2_add(back, side), vec2_sub(back, side)};
    sel_svg_shape(text, points, 3, true, look);
}

struct vec2 sel_svg_toward(struct vec2 from, double bearing_deg, double distance) {
    return (struct vec2){from.x + distance * sin(bearing_deg * DEGREE),
        from.y - distance * cos(bearing_deg * DEGREE)};
}
