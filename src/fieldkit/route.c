// SPDX-License-Identifier: MIT
//
// Equal lengths are told apart by the index, so that the same places give the same order anywhere.
#include "fieldkit/route.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// A gain below this is rounding, not a shorter path.
static const double LEAST_GAIN_M = 1e-6;

// Improvement passes over a path; each makes it shorter, and a few dozen settle a thousand places.
enum { PASSES_MOST = 60, MOVED_MOST = 3 };

static double between(const struct sel_stop *stops, size_t a, size_t b) {
    double x = stops[a].x - stops[b].x, y = stops[a].y - stops[b].y;
    return sqrt(x * x + y * y);
}

double sel_route_length(const struct sel_stop *stops, const size_t *order, size_t count) {
    double length = 0.0;
    for (size_t i = 1; i < count; i++)
        length += between(stops, order[i - 1], order[i]);
    return length;
}

static void reverse(size_t *order, size_t from, size_t to) {
    for (; from < to; from++, to--) {
        size_t kept = order[from];
        order[from] = order[to];
        order[to] = kept;
    }
}

static void lower_end_first(size_t *order, size_t count) {
    if (count > 1 && order[0] > order[count - 1])
        reverse(order, 0, count - 1);
}

// --- exact ---

struct subsets {
    const struct sel_stop *stops;
    const size_t *places;
    size_t count;
    double *least;         // by subset and last place
    unsigned char *before; // the place before the last
};

static size_t at(const struct subsets *subsets, size_t subset, size_t last) {
    return subset * subsets->count + last;
}

static void reach(struct subsets *subsets, size_t subset, size_t last) {
    size_t cell = at(subsets, subset, last), rest = subset & ~((size_t)1 << last);
    subsets->least[cell] = rest == 0 ? 0.0 : (double)INFINITY;
    for (size_t from = 0; from < subsets->count; from++) {
        if (!(rest >> from & 1))
            continue;
        double length = subsets->least[at(subsets, rest, from)] +
                        between(subsets->stops, subsets->places[from], subsets->places[last]);
        if (length < subsets->least[cell] - LEAST_GAIN_M) {
            subsets->least[cell] = length;
            subsets->before[cell] = (unsigned char)from;
        }
    }
}

static void trace_back(const struct subsets *subsets, size_t *order) {
    size_t subset = ((size_t)1 << subsets->count) - 1, last = 0;
    for (size_t end = 1; end < subsets->count; end++)
        if (subsets->least[at(subsets, subset, end)] <
            subsets->least[at(subsets, subset, last)] - LEAST_GAIN_M)
            last = end;
    for (size_t i = subsets->count; i > 0; i--) {
        order[i - 1] = subsets->places[last];
        size_t from = subsets->before[at(subsets, subset, last)];
        subset &= ~((size_t)1 << last);
        last = from;
    }
}

static bool order_exactly(const struct sel_stop *stops, size_t *order, size_t count) {
    size_t places[SEL_ROUTE_EXACT_MOST], cells = ((size_t)1 << count) * count;
    memcpy(places, order, count * sizeof *places);
    struct subsets subsets = {
        stops, places, count, malloc(cells * sizeof(double)), calloc(cells, 1)};
    bool made = subsets.least && subsets.before;
    for (size_t subset = 1; made && subset >> count == 0; subset++)
        for (size_t last = 0; last < count; last++)
            if (subset >> last & 1)
                reach(&subsets, subset, last);
    if (made)
        trace_back(&subsets, order);
    free(subsets.least);
    free(subsets.before);
    return made;
}

// --- nearest neighbour ---

static void start_from_nearest(const struct sel_stop *stops, size_t *order, size_t count) {
    for (size_t i = 1; i < count; i++) {
        size_t best = i;
        for (size_t j = i + 1; j < count; j++)
            if (between(stops, order[i - 1], order[j]) <
                between(stops, order[i - 1], order[best]) - LEAST_GAIN_M)
                best = j;
        size_t kept = order[i];
        order[i] = order[best];
        order[best] = kept;
    }
}

// --- reversals and moves ---

// The link from the path's place i - 1 to `to`; none before the first place.
static double link_before(const struct sel_stop *stops, const size_t *order, size_t i, size_t to) {
    return i == 0 ? 0.0 : between(stops, order[i - 1], to);
}

static double link_after(
    const struct sel_stop *stops, const size_t *order, size_t count, size_t i, size_t from) {
    return i + 1 == count ? 0.0 : between(stops, from, order[i + 1]);
}

static bool reverse_better(const struct sel_stop *stops, size_t *order, size_t count) {
    bool better = false;
    for (size_t from = 0; from + 1 < count; from++) {
        for (size_t to = from + 1; to < count; to++) {
            double gain = link_before(stops, order, from, order[from]) +
                          link_after(stops, order, count, to, order[to]) -
                          link_before(stops, order, from, order[to]) -
                          link_after(stops, order, count, to, order[from]);
            if (gain > LEAST_GAIN_M) {
                reverse(order, from, to);
                better = true;
            }
        }
    }
    return better;
}

// Moves order[from .. from + moved - 1] so that it begins at `to` in the path without it.
static void move(size_t *order, size_t from, size_t moved, size_t to) {
    size_t kept[MOVED_MOST];
    memcpy(kept, order + from, moved * sizeof *kept);
    if (to > from)
        memmove(order + from, order + from + moved, (to - from) * sizeof *order);
    else
        memmove(order + to + moved, order + to, (from - to) * sizeof *order);
    memcpy(order + to, kept, moved * sizeof *kept);
}

// What the path loses in length when the run is lifted out of it.
static double gain_of_lifting(
    const struct sel_stop *stops, const size_t *order, size_t count, size_t from, size_t moved) {
    size_t end = from + moved - 1;
    double closed =
        from > 0 && end + 1 < count ? between(stops, order[from - 1], order[end + 1]) : 0.0;
    return link_before(stops, order, from, order[from]) +
           link_after(stops, order, count, end, order[end]) - closed;
}

// What it takes to put the run down between `left` and `right`; SIZE_MAX is the path's end.
static double cost_of_putting(
    const struct sel_stop *stops, size_t left, size_t right, size_t first, size_t last) {
    double opened = left != SIZE_MAX && right != SIZE_MAX ? between(stops, left, right) : 0.0;
    return (left == SIZE_MAX ? 0.0 : between(stops, left, first)) +
           (right == SIZE_MAX ? 0.0 : between(stops, last, right)) - opened;
}

// The place `i` of the path without the run; SIZE_MAX beyond its end.
static size_t without(const size_t *order, size_t count, size_t from, size_t moved, size_t i) {
    size_t index = i < from ? i : i + moved;
    return index < count ? order[index] : SIZE_MAX;
}

static bool move_run(
    const struct sel_stop *stops, size_t *order, size_t count, size_t from, size_t moved) {
    double gain = gain_of_lifting(stops, order, count, from, moved), best = gain - LEAST_GAIN_M;
    size_t first = order[from], last = order[from + moved - 1], target = from;
    for (size_t to = 0; to + moved <= count; to++) {
        size_t left = to == 0 ? SIZE_MAX : without(order, count, from, moved, to - 1);
        size_t right = without(order, count, from, moved, to);
        double cost = cost_of_putting(stops, left, right, first, last);
        if (to != from && cost < best) {
            best = cost - LEAST_GAIN_M;
            target = to;
        }
    }
    if (target == from)
        return false;
    move(order, from, moved, target);
    return true;
}

static bool move_better(const struct sel_stop *stops, size_t *order, size_t count) {
    bool better = false;
    for (size_t moved = 1; moved <= MOVED_MOST && moved < count; moved++)
        for (size_t from = 0; from + moved <= count; from++)
            better = move_run(stops, order, count, from, moved) || better;
    return better;
}

static void improve(const struct sel_stop *stops, size_t *order, size_t count) {
    for (int pass = 0; pass < PASSES_MOST; pass++) {
        bool reversed = reverse_better(stops, order, count);
        if (!move_better(stops, order, count) && !reversed)
            break;
    }
}

bool sel_route_order(const struct sel_stop *stops, size_t *order, size_t count) {
    if (count > SEL_ROUTE_EXACT_MOST) {
        start_from_nearest(stops, order, count);
        improve(stops, order, count);
    } else if (count > 1 && !order_exactly(stops, order, count)) {
        return false;
    }
    lower_end_first(order, count);
    return true;
}
