// SPDX-License-Identifier: MIT
//
// The way back from struct sel_plan to text, one function per kind of value.
#include "plan/show.h"

#include <math.h>

#include "plan/numbers.h"

typedef void show_fn(const struct sel_plan_key *key, const char *base, struct sel_text *text);

static void show_text(const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const char *const *chars = (const void *)(base + key->offset);
    sel_text_add(text, *chars ? *chars : key->automatic ? "auto" : "none");
}

static void show_whole(const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const int *number = (const void *)(base + key->offset);
    sel_text_addf(text, "%d", *number);
}

static void show_long(const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const int64_t *number = (const void *)(base + key->offset);
    sel_text_addf(text, "%lld", (long long)*number);
}

static void show_number(const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const double *number = (const void *)(base + key->offset);
    if (isnan(*number))
        sel_text_add(text, "auto");
    else
        sel_add_number(text, *number);
}

static void show_choice(const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const int *stored = (const void *)(base + key->offset);
    for (const struct sel_key_choice *choice = key->choices; choice->word; choice++)
        if (choice->stored == *stored)
            sel_text_add(text, choice->word);
}

static void show_date(const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const struct sel_date *date = (const void *)(base + key->offset);
    sel_text_addf(text, "%04d-%02d-%02d", date->year, date->month, date->day);
}

static void show_breakpoints(
    const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const struct sel_plan_criterion *criterion = (const void *)(base + key->offset);
    for (int i = 0; i < criterion->value_count; i++) {
        sel_text_add(text, i > 0 ? ", [" : "[[");
        sel_add_number(text, criterion->value[i].at);
        sel_text_add(text, ", ");
        sel_add_number(text, criterion->value[i].worth);
        sel_text_add(text, "]");
    }
    sel_text_add(text, "]");
}

static void show_limit(const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const struct sel_plan_criterion *criterion = (const void *)(base + key->offset);
    if (criterion->has_limit)
        sel_add_number(text, criterion->limit);
    else
        sel_text_add(text, "none");
}

// The weightiest criterion lighter than `above`; -1 when none has a weight.
static int next_lighter(const struct sel_plan *plan, double above) {
    int next = -1;
    for (int i = 0; i < SEL_CRITERIA; i++) {
        double weight = plan->criteria[i].weight;
        if (weight > 0.0 && weight < above && (next < 0 || weight > plan->criteria[next].weight))
            next = i;
    }
    return next;
}

// The order is told by the weights: they fall from name to name, and are 0 for those left out.
static void show_order(const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const struct sel_plan *plan = (const void *)base;
    if (sel_plan_place(plan, key->name).line == 0) {
        sel_text_add(text, "none");
        return;
    }
    const char *before = "[";
    int next = next_lighter(plan, (double)INFINITY);
    for (; next >= 0; next = next_lighter(plan, plan->criteria[next].weight)) {
        sel_text_addf(text, "%s%s", before, sel_criterion_name((enum sel_criterion)next));
        before = ", ";
    }
    sel_text_add(text, "]");
}

static void show_size(const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const double *size = (const void *)(base + key->offset);
    if (size[0] == 0.0 && size[1] == 0.0) {
        sel_text_add(text, "none");
        return;
    }
    sel_text_add(text, "[");
    sel_add_number(text, size[0]);
    sel_text_add(text, ", ");
    sel_add_number(text, size[1]);
    sel_text_add(text, "]");
}

static bool is_path(const struct sel_plan_key *key) {
    return key->kind == SEL_KEY_PATH || key->kind == SEL_KEY_HABITATS;
}

void sel_show_value(const struct sel_plan *plan, const struct sel_plan_key *key, const char *base,
    struct sel_text *text) {
    static show_fn *const shows[SEL_KEY_KINDS] = {
        [SEL_KEY_TEXT] = show_text,
        [SEL_KEY_WHOLE] = show_whole,
        [SEL_KEY_LONG] = show_long,
        [SEL_KEY_NUMBER] = show_number,
        [SEL_KEY_CHOICE] = show_choice,
        [SEL_KEY_DATE] = show_date,
        [SEL_KEY_VALUE] = show_breakpoints,
        [SEL_KEY_LIMIT] = show_limit,
        [SEL_KEY_ORDER] = show_order,
        [SEL_KEY_SIZE] = show_size,
    };
    const char *const *path = (const void *)(base + key->offset);
    if (is_path(key) && *path)
        sel_text_add(text, sel_plan_written(plan, *path));
    else if (is_path(key))
        sel_text_add(text, "none");
    else
        shows[key->kind](key, base, text);
}
