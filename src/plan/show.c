// SPDX-License-Identifier: MIT
//
// The way back from struct sel_plan to text, one function per kind of value.
#include "plan/show.h"

#include <math.h>

#include "plan/numbers.h"

static void show_text(const struct sel_plan_key *key, const char *at, struct sel_text *text) {
    const char *chars = *(char *const *)at;
    sel_text_add(text, chars ? chars : key->automatic ? "auto" : "none");
}

static void show_number(const char *at, struct sel_text *text) {
    double number = *(const double *)at;
    if (isnan(number))
        sel_text_add(text, "auto");
    else
        sel_add_number(text, number);
}

static void show_choice(const struct sel_plan_key *key, const char *at, struct sel_text *text) {
    for (const struct sel_key_choice *choice = key->choices; choice->word; choice++)
        if (choice->stored == *(const int *)at)
            sel_text_add(text, choice->word);
}

static void show_date(const struct sel_date *date, struct sel_text *text) {
    sel_text_addf(text, "%04d-%02d-%02d", date->year, date->month, date->day);
}

static void show_breakpoints(const struct sel_plan_criterion *criterion, struct sel_text *text) {
    for (int i = 0; i < criterion->value_count; i++) {
        sel_text_add(text, i > 0 ? ", [" : "[[");
        sel_add_number(text, criterion->value[i].at);
        sel_text_add(text, ", ");
        sel_add_number(text, criterion->value[i].worth);
        sel_text_add(text, "]");
    }
    sel_text_add(text, "]");
}

static void show_limit(const struct sel_plan_criterion *criterion, struct sel_text *text) {
    if (criterion->has_limit)
        sel_add_number(text, criterion->limit);
    else
        sel_text_add(text, "none");
}

// The order is told by the weights: they fall from name to name, and are 0 for those left out.
static void show_order(const struct sel_plan *plan, struct sel_text *text) {
    if (sel_plan_place(plan, "weights").line == 0) {
        sel_text_add(text, "none");
        return;
    }
    double above = INFINITY;
    for (int shown = 0; shown < SEL_CRITERIA; shown++) {
        int next = -1;
        for (int i = 0; i < SEL_CRITERIA; i++) {
            double weight = plan->criteria[i].weight;
            if (weight > 0.0 && weight < above &&
                (next < 0 || weight > plan->criteria[next].weight))
                next = i;
        }
        if (next < 0)
            break;
        above = plan->criteria[next].weight;
        sel_text_addf(
            text, "%s%s", shown > 0 ? ", " : "[", sel_criterion_name((enum sel_criterion)next));
    }
    sel_text_add(text, "]");
}

void sel_show_value(const struct sel_plan_key *key, const char *base, struct sel_text *text) {
    const char *at = base + key->offset;
    switch (key->kind) {
    case SEL_KEY_TEXT:
    case SEL_KEY_PATH:
    case SEL_KEY_HABITATS:
        show_text(key, at, text);
        break;
    case SEL_KEY_WHOLE:
        sel_text_addf(text, "%d", *(const int *)at);
        break;
    case SEL_KEY_LONG:
        sel_text_addf(text, "%lld", (long long)*(const int64_t *)at);
        break;
    case SEL_KEY_NUMBER:
        show_number(at, text);
        break;
    case SEL_KEY_CHOICE:
        show_choice(key, at, text);
        break;
    case SEL_KEY_DATE:
        show_date((const struct sel_date *)at, text);
        break;
    case SEL_KEY_VALUE:
        show_breakpoints((const struct sel_plan_criterion *)at, text);
        break;
    case SEL_KEY_LIMIT:
        show_limit((const struct sel_plan_criterion *)at, text);
        break;
    case SEL_KEY_ORDER:
        show_order((const struct sel_plan *)base, text);
        break;
    case SEL_KEY_SECTION:
    case SEL_KEY_LIST:
    case SEL_KEY_KINDS:
        break;
    }
}
