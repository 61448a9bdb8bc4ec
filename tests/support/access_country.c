// SPDX-License-Identifier: MIT
//
// Small countries to walk in.
#include "access_country.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "choose_random.h"

struct country country_new(int64_t rows, int64_t cols, double cell_m) {
    size_t cells = (size_t)(rows * cols);
    struct country c = {.rows = rows, .cols = cols, .cell_x_m = cell_m, .cell_y_m = cell_m};
    c.elevation_m = calloc(cells, sizeof *c.elevation_m);
    c.factor = malloc(cells * sizeof *c.factor);
    c.marks = calloc(cells, 1);
    for (size_t i = 0; i < cells; i++)
        c.factor[i] = 1;
    return c;
}

void country_free(struct country *c) {
    free(c->elevation_m);
    free(c->factor);
    free(c->marks);
    sel_walk_clear(&c->walk);
}

int64_t country_at(const struct country *c, int64_t row, int64_t col) {
    return row * c->cols + col;
}

double country_minutes(const struct country *c, int64_t row, int64_t col) {
    return c->walk.cells[country_at(c, row, col)].minutes;
}

void country_lay(const struct country *c, struct sel_walk *walk) {
    if (sel_walk_lay(walk, c->rows, c->cols, c->cell_x_m, c->cell_y_m) != SEL_OK)
        abort();
    for (int64_t i = 0; i < c->rows * c->cols; i++)
        sel_walk_set(walk, i, c->elevation_m[i], c->factor[i], c->marks[i]);
}

void country_search_in(const struct country *c, struct sel_walk *walk, double limit_min) {
    struct sel_walk_start *starts = malloc((size_t)(c->rows * c->cols) * sizeof *starts);
    size_t count = 0;
    for (int64_t i = 0; starts && i < c->rows * c->cols; i++)
        if (c->marks[i] & SEL_WALK_START)
            starts[count++] = (struct sel_walk_start){(int32_t)i, 0};
    country_lay(c, walk);
    if (!starts || sel_walk_search(walk, starts, count, limit_min) != SEL_OK)
        abort();
    free(starts);
}

void country_search(struct country *c, double limit_min) {
    country_search_in(c, &c->walk, limit_min);
}

struct country country_drawn(const char *const *lines, int64_t rows, double cell_m) {
    struct country c = country_new(rows, (int64_t)strlen(lines[0]), cell_m);
    for (int64_t row = 0; row < rows; row++)
        for (int64_t col = 0; col < c.cols; col++) {
            char letter = lines[row][col];
            int64_t i = country_at(&c, row, col);
            c.factor[i] = letter == '#' || letter == '+' ? 0 : 1;
            c.marks[i] = letter == 'S'                    ? SEL_WALK_START
                         : letter == '=' || letter == '+' ? SEL_WALK_WAY
                                                          : 0;
        }
    return c;
}

struct country country_random(uint64_t *random, int64_t rows, int64_t cols) {
    struct country c = country_new(rows, cols, random_between(random, 5, 40));
    double relief = random_between(random, 0, 30);
    int64_t shut = random_below(random, 5);
    const float factors[] = {1, 0.8f, 0.55f, 0.1f};
    for (int64_t i = 0; i < rows * cols; i++) {
        c.elevation_m[i] = (float)random_between(random, 0, relief);
        c.factor[i] = random_below(random, 10) < shut ? 0 : factors[random_below(random, 4)];
        if (random_below(random, 8) == 0)
            c.marks[i] = SEL_WALK_WAY;
        if (random_below(random, 60) == 0)
            c.marks[i] |= SEL_WALK_START;
        if (random_below(random, 30) == 0)
            c.elevation_m[i] = (float)NAN;
    }
    return c;
}

struct sel_walk_effort country_measure(
    const struct country *c, const int64_t *visited, size_t count) {
    struct sel_walk_effort sum = {0};
    for (size_t i = 1; i < count; i++)
        sel_walk_add_move(&c->walk, visited[i - 1], visited[i], &sum);
    return sum;
}
