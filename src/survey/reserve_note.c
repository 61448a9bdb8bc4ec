// SPDX-License-Identifier: MIT
//
// Counts of the candidates within reach by what kept them, see struct sel_reserve_search.
#include "survey/reserve_note.h"

#include <stdio.h>

#include "base/text.h"
#include "survey/contest.h"

static void add_count(struct sel_text *text, int64_t count, const char *words, bool *first) {
    if (count == 0)
        return;
    sel_text_addf(text, "%s %lld %s", *first ? ":" : ",", (long long)count, words);
    *first = false;
}

static void add_search(struct sel_text *text, const struct sel_survey *survey,
    const struct sel_reserve_search *search, bool has_reserve) {
    int64_t all = search->near_occupied + search->near_others + search->near_own + search->taken;
    char own[96];
    bool first = true;
    if (all == 0) {
        sel_text_addf(text, "no other candidate lies within %.0f m", sel_reserve_reach(survey));
        return;
    }
    snprintf(own, sizeof own, "nearer than %.0f m to it%s", sel_reserve_apart(survey),
        has_reserve ? " or to its reserve" : "");
    sel_text_addf(text, "none of the %lld other candidates within %.0f m serves", (long long)all,
        sel_reserve_reach(survey));
    add_count(text, search->near_own, own, &first);
    add_count(text, search->near_others, "too near another site", &first);
    add_count(text, search->near_occupied, "too near an occupied place", &first);
    add_count(text, search->taken, "kept for a better site", &first);
}

static int count_reserves(const struct sel_survey *survey, size_t primary) {
    int count = 0;
    for (size_t i = primary + 1; i < survey->site_count && survey->sites[i].reserve > 0; i++)
        count++;
    return count;
}

static sel_status write_note(sel_context *context, struct sel_survey *survey, size_t primary) {
    int got = count_reserves(survey, primary), wanted = survey->plan->choose.reserves;
    struct sel_site *site = &survey->sites[primary];
    struct sel_text text;
    if (got >= wanted)
        return SEL_OK;
    sel_text_init(&text);
    if (got > 0)
        sel_text_addf(&text, "%d of %d reserves; for more, ", got, wanted);
    else
        sel_text_addf(&text, "no reserve: ");
    add_search(&text, survey, &site->reserve_search, got > 0);
    site->reserve_note = sel_text_take(&text);
    return site->reserve_note ? SEL_OK : sel_fail_memory(context);
}

sel_status sel_reserve_notes_write(sel_context *context, struct sel_survey *survey) {
    sel_status status = SEL_OK;
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++)
        if (survey->sites[i].reserve == 0)
            status = write_note(context, survey, i);
    return status;
}
