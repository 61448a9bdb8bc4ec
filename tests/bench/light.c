// SPDX-License-Identifier: MIT
//
// usage: bench_light [SITES]
// Times horizon and season for SITES places (default 100,000) at 10 m with a reach of 10 km on two
// threads, over rolling ground with patchy canopy, and one exhaustive horizon beside it. Prints
// lines of `key value`. Not a test: nothing is asserted.
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "terrain/exposure.h"
#include "terrain_cast.h"

enum { THREADS = 2, CORE_CELLS = 512, CASTS = 3 };

struct share {
    const struct terrain_eyes *eyes;
    struct sel_season *season;
    long sites;
    double sum; // so that no compiler drops the work
};

static double now(void) {
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

// Places along the rows of the core, as candidates of a tile come.
static void *look(void *argument) {
    struct share *share = argument;
    for (long i = 0; i < share->sites; i++) {
        int64_t at = (int64_t)i * (2 * CORE_CELLS * CORE_CELLS / share->sites + 1);
        int64_t hx = at % (2 * CORE_CELLS), hy = at / (2 * CORE_CELLS) * 2 + 1;
        struct sel_horizon horizon = terrain_look(share->eyes, hx, hy % (2 * CORE_CELLS));
        share->sum += sel_season_exposure(share->season, &horizon, 0.0).sun_share;
    }
    return NULL;
}

static double cast_seconds(const struct terrain_eyes *eyes) {
    double begun = now(), sum = 0;
    for (int64_t k = 0; k < CASTS; k++)
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
            sum += terrain_cast(eyes, 101 + 40 * k, 77, 5.0 * i).ground_tan;
    return (now() - begun) / CASTS + sum * 0.0;
}

int main(int argc, char **argv) {
    long sites = argc > 1 ? strtol(argv[1], NULL, 10) : 100000;
    struct terrain_setting setting = terrain_setting_usual();
    setting.core = (struct sel_window){0, 0, CORE_CELLS, CORE_CELLS};
    setting.coarsened = true;
    struct sel_season *season = NULL;
    struct terrain_eyes eyes[THREADS];
    struct share shares[THREADS];
    pthread_t handles[THREADS];
    uint32_t salt = 7;
    if (sites < THREADS ||
        sel_season_new((struct sel_date){2027, 5, 15}, (struct sel_date){2027, 8, 31}, 49.0, 14.0,
            300.0, &season) != SEL_OK)
        return 1;
    for (int i = 0; i < THREADS; i++) {
        terrain_eyes_open(&eyes[i], &setting, terrain_rolling, &salt);
        shares[i] = (struct share){&eyes[i], season, sites / THREADS, 0.0};
    }
    double begun = now();
    for (int i = 0; i < THREADS; i++)
        if (pthread_create(&handles[i], NULL, look, &shares[i]) != 0)
            return 1;
    for (int i = 0; i < THREADS; i++)
        pthread_join(handles[i], NULL);
    double seconds = now() - begun;
    double horizon_s = THREADS * seconds / (double)sites, cast_s = cast_seconds(&eyes[0]);
    printf("sites %ld\nthreads %d\nwall_s %.2f\nsites_per_s %.0f\nmean_sun_share %.3f\n", sites,
        THREADS, seconds, (double)sites / seconds, (shares[0].sum + shares[1].sum) / (double)sites);
    printf("us_per_site_and_thread %.1f\nexhaustive_us %.0f\nexhaustive_to_ours %.0f\n",
        1e6 * horizon_s, 1e6 * cast_s, cast_s / horizon_s);
    for (int i = 0; i < THREADS; i++)
        terrain_eyes_close(&eyes[i]);
    sel_season_free(season);
    return 0;
}
