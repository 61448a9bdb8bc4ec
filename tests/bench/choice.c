// SPDX-License-Identifier: MIT
//
// usage: bench_choice [CANDIDATES] [SITES] [THREADS]
// Times the choice and the draws of weights on made-up ground: hills of worth for each of four
// criteria, as habitats and slopes make them, over 40 x 40 km, eight pairs of habitats with
// quotas. Prints lines of tab-parted values; the bars are in README.md here.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "choose/choose.h"
#include "choose/robust.h"
#include "choose_random.h"

enum { HILLS = 400, CRITERIA = 4, PAIRS = 8, DRAWS = 2000 };
static const double SIDE_M = 40000;
static const double WEIGHTS[CRITERIA] = {4.0 / 9, 2.0 / 9, 2.0 / 9, 1.0 / 9};

struct ground {
    const char *name;
    double widest_m, noise; // of the hills; the share that is no hill
    double apart_m;
};

struct scene {
    struct sel_choice_item *items;
    double *values[CRITERIA];
    size_t count;
    struct sel_choice_rule rule;
};

static double seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

struct hill {
    double x, y, height, width;
};

static double worth_at(const struct hill *hills, double x, double y) {
    double worth = 0;
    for (int k = 0; k < HILLS; k++) {
        double dx = x - hills[k].x, dy = y - hills[k].y;
        double far = (dx * dx + dy * dy) / (hills[k].width * hills[k].width);
        if (far < 9)
            worth = fmax(worth, hills[k].height * exp(-far));
    }
    return worth;
}

static void lay_criterion(
    struct scene *s, int criterion, const struct ground *ground, uint64_t *random) {
    struct hill hills[HILLS];
    for (int k = 0; k < HILLS; k++)
        hills[k] =
            (struct hill){random_between(random, 0, SIDE_M), random_between(random, 0, SIDE_M),
                random_share(random), random_between(random, 500, ground->widest_m)};
    for (size_t i = 0; i < s->count; i++) {
        double worth = worth_at(hills, s->items[i].x_m, s->items[i].y_m);
        s->values[criterion][i] =
            (1 - ground->noise) * worth + ground->noise * random_share(random);
        s->items[i].score += WEIGHTS[criterion] * s->values[criterion][i];
    }
}

static void place_items(struct scene *s, uint64_t *random) {
    for (size_t i = 0; i < s->count; i++) {
        int64_t hx = random_below(random, 8000), hy = random_below(random, 8000);
        double share = random_share(random);
        s->items[i] = (struct sel_choice_item){.x_m = 5 * (double)hx,
            .y_m = 5 * (double)hy,
            .hy = hy,
            .hx = hx * 8 + (int64_t)(i % 8),
            .group = {(int32_t)(PAIRS * share * share), SEL_NO_GROUP}};
    }
}

static struct scene scene_on(const struct ground *ground, size_t count, int sites) {
    struct scene s = {.count = count, .items = calloc(count, sizeof *s.items)};
    uint64_t random = 1;
    for (int c = 0; c < CRITERIA; c++)
        s.values[c] = calloc(count, sizeof *s.values[c]);
    if (!s.items || !s.values[CRITERIA - 1])
        abort();
    place_items(&s, &random);
    for (int c = 0; c < CRITERIA; c++)
        lay_criterion(&s, c, ground, &random);
    for (size_t i = 0; i < count; i++)
        s.items[i].score = round(s.items[i].score * 1e9) / 1e9;
    s.rule = (struct sel_choice_rule){.sites = sites,
        .apart_m = ground->apart_m,
        .reserves = 1,
        .reserve_reach_m = ground->apart_m,
        .reserve_apart_m = ground->apart_m / 4,
        .quota[SEL_BY_PAIR] = {.least = 2, .most = sites / 5, .groups = PAIRS}};
    return s;
}

static sel_status vary(sel_context *context, const struct scene *s, const struct sel_choice *choice,
    int threads, size_t *local_bests, double *least_share) {
    struct sel_robust_input input = {.items = s->items, .count = s->count, .rule = &s->rule};
    struct sel_robust_rule rule = {
        .criteria = CRITERIA, .draws = DRAWS, .concentration = 30, .seed = 1, .threads = threads};
    size_t kept[1000];
    static struct sel_robust_site sites[1000];
    for (int c = 0; c < CRITERIA; c++) {
        input.values[c] = s->values[c];
        rule.weights[c] = WEIGHTS[c];
    }
    for (int i = 0; i < choice->count; i++)
        kept[i] = choice->sites[i].item;
    input.kept = kept;
    input.kept_count = (size_t)choice->count;
    sel_status status = sel_robust_run(context, &input, &rule, sites, local_bests);
    *least_share = 1;
    for (int i = 0; i < choice->count; i++)
        *least_share = fmin(*least_share, sites[i].share_taken);
    return status;
}

static sel_status time_ground(
    sel_context *context, const struct ground *ground, size_t count, int sites, int threads) {
    struct scene s = scene_on(ground, count, sites);
    struct sel_choice choice;
    size_t local_bests = 0;
    double least_share = 0, begin = seconds();
    sel_status status = sel_choose_best(context, s.items, s.count, NULL, 0, &s.rule, &choice);
    double chosen = seconds();
    if (status == SEL_OK)
        status = vary(context, &s, &choice, threads, &local_bests, &least_share);
    double varied = seconds();
    if (status == SEL_OK)
        printf("%s\t%zu\t%d\t%.0f\t%.2f\t%.3f\t%zu\t%.2f\t%.2f\n", ground->name, count,
            choice.count, ground->apart_m, chosen - begin,
            100 * (choice.bound / choice.objective - 1), local_bests, varied - chosen, least_share);
    else
        fprintf(stderr, "%s: %s\n", ground->name, sel_context_message(context));
    sel_choice_clear(&choice);
    free(s.items);
    for (int c = 0; c < CRITERIA; c++)
        free(s.values[c]);
    return status;
}

static long number(int argc, char **argv, int at, long fallback, long most) {
    long value = argc > at ? strtol(argv[at], NULL, 10) : fallback;
    return value < 1 || value > most ? fallback : value;
}

int main(int argc, char **argv) {
    static const struct ground grounds[] = {{"broad", 4000, 0.02, 1500}, {"mixed", 4000, 0.2, 1500},
        {"rough", 4000, 0.5, 1500}, {"narrow", 1500, 0.1, 1500}, {"crowded", 4000, 0.2, 200}};
    size_t count = (size_t)number(argc, argv, 1, 200000, 10000000);
    int sites = (int)number(argc, argv, 2, 40, 1000), threads = (int)number(argc, argv, 3, 2, 256);
    sel_context *context = sel_context_new();
    sel_status status = context ? SEL_OK : SEL_NO_MEMORY;
    printf("ground\tcandidates\tsites\tapart_m\tchoice_s\tgap_percent\tlocal_bests\tdraws_s\t"
           "least_share\n");
    for (size_t i = 0; i < sizeof grounds / sizeof *grounds && status == SEL_OK; i++)
        status = time_ground(context, &grounds[i], count, sites, threads);
    sel_context_free(context);
    return status == SEL_OK ? 0 : 1;
}
