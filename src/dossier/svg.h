// SPDX-License-Identifier: MIT
//
// A few words of SVG. Drawings are text in millimetres of the printed page (the overview map: in
// thousandths of its width); colours and widths are presentation attributes, so that the page needs
// no inline style. Internal to dossier/.
#ifndef SEL_DOSSIER_SVG_H
#define SEL_DOSSIER_SVG_H

#include "base/text.h"
#include "base/vec2.h"

// One or more attributes as they stand in the element: "fill=\"none\" stroke=\"#22242e\"".
typedef const char *sel_svg_look;

// Colours that many drawings share; the same stand at the head of dossier.css. Macros, since they
// are put together with the attributes around them as string literals.
#define SEL_INK "#22242e"
#define SEL_FAINT_INK "#5d626e"
#define SEL_SITE_INK "#800d57"

// <svg> of a size in millimetres, told to readers who cannot see it by `title` (escaped already).
void sel_svg_begin(
    struct sel_text *text, const char *class_name, double width, double height, const char *title);
void sel_svg_end(struct sel_text *text);

void sel_svg_line(struct sel_text *text, struct vec2 from, struct vec2 to, sel_svg_look look);
void sel_svg_circle(struct sel_text *text, struct vec2 centre, double radius, sel_svg_look look);
void sel_svg_rect(
    struct sel_text *text, struct vec2 corner, double width, double height, sel_svg_look look);

// A broken line, or a closed shape.
void sel_svg_shape(
    struct sel_text *text, const struct vec2 *points, size_t count, bool closed, sel_svg_look look);

// Points of a path's "d": M or L and the numbers, as short as may be.
void sel_svg_point(struct sel_text *text, char command, struct vec2 at);

// Text of ours, not from a file; `size` in the drawing's unit.
void sel_svg_label(
    struct sel_text *text, struct vec2 at, double size, sel_svg_look look, const char *label);

// An arrow head at `tip`, pointing along `direction` (of length 1).
void sel_svg_arrow_head(
    struct sel_text *text, struct vec2 tip, struct vec2 direction, double size, sel_svg_look look);

// Up is north: the point at a bearing (degrees) and distance.
struct vec2 sel_svg_toward(struct vec2 from, double bearing_deg, double distance);

#endif
