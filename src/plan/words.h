// SPDX-License-Identifier: MIT
//
// Words for messages: a value shown safely, and the known name nearest to a mistyped one.
#ifndef SEL_PLAN_WORDS_H
#define SEL_PLAN_WORDS_H

#include <stdbool.h>
#include <stddef.h>

// A user's text made fit for one line of a message: quoted, control characters as "?", cut after
// about 60 bytes at a character's border.
struct sel_quoted {
    char chars[72];
};
struct sel_quoted sel_quote(const char *text);

// How many letters must be added, taken away, changed or swapped with their neighbour to turn one
// word into the other (Damerau 1964, each place touched at most once). Letter case counts.
// Words longer than 48 bytes are as far apart as can be: SIZE_MAX.
size_t sel_word_distance(const char *a, const char *b);

// The one of `names` nearest to `word`, NULL when none is similar: at most a third of the word's
// letters differ. Ties: the first.
const char *sel_nearest_word(const char *word, const char *const *names, size_t count);

// Two capital letters, as ISO 3166-1 alpha-2 has them; whether such a country exists is not looked
// up.
bool sel_is_country_code(const char *text);

// Whether the first character is a letter, or beyond ASCII.
bool sel_begins_with_letter(const char *text);

#endif
