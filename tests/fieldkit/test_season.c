// SPDX-License-Identifier: MIT
//
// The days on which rounds are set up, visited and taken down, for plans of many kinds: every day's
// hours summed anew, calendar and events compared by a script that knows neither.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit_scene.h"
#include "fieldkit/calendar.h"
#include "fieldkit/events.h"
#include "fieldkit/list.h"
#include "fieldkit/remarks.h"
#include "fieldkit/setup.h"
#include "plan/dates.h"

enum { NOT_RUN = 77 };

struct trial {
    double day_hours;
    int interval_days;
    double takedown_min; // NAN: half of the 60 minutes of a set-up
    int traps, season_days;
};

static const struct trial TRIALS[] = {
    {8, 7, (double)NAN, 1, 108},
    {8, 7, 90, 1, 108}, // taking down takes longer than setting up
    {4, 7, (double)NAN, 1, 108},
    {4, 10, 60, 1, 100},
    {3, 9, 45, 1, 61},
    {8, 7, (double)NAN, 3, 75},
    {6, 3, 20, 1, 40},
    {2.5, 9, (double)NAN, 1, 90}, // many rounds
    {5, 7, 60, 1, 15},
    {5, 7, 60, 1, 6}, // too short for rounds in turn
    {5, 14, (double)NAN, 2, 50},
    {5, 1, (double)NAN, 1, 9},
};

enum { TRIALS_COUNT = sizeof TRIALS / sizeof *TRIALS };

static struct fieldkit_scene *scene;
static struct sel_fieldkit *kit;

static int open_scene(void **state) {
    (void)state;
    scene = fieldkit_scene_new(fieldkit_scene_usual());
    kit = &scene->kit;
    return 0;
}

static int close_scene(void **state) {
    (void)state;
    fieldkit_scene_free(scene);
    return 0;
}

// Lays the days of the same sites anew under another plan.
static void lay(struct trial trial) {
    free(kit->order);
    free(kit->rounds);
    free(kit->setup_day);
    free(kit->setup_days);
    free(kit->takedown_days);
    free(kit->stints);
    kit->plan.field.day_hours = trial.day_hours;
    kit->plan.field.interval_days = trial.interval_days;
    kit->plan.field.takedown_min = isnan(trial.takedown_min) ? 30 : trial.takedown_min;
    kit->plan.traps = trial.traps;
    kit->plan.last_day = kit->plan.first_day + trial.season_days;
    assert_int_equal(sel_fieldkit_lay_rounds(kit), SEL_OK);
}

static bool remarked(const char *words) {
    struct sel_kit_remarks remarks;
    sel_fieldkit_remarks(kit, &remarks);
    for (size_t i = 0; i < remarks.count; i++)
        if (strstr(remarks.lines[i], words))
            return true;
    return false;
}

// --- hours ---

// Walking, work and travel of a tour, min, from what the file says of its sites.
static double summed_min(const struct sel_round *tour, double work) {
    double total = 0, x = 0, y = 0;
    for (size_t i = 0; i < tour->count; i++) {
        const struct sel_fieldkit_site *site = sel_fieldkit_at(kit, tour->first + i);
        const struct sel_access_point *from = site->access >= 0 ? &kit->access[site->access] : NULL;
        double here_x = from ? from->x : site->row->x, here_y = from ? from->y : site->row->y;
        total += work * kit->plan.traps + (isnan(site->walk_min) ? 0 : 2 * site->walk_min);
        if (i > 0)
            total += hypot(here_x - x, here_y - y) * kit->metres / 1000 /
                     kit->plan.field.travel_kmh * 60;
        x = here_x;
        y = here_y;
    }
    return total;
}

struct tally {
    size_t sites, too_long;
};

static void look_at(struct sel_round tour, double work, struct tally *tally) {
    double minutes = summed_min(&tour, work);
    assert_true(fabs(minutes - sel_round_total_min(&tour)) < 1e-6 * minutes + 1e-9);
    assert_true(tour.count > 0);
    tally->sites += tour.count;
    tally->too_long += minutes > 60 * kit->plan.field.day_hours + 1e-3 ? 1 : 0;
    if (minutes > 60 * kit->plan.field.day_hours + 1e-3 && tour.count > 1)
        tally->too_long += 1000;
}

static void every_day_fits_the_field_day(void **state) {
    (void)state;
    for (size_t i = 0; i < TRIALS_COUNT; i++) {
        lay(TRIALS[i]);
        struct tally setups = {0, 0}, takedowns = {0, 0};
        double takedown = kit->plan.field.takedown_min;
        for (size_t round = 0; round < kit->round_count; round++) {
            for (int day = 0; day < kit->setup_days[round]; day++)
                look_at(sel_fieldkit_setup(kit, round, day), 60, &setups);
            for (int day = 0; day < kit->takedown_days[round]; day++)
                look_at(sel_fieldkit_takedown(kit, round, day), takedown, &takedowns);
        }
        assert_int_equal(setups.sites, kit->primary_count);
        assert_int_equal(takedowns.sites, kit->primary_count);
        // Long days are told of, and there are none of several sites but where days are lacking.
        bool lacking = TRIALS[i].season_days < 8 || TRIALS[i].interval_days < 3;
        assert_true(lacking || (setups.too_long < 1000 && takedowns.too_long < 1000));
        assert_int_equal(setups.too_long > 0, remarked("longest set-up day takes"));
        assert_int_equal(takedowns.too_long > 0, remarked("longest take-down day takes"));
    }
}

static void taking_down_is_shared_out_over_days(void **state) {
    (void)state;
    lay(TRIALS[1]);
    assert_true(kit->takedown_days[0] > 1);
    assert_true(kit->takedown_days[0] > kit->setup_days[0]);
    assert_true(remarked("Taking down takes more than one day in every round"));
    assert_false(remarked("go with"));
}

// --- days ---

static void calendar_and_events_tell_the_same_days(void **state) {
    (void)state;
    for (size_t i = 0; i < TRIALS_COUNT; i++) {
        lay(TRIALS[i]);
        struct sel_text text;
        char *said = NULL;
        sel_text_init(&text);
        sel_fieldkit_calendar(kit, &text);
        free(fieldkit_scene_file(scene, "calendar.ics", &text));
        sel_text_clear(&text);
        sel_fieldkit_events_planned(kit, &text);
        char *path = fieldkit_scene_file(scene, "events.csv", &text);
        sel_text_clear(&text);
        *strrchr(path, '/') = '\0';
        int status = fieldkit_scene_python("fieldkit_dates.py", path, &said);
        if (status == NOT_RUN) {
            fprintf(stderr, "!! SKIPPED: %s", said);
            skip();
        }
        if (status != 0)
            fail_msg("trial %zu: %s", i, said);
        free(said);
        free(path);
    }
}

// A day of a round on which its team is out.
static void mark(int *days, int64_t day, size_t *twice) {
    size_t at = (size_t)(day - kit->plan.first_day);
    assert_in_range(at, 0, 200);
    *twice += days[at]++ > 0 ? 1 : 0;
}

// How often a team is out twice on a day; a team begins with each round on the first day of all.
static size_t count_twice(void) {
    int days[201] = {0};
    size_t twice = 0;
    for (size_t round = 0; round < kit->round_count; round++) {
        if (kit->setup_day[round] == kit->plan.first_day)
            memset(days, 0, sizeof days);
        for (int day = 0; day < kit->setup_days[round]; day++)
            mark(days, kit->setup_day[round] + day, &twice);
        for (size_t stint = 0; stint + 1 < kit->stint_count; stint++)
            mark(days, sel_fieldkit_stint(kit, round, stint).to_day, &twice);
        for (int day = 0; day < kit->takedown_days[round]; day++)
            mark(days, sel_fieldkit_takedown_day(kit, round) + day, &twice);
    }
    return twice;
}

static void no_team_is_out_twice_on_a_day_whatever_the_plan(void **state) {
    (void)state;
    static const double HOURS[] = {1, 2.5, 4, 6, 8, 12}, TAKEDOWNS[] = {0, 30, 60, 110};
    size_t shared = 0;
    for (int interval = 1; interval <= 14; interval++) {
        for (int days = 1; days <= 120; days += days < 40 ? 1 : 9) {
            for (size_t at = 0; at < 24; at++) {
                lay((struct trial){HOURS[at % 6], interval, TAKEDOWNS[at / 6], 1, days});
                if (count_twice() > 0)
                    fail_msg("%g h, %d days, take-down %g min, season of %d days", HOURS[at % 6],
                        interval, TAKEDOWNS[at / 6], days);
                for (size_t round = 0; round < kit->round_count; round++)
                    shared += kit->takedown_days[round] > 1 ? 1 : 0;
            }
        }
    }
    assert_true(shared > 1000);
}

// The first bottle hangs on the season's first day, the last comes in on its last one or, where the
// kit says so, before it.
static void the_season_is_kept(void **state) {
    (void)state;
    for (size_t i = 0; i < TRIALS_COUNT; i++) {
        lay(TRIALS[i]);
        int64_t first = INT64_MAX, last = INT64_MIN;
        for (size_t place = 0; place < kit->primary_count; place++) {
            const struct sel_fieldkit_site *site = sel_fieldkit_at(kit, place);
            int64_t days = 0;
            for (size_t stint = 0; stint < kit->stint_count; stint++) {
                struct sel_stint hung = sel_fieldkit_site_stint(kit, site, stint);
                assert_true(hung.from_day < hung.to_day);
                first = hung.from_day < first ? hung.from_day : first;
                last = hung.to_day > last ? hung.to_day : last;
                days += hung.to_day - hung.from_day;
            }
            assert_int_equal(days, sel_fieldkit_site_days(kit, site));
        }
        assert_int_equal(first, kit->plan.first_day);
        assert_int_equal(last, kit->plan.last_day - kit->unused_days);
        assert_int_equal(kit->unused_days > 0, remarked("before the season ends"));
    }
}

// Where set-up and take-down are cut alike, all sites of a round stand equally long.
static void sites_set_up_later_are_taken_down_later(void **state) {
    (void)state;
    struct trial alike = {5, 10, 60, 1, 100};
    lay(alike);
    assert_true(kit->setup_days[0] > 1);
    for (size_t place = 1; place < kit->rounds[0].count; place++)
        assert_int_equal(sel_fieldkit_site_days(kit, sel_fieldkit_at(kit, place)),
            sel_fieldkit_site_days(kit, sel_fieldkit_at(kit, 0)));
}

// --- papers ---

static void list_and_cards_tell_the_days_of_the_calendar(void **state) {
    (void)state;
    lay(TRIALS[1]);
    struct sel_text list, cards, ics;
    sel_text_init(&list);
    sel_text_init(&cards);
    sel_text_init(&ics);
    sel_fieldkit_list_html(kit, &list);
    sel_fieldkit_setup_cards(kit, &cards);
    sel_fieldkit_calendar(kit, &ics);
    size_t setups = 0, takedowns = 0;
    for (size_t round = 0; round < kit->round_count; round++) {
        setups += (size_t)kit->setup_days[round];
        takedowns += (size_t)kit->takedown_days[round];
    }
    assert_int_equal(fieldkit_scene_count(list.chars, "<td>set up</td>"), setups);
    assert_int_equal(fieldkit_scene_count(list.chars, "<td>take down</td>"), takedowns);
    assert_int_equal(fieldkit_scene_count(ics.chars, ": set up"), setups);
    assert_int_equal(fieldkit_scene_count(ics.chars, ": take down"), takedowns);
    // 15 May 2027 was a Saturday (from memory); the season's 108 days end on 31 August, a Tuesday.
    assert_non_null(strstr(list.chars, "Sat 15 May 2027</td><td>set up</td>"));
    assert_non_null(strstr(list.chars, "Tue 31 August 2027</td><td>take down</td>"));
    assert_non_null(strstr(cards.chars, "set up on Sat 15 May 2027, take down on "));
    assert_non_null(strstr(cards.chars, "take down on Tue 31 August 2027"));
    sel_text_clear(&list);
    sel_text_clear(&cards);
    sel_text_clear(&ics);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_day_fits_the_field_day),
        cmocka_unit_test(taking_down_is_shared_out_over_days),
        cmocka_unit_test(calendar_and_events_tell_the_same_days),
        cmocka_unit_test(no_team_is_out_twice_on_a_day_whatever_the_plan),
        cmocka_unit_test(the_season_is_kept),
        cmocka_unit_test(sites_set_up_later_are_taken_down_later),
        cmocka_unit_test(list_and_cards_tell_the_days_of_the_calendar),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
