// SPDX-License-Identifier: MIT
//
// Values beyond 2^53 are no whole numbers to a double and count as amiss.
#include "grid/values.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_SPAN = 1 << 17 };

static const double MOST_WHOLE = 9007199254740992.0; // 2^53

static bool fill_direct(struct sel_values *values) {
    values->direct = malloc(values->span);
    if (!values->direct)
        return false;
    memset(values->direct, SEL_HABITAT_AMISS, values->span);
    for (size_t i = 0; i < values->count; i++)
        values->direct[values->sorted[i].value - values->first] = values->sorted[i].id;
    return true;
}

bool sel_values_init(struct sel_values *values, const struct sel_habitats *habitats) {
    *values = (struct sel_values){0};
    if (habitats->value_count <= 0)
        return true;
    size_t count = (size_t)habitats->value_count;
    values->sorted = malloc(count * sizeof *values->sorted);
    if (!values->sorted)
        return false;
    memcpy(values->sorted, habitats->values, count * sizeof *values->sorted);
    values->count = count;
    values->first = values->sorted[0].value;
    uint64_t span = (uint64_t)values->sorted[count - 1].value - (uint64_t)values->first;
    if (span >= MOST_SPAN)
        return true;
    values->span = (size_t)span + 1;
    return fill_direct(values);
}

void sel_values_clear(struct sel_values *values) {
    free(values->sorted);
    free(values->direct);
    *values = (struct sel_values){0};
}

static int compare_values(const void *a, const void *b) {
    int64_t left = ((const struct sel_habitat_value *)a)->value;
    int64_t right = ((const struct sel_habitat_value *)b)->value;
    return (left > right) - (left < right);
}

static sel_habitat_id search(const struct sel_values *values, int64_t value) {
    const struct sel_habitat_value key = {value, 0};
    const struct sel_habitat_value *found =
        values->count == 0
            ? NULL
            : bsearch(&key, values->sorted, values->count, sizeof key, compare_values);
    return found ? found->id : SEL_HABITAT_AMISS;
}

sel_habitat_id sel_values_id(const struct sel_values *values, double value) {
    if (isnan(value))
        return SEL_HABITAT_UNKNOWN;
    if (!(fabs(value) < MOST_WHOLE) || value != floor(value))
        return SEL_HABITAT_AMISS;
    int64_t whole = (int64_t)value;
    if (!values->direct)
        return search(values, whole);
    if (whole < values->first || whole - values->first >= (int64_t)values->span)
        return SEL_HABITAT_AMISS;
    return values->direct[whole - values->first];
}
