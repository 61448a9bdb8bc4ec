// SPDX-License-Identifier: MIT
//
// HTML as text: names from files become text and nothing else, numbers become short, bytes become
// data URIs. Internal to dossier/.
#ifndef SEL_DOSSIER_HTML_H
#define SEL_DOSSIER_HTML_H

#include <stddef.h>

#include "base/text.h"
#include "plan/plan.h"

// Appends `chars` so that a browser shows them as they are, in an element or in a quoted attribute:
// markup is escaped, what cannot be printed or turns the direction of the line is replaced. NULL
// adds nothing.
void sel_html_text(struct sel_text *text, const char *chars);

// The same inside <bdi>, so that right-to-left names leave their neighbours alone; "not known" for
// NULL and "".
void sel_html_name(struct sel_text *text, const char *chars);

// The same, cut with an ellipsis to `most` columns; for places where a long name would break the
// page. The dossier's lists at the end tell names in full.
void sel_html_name_within(struct sel_text *text, const char *chars, int most);

// The escaped text alone, cut the same way.
void sel_html_text_within(struct sel_text *text, const char *chars, int most);

// A number with so many decimals and a unit ("12.3 m", unit ""), or "not known" when it is NAN. Its
// parts do not come apart at a line's end.
void sel_html_number(struct sel_text *text, double value, int decimals, const char *unit);

// A table up to its first row. `heads` are those of its columns as markup, with a bar between two;
// a column of numbers has # before it ("site|#score"). `class_name` may be NULL.
void sel_html_begin_table(struct sel_text *text, const char *class_name, const char *heads);
void sel_html_end_table(struct sel_text *text);

// data:TYPE;base64,...
void sel_html_data_uri(struct sel_text *text, const char *type, const void *bytes, size_t length);

// A number of a drawing: at most two decimals, no more zeros than needed.
void sel_svg_number(struct sel_text *text, double value);

// "2027-05-15" and "2027-05-15T10:09:11Z" -> "15 May 2027"; other texts as they are.
void sel_html_date(struct sel_text *text, const char *iso);

// "15 May".
void sel_html_day(struct sel_text *text, struct sel_date date);

#endif
