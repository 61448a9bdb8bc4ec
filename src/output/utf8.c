// SPDX-License-Identifier: MIT
//
// UTF-8 after RFC 3629: no overlong forms, no surrogates, nothing beyond U+10FFFF. Widths are the
// coarse blocks of East Asian Width (Unicode Standard Annex 11) and of combining marks: enough to
// line up a table, no full Unicode database.
#include "output/utf8.h"

#include <string.h>

static const uint32_t REPLACEMENT = 0xFFFD;
static const uint32_t ELLIPSIS_WIDTH = 1;

static size_t sequence_length(unsigned char lead) {
    if (lead < 0x80)
        return 1;
    if (lead >= 0xC2 && lead < 0xE0)
        return 2;
    if (lead >= 0xE0 && lead < 0xF0)
        return 3;
    return lead >= 0xF0 && lead < 0xF5 ? 4 : 0;
}

static bool well_placed(uint32_t code, size_t length) {
    static const uint32_t LEAST[] = {0, 0, 0x80, 0x800, 0x10000};
    bool surrogate = code >= 0xD800 && code < 0xE000;
    return code >= LEAST[length] && code <= 0x10FFFF && !surrogate;
}

uint32_t sel_utf8_next(const char *at, size_t *length) {
    static const unsigned char LEAD_BITS[] = {0, 0x7F, 0x1F, 0x0F, 0x07};
    const unsigned char *bytes = (const unsigned char *)at;
    size_t wanted = sequence_length(bytes[0]);
    *length = 1;
    if (wanted == 0)
        return REPLACEMENT;
    uint32_t code = bytes[0] & LEAD_BITS[wanted];
    for (size_t i = 1; i < wanted; i++) {
        if ((bytes[i] & 0xC0) != 0x80)
            return REPLACEMENT;
        code = code << 6 | (bytes[i] & 0x3Fu);
    }
    if (!well_placed(code, wanted))
        return REPLACEMENT;
    *length = wanted;
    return code;
}

// U+FFFD itself is three bytes long; a replacement for a malformed sequence is one.
static bool malformed(uint32_t code, size_t length) {
    return code == REPLACEMENT && length == 1;
}

bool sel_utf8_valid(const char *chars) {
    size_t length = 1;
    for (const char *at = chars; *at; at += length)
        if (malformed(sel_utf8_next(at, &length), length))
            return false;
    return true;
}

static bool turns_direction(uint32_t code) {
    return (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069) ||
           code == 0x200E || code == 0x200F || code == 0x061C;
}

static bool control(uint32_t code) {
    return code < 0x20 || (code >= 0x7F && code < 0xA0) || code == 0x2028 || code == 0x2029;
}

static void add_replaced(struct sel_text *text, const char *chars, bool printable) {
    size_t length = 1;
    for (const char *at = chars; *at; at += length) {
        uint32_t code = sel_utf8_next(at, &length);
        bool bad = malformed(code, length);
        if (printable)
            bad = bad || control(code) || turns_direction(code);
        if (bad)
            sel_text_add(text, "\xEF\xBF\xBD");
        else
            sel_text_add_bytes(text, at, length);
    }
}

void sel_utf8_add(struct sel_text *text, const char *chars) {
    if (sel_utf8_valid(chars))
        sel_text_add(text, chars);
    else
        add_replaced(text, chars, false);
}

void sel_utf8_add_printable(struct sel_text *text, const char *chars) {
    add_replaced(text, chars, true);
}

struct code_range {
    uint32_t first, last;
};

static bool in_ranges(uint32_t code, const struct code_range *ranges, size_t count) {
    for (size_t i = 0; i < count; i++)
        if (code >= ranges[i].first && code <= ranges[i].last)
            return true;
    return false;
}

static int code_width(uint32_t code) {
    static const struct code_range NONE[] = {{0x0300, 0x036F}, {0x0483, 0x0489}, {0x0591, 0x05BD},
        {0x0610, 0x061A}, {0x064B, 0x065F}, {0x093C, 0x093C}, {0x0941, 0x0948}, {0x0E34, 0x0E3A},
        {0x1AB0, 0x1AFF}, {0x1DC0, 0x1DFF}, {0x200B, 0x200D}, {0x20D0, 0x20FF}, {0xFE00, 0xFE0F},
        {0xFE20, 0xFE2F}};
    static const struct code_range WIDE[] = {{0x1100, 0x115F}, {0x2E80, 0x303E}, {0x3041, 0xA4CF},
        {0xAC00, 0xD7A3}, {0xF900, 0xFAFF}, {0xFE30, 0xFE6F}, {0xFF00, 0xFF60}, {0xFFE0, 0xFFE6},
        {0x1F300, 0x1F64F}, {0x1F680, 0x1F6FF}, {0x1F900, 0x1F9FF}, {0x20000, 0x3FFFD}};
    if (code < 0x300)
        return 1;
    if (in_ranges(code, NONE, sizeof NONE / sizeof *NONE))
        return 0;
    return in_ranges(code, WIDE, sizeof WIDE / sizeof *WIDE) ? 2 : 1;
}

int sel_utf8_width(const char *chars) {
    int width = 0;
    size_t length = 1;
    for (const char *at = chars; *at; at += length)
        width += code_width(sel_utf8_next(at, &length));
    return width;
}

// Bytes of the longest prefix that takes at most `most` columns; *width gets what it takes.
static size_t prefix_within(const char *chars, int most, int *width) {
    size_t length = 1;
    const char *at = chars;
    for (*width = 0; *at; at += length) {
        int next = code_width(sel_utf8_next(at, &length));
        if (*width + next > most)
            break;
        *width += next;
    }
    return (size_t)(at - chars);
}

void sel_utf8_add_cell(struct sel_text *text, const char *chars, int least, int most) {
    struct sel_text printable;
    sel_text_init(&printable);
    sel_utf8_add_printable(&printable, chars);
    const char *safe = printable.chars ? printable.chars : "";
    int width = sel_utf8_width(safe);
    if (width <= most) {
        sel_text_add(text, safe);
    } else {
        size_t bytes = prefix_within(safe, most - (int)ELLIPSIS_WIDTH, &width);
        sel_text_add_bytes(text, safe, bytes);
        sel_text_add(text, "\xE2\x80\xA6");
        width += (int)ELLIPSIS_WIDTH;
    }
    for (; width < least; width++)
        sel_text_add(text, " ");
    text->failed = text->failed || printable.failed;
    sel_text_clear(&printable);
}
