// SPDX-License-Identifier: MIT
//
// The one table of the plan's keys: name, type, unit, range, default, meaning, and where the value
// goes. Reading, checking, listing and the reference page docs/plan.md are all driven by it, so a
// new key is one row there and one field in struct sel_plan.
#ifndef SEL_PLAN_KEYS_H
#define SEL_PLAN_KEYS_H

#include "plan/plan.h"

enum sel_key_kind {
    SEL_KEY_SECTION, // a mapping of further keys
    SEL_KEY_LIST,    // entries, each a section; one entry may stand without the list
    SEL_KEY_TEXT,
    SEL_KEY_PATH, // of a file that exists
    SEL_KEY_WHOLE,
    SEL_KEY_LONG, // a whole number kept in 64 bits
    SEL_KEY_NUMBER,
    SEL_KEY_CHOICE,
    SEL_KEY_DATE,
    SEL_KEY_VALUE, // a value function, [[measure, worth], ...]
    SEL_KEY_LIMIT, // a number or `none`
    SEL_KEY_ORDER, // criteria by importance
    SEL_KEY_SIZE,  // two numbers, [first, second]; 0, 0: not given
    SEL_KEY_HABITATS,
    SEL_KEY_KINDS
};

enum sel_key_presence { SEL_KEY_DEFAULTED, SEL_KEY_REQUIRED, SEL_KEY_OPTIONAL };

// A word that a choice allows, and what it stores.
struct sel_key_choice {
    const char *word; // NULL ends the list
    int stored;
};

// How the entries of a list are kept.
struct sel_key_list {
    size_t count; // offset of the entry count in struct sel_plan
    size_t entry_bytes;
};

struct sel_plan_key {
    const char *name; // dotted; "lines[]" is an entry of the list "lines"
    enum sel_key_kind kind;
    enum sel_key_presence presence;
    bool automatic;       // `auto` may stand: NAN, or NULL for a text
    bool short_form;      // of a section: a path alone stands for { file: path }
    const char *unit;     // NULL: none
    double least, most;   // numbers
    const char *fallback; // the default as a plan would write it; NULL: none
    const char *meaning;  // reads on after "give"
    size_t offset;        // of the value in struct sel_plan, or in the list's entry
    size_t place;         // of a section: offset of a struct sel_place to fill; 0: none
    const struct sel_key_choice *choices;
    const struct sel_key_list *list;
};

// The table, in the order of the reference page. `count` may be NULL.
const struct sel_plan_key *sel_plan_keys(size_t *count);

// A row by its full name; NULL when there is none.
const struct sel_plan_key *sel_key_find(const char *name);

// The last part of the row's name when the row lies directly in the section ("" is the plan
// itself), else NULL.
const char *sel_key_leaf(const struct sel_plan_key *key, const char *section);

// The row of a list's entries.
const struct sel_plan_key *sel_key_entry(const struct sel_plan_key *list);

#endif
