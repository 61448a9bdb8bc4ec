// SPDX-License-Identifier: MIT
//
// Every sunrise and sunset of 2026 at sixteen places from 78 degrees south to 78 degrees north, and
// the sun's place in the sky at 600 moments of 1950 to 2050, against PyEphem (python3-ephem), which
// shares nothing with the program: sun_year.py computes them. The bars were set before the first
// comparison; the worst of each is printed. Not run, and said so, when PyEphem is not there.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "terrain/season.h"
#include "terrain/sun_position.h"

static const char *const SCRIPT =
    "/usr/bin/python3 '" SEL_TEST_SOURCE "/tests/terrain/sun_year.py'";
static const struct sel_date NEW_YEAR = {2026, 1, 1};

enum { NOT_RUN = 77, YEAR_DAYS = 365, EVENTS_MOST = 2 * 2 * YEAR_DAYS, PLACES = 16, MOMENTS = 600 };

// Rise and set of the upper limb on the almanac's horizon, or of the centre without refraction.
enum horizon { LIMB, CENTRE, HORIZONS };

struct event {
    double day; // Julian
    bool rises;
};

struct events {
    struct event list[EVENTS_MOST];
    int count;
};

struct place {
    double latitude, longitude;
    struct events events[HORIZONS];
};

struct moment {
    double day, latitude, longitude, azimuth, elevation;
};

static struct place places[PLACES];
static struct moment moments[MOMENTS];
static int place_count, moment_count;

// --- what PyEphem says

static void take_event(const char *kind, double day) {
    enum horizon horizon = strncmp(kind, "centre_", 7) == 0 ? CENTRE : LIMB;
    struct events *events = &places[place_count - 1].events[horizon];
    if (events->count < EVENTS_MOST)
        events->list[events->count++] = (struct event){day, strstr(kind, "rise") != NULL};
}

static void take_line(const char *line) {
    char kind[32];
    double n[5];
    int count = sscanf(line, "%31s %lf %lf %lf %lf %lf", kind, &n[0], &n[1], &n[2], &n[3], &n[4]);
    if (count == 6 && moment_count < MOMENTS)
        moments[moment_count++] = (struct moment){n[0], n[1], n[2], n[3], n[4]};
    else if (count == 3 && place_count < PLACES)
        places[place_count++] = (struct place){.latitude = n[0], .longitude = n[1]};
    else if (count == 2 && place_count > 0)
        take_event(kind, n[0]);
}

static int ask(void **state) {
    (void)state;
    char line[256];
    FILE *answer = popen(SCRIPT, "r");
    while (answer && fgets(line, sizeof line, answer))
        take_line(line);
    bool told = answer && pclose(answer) == 0;
    return told && place_count == PLACES && moment_count == MOMENTS ? 0 : -1;
}

// --- every rise and set

// How far the sun stands above a horizon. The sun's radius is 959.63" at a distance of 1.
static double above(const struct place *place, enum horizon horizon, double day) {
    struct sel_sun sun = sel_sun_position(day, place->latitude, place->longitude);
    double lowered = 34.0 / 60.0 + 959.63 / 3600.0 / sun.distance_au;
    return sun.elevation_deg + (horizon == LIMB ? lowered : 0.0);
}

static double crossing(
    const struct place *place, enum horizon horizon, double from, double to, bool rises) {
    for (int i = 0; i < 20; i++) {
        double middle = 0.5 * (from + to);
        if ((above(place, horizon, middle) > 0.0) == rises)
            to = middle;
        else
            from = middle;
    }
    return 0.5 * (from + to);
}

// Looks every ten minutes.
static void find_events(const struct place *place, enum horizon horizon, struct events *found) {
    static const double STEP = 10.0 / 1440.0;
    double first = sel_julian_day(NEW_YEAR, 0.0);
    bool up = above(place, horizon, first) > 0.0;
    found->count = 0;
    for (int i = 1; i <= YEAR_DAYS * 144; i++) {
        double day = first + i * STEP;
        bool still = above(place, horizon, day) > 0.0;
        if (still != up && found->count < EVENTS_MOST)
            found->list[found->count++] =
                (struct event){crossing(place, horizon, day - STEP, day, still), still};
        up = still;
    }
}

// Minutes. Near the poles the sun comes and goes on so flat a path that 0.001 degrees of its
// elevation are minutes of time.
static double bar_minutes(double latitude) {
    return fabs(latitude) < 60.0 ? 1.0 : fabs(latitude) < 67.0 ? 2.0 : 5.0;
}

// The same events in the same order: so the days without any are the same too.
static double compare_events(
    const struct place *place, const struct events *ours, const struct events *theirs) {
    double worst = 0.0;
    if (ours->count != theirs->count)
        fail_msg("at %g: %d events, not %d", place->latitude, ours->count, theirs->count);
    for (int i = 0; i < ours->count; i++) {
        assert_int_equal(ours->list[i].rises, theirs->list[i].rises);
        double minutes = fabs(ours->list[i].day - theirs->list[i].day) * 1440.0;
        if (minutes > bar_minutes(place->latitude))
            fail_msg("at %g, Julian day %.5f: off by %.2f minutes", place->latitude,
                theirs->list[i].day, minutes);
        worst = fmax(worst, minutes);
    }
    return worst;
}

static void every_rise_and_set_of_a_year_is_met(void **state) {
    (void)state;
    static struct events ours;
    for (const struct place *place = places; place < places + PLACES; place++) {
        printf("%6.1f %7.1f:", place->latitude, place->longitude);
        for (int horizon = LIMB; horizon < HORIZONS; horizon++) {
            find_events(place, (enum horizon)horizon, &ours);
            double worst = compare_events(place, &ours, &place->events[horizon]);
            printf("  %d of the %s within %.2f s", ours.count,
                horizon == LIMB ? "upper limb" : "centre", 60.0 * worst);
        }
        printf("\n");
    }
}

static void both_midnight_sun_and_polar_night_are_among_the_places(void **state) {
    (void)state;
    int without = 0;
    for (const struct place *place = places; place < places + PLACES; place++)
        without += place->events[LIMB].count < 2 * 300;
    assert_int_equal(without, 4);
}

// --- first and last sun, as the exposure tells them

// Solar noon of the season's only day, from its own path: mean noon and what it is late.
static double noon_of(const struct sel_season *season, struct sel_date date, double longitude) {
    return sel_julian_day(date, 12.0 - longitude / 15.0) + season->true_to_mean_h / 24.0;
}

// What PyEphem's events of the day around a noon make of first and last sun; NAN: none. A sun that
// sets first was up at the day's beginning, one that rises last at its end.
struct span {
    double first, last; // Julian days
};

static struct span span_of(const struct place *place, double noon) {
    const struct events *events = &place->events[CENTRE];
    struct span span = {(double)NAN, (double)NAN};
    for (const struct event *event = events->list; event < events->list + events->count; event++) {
        if (event->day < noon - 0.5 || event->day >= noon + 0.5)
            continue;
        if (isnan(span.first))
            span.first = event->rises ? event->day : noon - 0.5;
        span.last = event->rises ? noon + 0.5 : event->day;
    }
    if (isnan(span.first) && above(place, CENTRE, noon) > 0.0)
        span.first = noon - 0.5, span.last = noon + 0.5;
    return span;
}

// The exposure's own times on open ground, as Julian days.
static struct span told_for(const struct place *place, struct sel_date date, double *noon) {
    struct sel_season *season;
    struct sel_horizon open;
    memset(&open, 0, sizeof open);
    assert_int_equal(
        sel_season_new(date, date, place->latitude, place->longitude, 0.0, &season), SEL_OK);
    struct sel_exposure exposure = sel_season_exposure(season, &open, 0.0);
    double mean_midnight = sel_julian_day(date, -place->longitude / 15.0);
    *noon = noon_of(season, date, place->longitude);
    sel_season_free(season);
    struct span span = {
        mean_midnight + exposure.first_sun_h / 24.0, mean_midnight + exposure.last_sun_h / 24.0};
    if (exposure.first_sun_h == 0.0)
        span.first = *noon - 0.5;
    if (exposure.last_sun_h == 24.0)
        span.last = *noon + 0.5;
    return span;
}

static double compare_day(const struct place *place, struct sel_date date) {
    double noon;
    struct span ours = told_for(place, date, &noon), theirs = span_of(place, noon);
    if (isnan(ours.first) != isnan(theirs.first) || isnan(ours.last) != isnan(theirs.last))
        fail_msg("at %g, %d-%d: sun here, none there", place->latitude, date.month, date.day);
    if (isnan(ours.first))
        return 0.0;
    double minutes = 1440.0 * fmax(fabs(ours.first - theirs.first), fabs(ours.last - theirs.last));
    if (minutes > bar_minutes(place->latitude))
        fail_msg(
            "at %g, %d-%d: off by %.2f minutes", place->latitude, date.month, date.day, minutes);
    return minutes;
}

static void first_and_last_sun_of_every_day_are_met(void **state) {
    (void)state;
    double january = sel_julian_day(NEW_YEAR, 0.0);
    for (const struct place *place = places; place < places + PLACES; place++) {
        double worst = 0.0;
        // Days that begin or end outside the year have no full list of events.
        for (int day = 1; day < YEAR_DAYS - 1; day++)
            worst = fmax(worst, compare_day(place, sel_date_of_julian_day(january + day)));
        printf("%6.1f %7.1f:  first and last sun within %.1f s\n", place->latitude,
            place->longitude, 60.0 * worst);
    }
}

// --- where the sun stands

static void the_sun_stands_where_it_is_seen_within_a_hundredth_of_a_degree(void **state) {
    (void)state;
    double worst = 0.0;
    for (const struct moment *at = moments; at < moments + MOMENTS; at++) {
        struct sel_sun sun = sel_sun_position(at->day, at->latitude, at->longitude);
        double across = remainder(sun.azimuth_deg - at->azimuth, 360.0) *
                        cos(at->elevation / 57.29577951308232);
        worst = fmax(worst, hypot(across, sun.elevation_deg - at->elevation));
    }
    printf("%d positions within %.5f degrees\n", MOMENTS, worst);
    assert_true(worst < 0.01);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_rise_and_set_of_a_year_is_met),
        cmocka_unit_test(both_midnight_sun_and_polar_night_are_among_the_places),
        cmocka_unit_test(first_and_last_sun_of_every_day_are_met),
        cmocka_unit_test(the_sun_stands_where_it_is_seen_within_a_hundredth_of_a_degree),
    };
    FILE *probe = popen("/usr/bin/python3 -c 'import ephem' 2>/dev/null", "r");
    if (!probe || pclose(probe) != 0) {
        printf("SKIPPED: PyEphem (python3-ephem) is not there: no sunrise was compared\n");
        return NOT_RUN;
    }
    return cmocka_run_group_tests(tests, ask, NULL);
}
