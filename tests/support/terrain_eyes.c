// SPDX-License-Identifier: MIT
#include "terrain_eyes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double DEGREES = 57.29577951308232;

struct terrain_setting terrain_setting_usual(void) {
    return (struct terrain_setting){{10000.0, 1.8, 4.0, 0.0}, 10.0, 10.0, {0, 0, 16, 16}, 0, true};
}

static void *room(size_t count, size_t size) {
    void *memory = calloc(count, size);
    if (!memory)
        abort();
    return memory;
}

static void make_level(struct terrain_eyes *eyes, int level, struct sel_window window) {
    size_t cells = sel_window_cells(window);
    eyes->ground[level] = room(cells, sizeof(float));
    eyes->top[level] = room(cells, sizeof(float));
    eyes->cover[level] = room(cells, 1);
    eyes->surface.levels[level] = (struct sel_surface_level){
        window, eyes->ground[level], eyes->top[level], eyes->cover[level]};
}

static void fill_level(
    struct terrain_eyes *eyes, int level, terrain_cell_fn *cell, const void *scene) {
    struct sel_window window = eyes->surface.levels[level].window;
    for (int64_t i = 0; i < (int64_t)sel_window_cells(window); i++) {
        struct terrain_cell here =
            cell(scene, level, window.row + i / window.cols, window.col + i % window.cols);
        bool canopy = here.canopy_m > 0.0f && !isnan(here.ground_m);
        float bare = level == 0 ? -INFINITY : here.ground_m;
        eyes->ground[level][i] = here.ground_m;
        eyes->top[level][i] = canopy ? here.ground_m + here.canopy_m : bare;
        eyes->cover[level][i] = here.cover;
    }
}

// What coarser levels are made from must be as large as they are.
static struct sel_window window_of(const struct terrain_setting *setting, int level) {
    double cell_m = fmin(setting->cell_x_m, setting->cell_y_m);
    int64_t reach = sel_horizon_level_reach(&setting->rule, cell_m, level) + setting->spare;
    for (int l = level + 1; l < SEL_SURFACE_LEVELS && setting->coarsened; l++) {
        int64_t other = sel_horizon_level_reach(&setting->rule, cell_m, l) + setting->spare + 16;
        reach = other > reach ? other : reach;
    }
    return sel_surface_window(sel_window_grow(setting->core, reach), level);
}

void terrain_eyes_open(struct terrain_eyes *eyes, const struct terrain_setting *setting,
    terrain_cell_fn *cell, const void *scene) {
    memset(eyes, 0, sizeof *eyes);
    eyes->setting = *setting;
    for (int level = 0; level < SEL_SURFACE_LEVELS; level++) {
        make_level(eyes, level, window_of(setting, level));
        if (level == 0 || !setting->coarsened)
            fill_level(eyes, level, cell, scene);
        else
            sel_surface_coarsen(&eyes->surface.levels[level - 1],
                eyes->surface.levels[level].window, eyes->ground[level], eyes->top[level],
                eyes->cover[level]);
    }
    int64_t core =
        setting->core.rows > setting->core.cols ? setting->core.rows : setting->core.cols;
    if (sel_horizon_plan_new(&setting->rule, setting->cell_x_m, setting->cell_y_m,
            eyes->surface.levels[0].window.cols, &eyes->plan) != SEL_OK ||
        sel_horizon_view_new(eyes->plan, core, &eyes->view) != SEL_OK ||
        !sel_horizon_view_aim(eyes->view, &eyes->surface, setting->core))
        abort();
}

void terrain_eyes_close(struct terrain_eyes *eyes) {
    for (int level = 0; level < SEL_SURFACE_LEVELS; level++) {
        free(eyes->ground[level]);
        free(eyes->top[level]);
        free(eyes->cover[level]);
    }
    sel_horizon_view_free(eyes->view);
    sel_horizon_plan_free(eyes->plan);
}

struct sel_horizon terrain_look(const struct terrain_eyes *eyes, int64_t hx, int64_t hy) {
    struct sel_horizon horizon;
    if (!sel_horizon_at(eyes->view, hx, hy, &horizon)) {
        fprintf(stderr, "no horizon at %lld %lld\n", (long long)hx, (long long)hy);
        abort();
    }
    return horizon;
}

double terrain_angle_deg(float tangent) {
    return atan((double)tangent) * DEGREES;
}

double terrain_random(uint32_t salt, int64_t row, int64_t col) {
    uint32_t bits = salt * 0x9e3779b9u + (uint32_t)row * 0x85ebca6bu + (uint32_t)col * 0xc2b2ae35u;
    for (int i = 0; i < 3; i++) {
        bits ^= bits >> 15;
        bits *= 0x2c1b3c6du;
        bits ^= bits >> 12;
    }
    return (bits >> 8) * 0x1p-24;
}

// Random numbers at lattice points `size` cells apart, linear in between.
static double smooth(uint32_t salt, int64_t size, int64_t row, int64_t col) {
    double y = (double)row / (double)size, x = (double)col / (double)size;
    int64_t r = (int64_t)floor(y), c = (int64_t)floor(x);
    double v = y - (double)r, u = x - (double)c;
    return (1 - v) * ((1 - u) * terrain_random(salt, r, c) + u * terrain_random(salt, r, c + 1)) +
           v * ((1 - u) * terrain_random(salt, r + 1, c) + u * terrain_random(salt, r + 1, c + 1));
}

struct terrain_cell terrain_rolling(const void *salt, int level, int64_t row, int64_t col) {
    (void)level;
    uint32_t s = *(const uint32_t *)salt;
    double ground = 500.0;
    for (int64_t size = 150; size >= 5; size /= 5)
        ground += (double)size * 0.7 * (smooth(s, size, row, col) - 0.5);
    double wood = smooth(s + 7, 11, row, col);
    struct terrain_cell cell = {(float)ground, 0.0f, 0};
    if (wood > 0.55)
        cell =
            (struct terrain_cell){(float)ground, wood > 0.7 ? 20.0f : 9.0f, wood > 0.7 ? 216 : 100};
    return cell;
}
