// SPDX-License-Identifier: MIT
//
// A strict grammar in front of strtod and strtoll, which would take "0x10", "inf" and " 7".
#include "plan/numbers.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const char *skip_sign(const char *at) {
    return *at == '-' || *at == '+' ? at + 1 : at;
}

static const char *skip_digits(const char *at) {
    while (isdigit((unsigned char)*at))
        at++;
    return at;
}

// The end of the number that begins at `text`; NULL when none does.
static const char *end_of_number(const char *text) {
    const char *begin = skip_sign(text);
    const char *at = skip_digits(begin);
    bool digits = at > begin;
    if (*at == '.') {
        const char *fraction = at + 1;
        at = skip_digits(fraction);
        digits = digits || at > fraction;
    }
    if (!digits)
        return NULL;
    if (*at == 'e' || *at == 'E') {
        const char *exponent = skip_sign(at + 1);
        at = skip_digits(exponent);
        if (at == exponent)
            return NULL;
    }
    return at;
}

bool sel_parse_number(const char *text, double *number) {
    const char *end = end_of_number(text);
    if (!end || *end != '\0')
        return false;
    char *stop;
    *number = strtod(text, &stop);
    return *stop == '\0' && isfinite(*number);
}

bool sel_parse_whole(const char *text, int64_t *number) {
    const char *digits = skip_sign(text);
    const char *end = skip_digits(digits);
    if (end == digits || *end != '\0')
        return false;
    errno = 0;
    *number = strtoll(text, NULL, 10);
    return errno == 0;
}

struct sel_number_text sel_number_text(double number) {
    struct sel_number_text text;
    for (int digits = 6; digits <= 17; digits++) {
        snprintf(text.chars, sizeof text.chars, "%.*g", digits, number);
        if (strtod(text.chars, NULL) == number)
            break;
    }
    // "%g" writes 1e+06 for a million; within 2^53 a whole number reads better in full.
    if (fabs(number) < 9007199254740992.0 && floor(number) == number)
        snprintf(text.chars, sizeof text.chars, "%.0f", number);
    return text;
}

void sel_add_number(struct sel_text *text, double number) {
    sel_text_add(text, sel_number_text(number).chars);
}
