// SPDX-License-Identifier: MIT
//
// Roads, lanes and paths: each starts at its own end and takes the way of least effort to the
// nearest road that is already there (Dijkstra 1959 on the cells, eight neighbours). The village's
// green is the first piece of road.
#include <math.h>
#include <stdlib.h>

#include "valley.h"

struct search {
    double cost[CELLS];
    int32_t from[CELLS];
    int32_t heap[CELLS];  // cells by cost, smallest first
    int32_t place[CELLS]; // where in the heap a cell is; -1: not in it
    int count;
};

// What a traveller minds.
struct effort {
    double easy_grade; // the grade that doubles the effort
    double wet;        // share more on the valley floor
    double bridge_m;   // a crossing of the brook is worth this detour
    double wander;     // share by which the ground's whims change the effort
    uint32_t salt;
};

static bool cheaper(const struct search *search, int32_t a, int32_t b) {
    return search->cost[a] < search->cost[b] || (search->cost[a] == search->cost[b] && a < b);
}

static void put(struct search *search, int place, int32_t cell) {
    search->heap[place] = cell;
    search->place[cell] = place;
}

static void rise(struct search *search, int at, int32_t cell) {
    for (; at > 0 && cheaper(search, cell, search->heap[(at - 1) / 2]); at = (at - 1) / 2)
        put(search, at, search->heap[(at - 1) / 2]);
    put(search, at, cell);
}

static int32_t take_cheapest(struct search *search) {
    int32_t top = search->heap[0], last = search->heap[--search->count];
    int at = 0;
    search->place[top] = -1;
    for (int child = 1; child < search->count; child = 2 * at + 1) {
        if (child + 1 < search->count &&
            cheaper(search, search->heap[child + 1], search->heap[child]))
            child++;
        if (!cheaper(search, search->heap[child], last))
            break;
        put(search, at, search->heap[child]);
        at = child;
    }
    if (search->count > 0)
        put(search, at, last);
    return top;
}

// Effort of the step between two neighbouring cells, as metres of easy road.
static double step_effort(
    const struct valley *valley, const struct effort *effort, int32_t from, int32_t to) {
    struct point a = cell_centre(from), b = cell_centre(to);
    double run = distance(a, b);
    double grade = (valley->height[to] - valley->height[from]) / run / effort->easy_grade;
    double ground = 1 + effort->wet * valley->floor_share[to] +
                    effort->wander * (1 + fractal(b.x, b.y, 130, 2, effort->salt));
    double bridge = valley->brook_m[to] < 8 ? effort->bridge_m : 0;
    if (valley->cover[to] != COVER_NONE) // pond and quarry
        bridge = 1e5;
    return run * (ground + grade * grade) + bridge;
}

static void reach(struct search *search, int32_t from, int32_t to, double cost) {
    if (cost >= search->cost[to])
        return;
    search->cost[to] = cost;
    search->from[to] = from;
    rise(search, search->place[to] >= 0 ? search->place[to] : search->count++, to);
}

static void search_begin(struct search *search, int32_t start) {
    for (int cell = 0; cell < CELLS; cell++) {
        search->cost[cell] = HUGE_VAL;
        search->place[cell] = -1;
    }
    search->count = 0;
    reach(search, -1, start, 0);
}

static void reach_neighbours(
    struct search *search, const struct valley *valley, const struct effort *effort, int32_t cell) {
    int row = cell / WIDE, col = cell % WIDE;
    for (int k = 0; k < 9; k++) {
        int next_row = row + k / 3 - 1, next_col = col + k % 3 - 1;
        int32_t next = next_row * WIDE + next_col;
        if (k == 4 || next_row < 0 || next_row >= HIGH || next_col < 0 || next_col >= WIDE)
            continue;
        reach(search, cell, next, search->cost[cell] + step_effort(valley, effort, cell, next));
    }
}

// From `start` to the nearest cell, by effort, whose distance to the network is small.
static void connect(struct search *search, const struct valley *valley, const double *network_m,
    const struct effort *effort, struct point start, struct line *line) {
    search_begin(search, cell_at(start));
    int32_t cell = -1;
    while (search->count > 0) {
        cell = take_cheapest(search);
        if (network_m[cell] < 0.75 * CELL_M)
            break;
        reach_neighbours(search, valley, effort, cell);
    }
    line->count = 0;
    for (; cell >= 0; cell = search->from[cell])
        line_add(line, cell_centre(cell).x, cell_centre(cell).y);
    line_thin(line, 12);
    line_round(line, 3);
    line_thin(line, 0.5);
}

static void roads_make(struct valley *valley, struct search *search) {
    static const struct effort drive = {0.07, 1.6, 260, 0.16, 81};
    static const struct point ends[] = {{0, 3420}, {7190, 1330}, {4150, 5990}, {3640, 450},
        {1480, 4620}, {4890, 2130}, {5950, 3580}, {1050, 2150}, {2790, 4870}};
    struct line *green = &valley->roads.items[valley->roads.count++];
    line_add(green, VILLAGE.x, VILLAGE.y);
    line_add(green, VILLAGE.x + 40, VILLAGE.y + 10);
    for (int cell = 0; cell < CELLS; cell++)
        valley->road_m[cell] = HUGE_VAL;
    line_stamp(green, 2000, valley->road_m, NULL);
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        struct line *road = &valley->roads.items[valley->roads.count++];
        connect(search, valley, valley->road_m, &drive, ends[i], road);
        line_stamp(road, 2000, valley->road_m, NULL);
    }
}

static bool paths_make(struct valley *valley, struct search *search) {
    static const struct effort walk = {0.22, 0.5, 150, 0.3, 82};
    static const struct point ends[] = {{2250, 1050}, {5350, 900}, {6500, 4900}, {4900, 4350},
        {2000, 5600}, {550, 5350}, {3000, 3480}, {5000, 2950}, {700, 3050}, {6420, 2420}};
    double *network_m = malloc(sizeof(double) * CELLS);
    if (!network_m)
        return false;
    for (int cell = 0; cell < CELLS; cell++)
        network_m[cell] = valley->road_m[cell];
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        struct line *path = &valley->paths.items[valley->paths.count++];
        connect(search, valley, network_m, &walk, ends[i], path);
        line_stamp(path, 50, network_m, NULL);
    }
    free(network_m);
    return true;
}

bool routes_make(struct valley *valley) {
    struct search *search = malloc(sizeof *search);
    if (!search)
        return false;
    roads_make(valley, search);
    bool done = paths_make(valley, search);
    free(search);
    return done;
}
