// SPDX-License-Identifier: MIT
//
// Names made printable first (utf8.h), then escaped (escape.h). Base64 after RFC 4648.
#include "dossier/html.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "output/columns.h"
#include "output/escape.h"
#include "output/utf8.h"
#include "plan/dates.h"

static const char NOT_KNOWN[] = "<span class=\"unknown\">not known</span>";

void sel_html_text(struct sel_text *text, const char *chars) {
    struct sel_text printable;
    if (!chars)
        return;
    sel_text_init(&printable);
    sel_utf8_add_printable(&printable, chars);
    sel_escape_add(text, printable.chars);
    text->failed = text->failed || printable.failed;
    sel_text_clear(&printable);
}

void sel_html_text_within(struct sel_text *text, const char *chars, int most) {
    struct sel_text cut;
    if (!chars)
        return;
    sel_text_init(&cut);
    sel_utf8_add_cell(&cut, chars, 0, most);
    sel_escape_add(text, cut.chars);
    text->failed = text->failed || cut.failed;
    sel_text_clear(&cut);
}

static void add_name(struct sel_text *text, const char *chars, int most) {
    if (!chars || !chars[0]) {
        sel_text_add(text, NOT_KNOWN);
        return;
    }
    sel_text_add(text, "<bdi>");
    if (most > 0)
        sel_html_text_within(text, chars, most);
    else
        sel_html_text(text, chars);
    sel_text_add(text, "</bdi>");
}

void sel_html_name(struct sel_text *text, const char *chars) {
    add_name(text, chars, 0);
}

void sel_html_name_within(struct sel_text *text, const char *chars, int most) {
    add_name(text, chars, most);
}

void sel_html_number(struct sel_text *text, double value, int decimals, const char *unit) {
    if (!isfinite(value)) {
        sel_text_add(text, NOT_KNOWN);
        return;
    }
    sel_text_addf(text, "%.*f", decimals, sel_round_to(value, decimals));
    if (unit[0])
        sel_text_addf(text, "&nbsp;%s", unit);
}

void sel_html_begin_table(struct sel_text *text, const char *class_name, const char *heads) {
    if (class_name)
        sel_text_addf(text, "<table class=\"%s\">\n<thead><tr>", class_name);
    else
        sel_text_add(text, "<table>\n<thead><tr>");
    for (const char *head = heads; *head; head += head[0] == '|') {
        bool number = *head == '#';
        head += number;
        size_t length = strcspn(head, "|");
        sel_text_add(text, number ? "<th scope=\"col\" class=\"n\">" : "<th scope=\"col\">");
        sel_text_add_bytes(text, head, length);
        sel_text_add(text, "</th>");
        head += length;
    }
    sel_text_add(text, "</tr></thead>\n<tbody>\n");
}

void sel_html_end_table(struct sel_text *text) {
    sel_text_add(text, "</tbody>\n</table>\n");
}

void sel_html_data_uri(struct sel_text *text, const char *type, const void *bytes, size_t length) {
    static const char DIGITS[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const unsigned char *from = bytes;
    sel_text_addf(text, "data:%s;base64,", type);
    for (size_t i = 0; i < length; i += 3) {
        size_t left = length - i;
        uint32_t three = (uint32_t)from[i] << 16 | (left > 1 ? (uint32_t)from[i + 1] << 8 : 0) |
                         (left > 2 ? from[i + 2] : 0);
        char four[4] = {DIGITS[three >> 18], DIGITS[three >> 12 & 63],
            left > 1 ? DIGITS[three >> 6 & 63] : '=', left > 2 ? DIGITS[three & 63] : '='};
        sel_text_add_bytes(text, four, sizeof four);
    }
}

void sel_svg_number(struct sel_text *text, double value) {
    char digits[40];
    double rounded = sel_round_to(value, 2);
    snprintf(digits, sizeof digits, "%.2f", isfinite(rounded) ? rounded : 0.0);
    size_t length = strlen(digits);
    while (digits[length - 1] == '0')
        length--;
    if (digits[length - 1] == '.')
        length--;
    sel_text_add_bytes(text, digits, length);
}

void sel_html_day(struct sel_text *text, struct sel_date date) {
    static const char *const MONTHS[] = {"January", "February", "March", "April", "May", "June",
        "July", "August", "September", "October", "November", "December"};
    sel_text_addf(text, "%d&nbsp;%s", date.day, MONTHS[(date.month + 11) % 12]);
}

void sel_html_date(struct sel_text *text, const char *iso) {
    enum { DAY = sizeof "2026-01-31" };
    char day[DAY];
    struct sel_date date;
    bool moment = iso && strlen(iso) >= DAY && iso[DAY - 1] == 'T';
    if (iso)
        snprintf(day, sizeof day, "%s", iso);
    if (!iso || (strlen(iso) >= DAY && !moment) || !sel_date_parse(day, &date)) {
        sel_html_name(text, iso);
        return;
    }
    sel_html_day(text, date);
    sel_text_addf(text, "&nbsp;%d", date.year);
}
