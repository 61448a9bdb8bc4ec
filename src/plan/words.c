// SPDX-License-Identifier: MIT
//
// Safe quoting, and spelling suggestions by edit distance with swaps (F. J. Damerau 1964, "A
// technique for computer detection and correction of spelling errors"), three rows at a time.
#include "plan/words.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

enum { WORD_MOST = 48, SHOWN_MOST = 60 };

static bool continues_character(char byte) {
    return ((unsigned char)byte & 0xC0) == 0x80; // UTF-8 continuation byte
}

struct sel_quoted sel_quote(const char *text) {
    struct sel_quoted quoted = {"\""};
    size_t length = 0;
    while (length < SHOWN_MOST && text[length])
        length++;
    bool cut = text[length] != '\0';
    while (cut && length > 0 && continues_character(text[length]))
        length--;
    for (size_t i = 0; i < length; i++) {
        unsigned char byte = (unsigned char)text[i];
        quoted.chars[1 + i] = byte < 0x20 || byte == 0x7F ? '?' : text[i];
    }
    memcpy(quoted.chars + 1 + length, cut ? "...\"" : "\"", cut ? 5 : 2);
    return quoted;
}

static size_t least(size_t a, size_t b) {
    return a < b ? a : b;
}

size_t sel_word_distance(const char *a, const char *b) {
    size_t length_a = strlen(a), length_b = strlen(b);
    if (length_a > WORD_MOST || length_b > WORD_MOST)
        return SIZE_MAX;
    size_t rows[3][WORD_MOST + 1] = {{0}};
    for (size_t j = 0; j <= length_b; j++)
        rows[0][j] = j;
    for (size_t i = 1; i <= length_a; i++) {
        size_t *row = rows[i % 3], *above = rows[(i + 2) % 3], *two_above = rows[(i + 1) % 3];
        row[0] = i;
        for (size_t j = 1; j <= length_b; j++) {
            row[j] = above[j - 1] + (a[i - 1] != b[j - 1]);
            row[j] = least(row[j], least(above[j], row[j - 1]) + 1);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                row[j] = least(row[j], two_above[j - 2] + 1);
        }
    }
    return rows[length_a % 3][length_b];
}

const char *sel_nearest_word(const char *word, const char *const *names, size_t count) {
    size_t most = strlen(word) / 3;
    size_t best_distance = most > 0 ? most + 1 : 2;
    const char *best = NULL;
    for (size_t i = 0; i < count; i++) {
        size_t distance = sel_word_distance(word, names[i]);
        if (distance < best_distance) {
            best_distance = distance;
            best = names[i];
        }
    }
    return best;
}

// --- names ---

static bool is_capital(char byte) {
    return byte >= 'A' && byte <= 'Z';
}

bool sel_is_country_code(const char *text) {
    return is_capital(text[0]) && is_capital(text[1]) && text[2] == '\0';
}

bool sel_begins_with_letter(const char *text) {
    unsigned char first = (unsigned char)text[0];
    return is_capital(text[0]) || (first >= 'a' && first <= 'z') || first >= 0x80;
}
