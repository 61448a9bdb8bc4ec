// SPDX-License-Identifier: MIT
#include "choose_run.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "shared_context.h"

sel_status world_choose(const struct world *w, struct sel_choice *choice) {
    sel_context_begin(context);
    return sel_choose(
        context, w->items, w->count, w->occupied, w->occupied_count, &w->rule, choice);
}

sel_status world_choose_best(const struct world *w, struct sel_choice *choice) {
    sel_context_begin(context);
    return sel_choose_best(
        context, w->items, w->count, w->occupied, w->occupied_count, &w->rule, choice);
}

int world_sites_of(const struct sel_choice *choice, size_t *sites) {
    for (int k = 0; k < choice->count; k++)
        sites[k] = choice->sites[k].item;
    return choice->count;
}

void world_assert_counts_add_up(const struct world *w, const struct sel_choice *choice) {
    int64_t fates[SEL_CHOICE_FATES] = {0}, reserves = 0;
    for (size_t i = 0; i < w->count; i++)
        fates[choice->fates[i]]++;
    for (int i = 0; i < choice->count; i++)
        reserves += choice->sites[i].reserve_count;
    assert_int_equal(fates[SEL_CHOICE_SITE], choice->count);
    assert_int_equal(fates[SEL_CHOICE_RESERVE], reserves);
    assert_memory_equal(choice->met, fates, sizeof fates);
}
