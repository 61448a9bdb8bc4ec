// SPDX-License-Identifier: MIT
//
// usage: bench_horizon_errors [GROUND.tif]...
// The table of docs/method-sun.md: errors of horizons, in degrees, against exhaustive ray casting,
// for other ends of the levels and other coarse cells. GROUND: elevation on cells of 10 m, with
// made-up woods. A synthetic ground, rough down to the cell, comes last. The definition is walked
// without what makes it fast (terrain_sample), so no times are told. Not a test: nothing is
// asserted.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "terrain_cast.h"
#include "terrain_relief.h"

enum { PLACES = 200, SIDE = 4, SYNTHETIC_CELLS = 640, RAYS = PLACES * SEL_HORIZON_DIRECTIONS };

// Ground of a coarse cell: mean + share * (crossing height - mean), or the highest of the sixteen.
struct choice {
    double level_cells[SEL_SURFACE_LEVELS];
    double share;
    bool highest;
};

static const struct choice CHOICES[] = {{{80, 480, HUGE_VAL}, 0.75, false},
    {{80, 480, HUGE_VAL}, 0.0, false}, {{80, 480, HUGE_VAL}, 1.0, false},
    {{80, 480, HUGE_VAL}, 0.0, true}, {{32, 480, HUGE_VAL}, 0.75, false},
    {{48, 480, HUGE_VAL}, 0.75, false}, {{64, 480, HUGE_VAL}, 0.75, false},
    {{96, 480, HUGE_VAL}, 0.75, false}, {{80, 240, HUGE_VAL}, 0.75, false},
    {{80, 320, HUGE_VAL}, 0.75, false}, {{80, 1000, HUGE_VAL}, 0.75, false}};

// --- coarse cells anew

static double height_at(
    const struct terrain_eyes *eyes, const float *heights, int level, int64_t row, int64_t col) {
    struct sel_window window = eyes->surface.levels[level].window;
    if (!sel_window_has(window, row, col))
        return -HUGE_VAL;
    double height = (double)heights[(row - window.row) * window.cols + col - window.col];
    return isnan(height) ? -HUGE_VAL : height;
}

// The mean of the highest of each row and column, the mean, and the highest.
struct sixteen {
    double crossing, mean, most;
};

static struct sixteen sixteen_of(
    const struct terrain_eyes *eyes, const float *heights, int level, int64_t row, int64_t col) {
    struct sixteen all = {0.0, 0.0, -HUGE_VAL};
    int lines = 0, known = 0;
    for (int i = 0; i < SIDE; i++) {
        double of_row = -HUGE_VAL, of_col = -HUGE_VAL;
        for (int j = 0; j < SIDE; j++) {
            double here = height_at(eyes, heights, level, SIDE * row + i, SIDE * col + j);
            of_row = fmax(of_row, here);
            of_col = fmax(of_col, height_at(eyes, heights, level, SIDE * row + j, SIDE * col + i));
            all.mean += isinf(here) ? 0.0 : here;
            known += !isinf(here);
        }
        all.crossing += (isinf(of_row) ? 0.0 : of_row) + (isinf(of_col) ? 0.0 : of_col);
        lines += !isinf(of_row) + !isinf(of_col);
        all.most = fmax(all.most, of_row);
    }
    all.crossing /= lines;
    all.mean /= known;
    return all;
}

// The higher of ground and canopy top.
static float *tops_of(const struct terrain_eyes *eyes, int level) {
    size_t cells = sel_window_cells(eyes->surface.levels[level].window);
    float *tops = malloc(cells * sizeof *tops);
    if (!tops)
        abort();
    for (size_t i = 0; i < cells; i++)
        tops[i] = fmaxf(eyes->ground[level][i], eyes->top[level][i]);
    return tops;
}

static void coarsen(struct terrain_eyes *eyes, int level, const struct choice *choice) {
    struct sel_window window = eyes->surface.levels[level].window;
    float *tops = tops_of(eyes, level - 1);
    for (int64_t i = 0; i < (int64_t)sel_window_cells(window); i++) {
        int64_t row = window.row + i / window.cols, col = window.col + i % window.cols;
        struct sixteen ground = sixteen_of(eyes, eyes->ground[level - 1], level - 1, row, col);
        struct sixteen top = sixteen_of(eyes, tops, level - 1, row, col);
        double height = choice->highest
                            ? ground.most
                            : ground.mean + choice->share * (ground.crossing - ground.mean);
        eyes->ground[level][i] = (float)height;
        eyes->top[level][i] = (float)(height + fmax(0.0, top.crossing - ground.crossing));
    }
    free(tops);
}

// --- places and errors

static bool is_wood(const struct terrain_eyes *eyes, int64_t row, int64_t col) {
    return height_at(eyes, eyes->top[0], 0, row, col) >
           height_at(eyes, eyes->ground[0], 0, row, col);
}

// The k-th of the places: the middle of a cell's western side, on the edge of a wood.
static void place_of(const struct terrain_eyes *eyes, int64_t *k, int64_t *hx, int64_t *hy) {
    struct sel_window core = eyes->setting.core;
    for (;; ++*k) {
        int64_t row = core.row + (int64_t)(terrain_random(3, *k, 1) * (double)core.rows);
        int64_t col = core.col + 1 + (int64_t)(terrain_random(3, *k, 2) * (double)(core.cols - 1));
        *hx = 2 * col;
        *hy = 2 * row + 1;
        if (is_wood(eyes, row, col) != is_wood(eyes, row, col - 1))
            return;
    }
}

static int by_size(const void *a, const void *b) {
    double one = *(const double *)a, other = *(const double *)b;
    return (one > other) - (one < other);
}

static void print_errors(double *errors) {
    double sum = 0.0;
    qsort(errors, RAYS, sizeof *errors, by_size);
    for (int i = 0; i < RAYS; i++)
        sum += errors[i];
    printf(" %.3f %.3f %.1f", sum / RAYS, errors[RAYS * 95 / 100], errors[RAYS - 1]);
}

static double apart_deg(double a_tan, double b_tan) {
    return fabs(atan(a_tan) - atan(b_tan)) * 57.29577951308232;
}

struct place {
    int64_t hx, hy;
};

static void print_row(struct terrain_eyes *eyes, const struct choice *choice,
    const struct place *places, const struct terrain_ray *cast) {
    static double ground[RAYS], canopy[RAYS];
    for (int level = 1; level < SEL_SURFACE_LEVELS; level++)
        coarsen(eyes, level, choice);
    for (int i = 0; i < RAYS; i++) {
        const struct place *at = &places[i / SEL_HORIZON_DIRECTIONS];
        struct terrain_ray ray = terrain_sample_to(
            eyes, at->hx, at->hy, i % SEL_HORIZON_DIRECTIONS, choice->level_cells);
        ground[i] = apart_deg(ray.ground_tan, cast[i].ground_tan);
        canopy[i] = apart_deg(ray.canopy_tan, cast[i].canopy_tan);
    }
    printf("%.0f %.0f ", choice->level_cells[0], choice->level_cells[1]);
    printf(choice->highest ? "highest" : "%.2f", choice->share);
    print_errors(ground);
    print_errors(canopy);
    printf("\n");
}

static void print_table(
    const char *name, terrain_cell_fn *cell, const void *scene, int64_t rows, int64_t cols) {
    static struct place places[PLACES];
    static struct terrain_ray cast[RAYS];
    struct terrain_setting setting = terrain_setting_usual();
    setting.core = (struct sel_window){0, 0, rows, cols};
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, cell, scene);
    int64_t k = 0;
    for (int i = 0; i < PLACES; i++, k++)
        place_of(&eyes, &k, &places[i].hx, &places[i].hy);
    for (int i = 0; i < RAYS; i++)
        cast[i] = terrain_cast(&eyes, places[i / SEL_HORIZON_DIRECTIONS].hx,
            places[i / SEL_HORIZON_DIRECTIONS].hy, 5.0 * (i % SEL_HORIZON_DIRECTIONS));
    printf("# %s: %d directions\n# level-0-cells level-1-cells share ground: mean 95%% worst "
           "canopy: mean 95%% worst\n",
        name, RAYS);
    for (size_t i = 0; i < sizeof CHOICES / sizeof *CHOICES; i++)
        print_row(&eyes, &CHOICES[i], places, cast);
    terrain_eyes_close(&eyes);
}

int main(int argc, char **argv) {
    const uint32_t salt = 7;
    for (int i = 1; i < argc; i++) {
        struct terrain_relief relief;
        if (!terrain_relief_read(&relief, argv[i])) {
            fprintf(stderr, "%s cannot be read\n", argv[i]);
            return 1;
        }
        print_table(argv[i], terrain_on_relief, &relief, relief.rows, relief.cols);
        terrain_relief_clear(&relief);
    }
    print_table("synthetic", terrain_rolling, &salt, SYNTHETIC_CELLS, SYNTHETIC_CELLS);
    return 0;
}
