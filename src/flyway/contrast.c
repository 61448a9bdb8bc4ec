// SPDX-License-Identifier: MIT
//
// Contrast of two habitats: Gower's (1971, Biometrics 27) general dissimilarity over three traits
// with fixed ranges 0..1, weighted, times the smaller edge worth of the two. Canopy height enters
// as its square root, full at 25 m: between 0 and 4 m the edge changes more to an insect than
// between 20 and 24 m. The trait weights are our own choice.
#include "flyway/contrast.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double CANOPY_WEIGHT = 2, COVER_WEIGHT = 1, WETNESS_WEIGHT = 1;
static const double CANOPY_ROOT_FULL = 5; // sqrt(25 m)

static double canopy_trait(double canopy_m) {
    double trait = sqrt(canopy_m) / CANOPY_ROOT_FULL;
    return trait < 1 ? trait : 1;
}

double sel_gower_contrast(const struct sel_habitat *a, const struct sel_habitat *b) {
    double apart = CANOPY_WEIGHT * fabs(canopy_trait(a->canopy_m) - canopy_trait(b->canopy_m)) +
                   COVER_WEIGHT * fabs(a->cover - b->cover) +
                   WETNESS_WEIGHT * fabs(a->wetness - b->wetness);
    double worth = a->edge < b->edge ? a->edge : b->edge;
    return worth * apart / (CANOPY_WEIGHT + COVER_WEIGHT + WETNESS_WEIGHT);
}

static void put(struct sel_contrast *contrast, int a, int b, double value) {
    contrast->values[a * (contrast->count + 1) + b] = (float)value;
    contrast->values[b * (contrast->count + 1) + a] = (float)value;
}

static void put_computed(const struct sel_habitats *habitats, struct sel_contrast *contrast) {
    for (int a = 1; a <= habitats->count; a++)
        for (int b = 1; b < a; b++)
            put(contrast, a, b,
                sel_gower_contrast(&habitats->items[a - 1], &habitats->items[b - 1]));
}

// The id of a habitat that a listed pair names; 0 and a message when there is none.
static int id_of(sel_context *context, const struct sel_plan *plan,
    const struct sel_plan_contrast *listed, const char *name) {
    for (int i = 0; i < plan->habitats.count; i++)
        if (strcmp(plan->habitats.items[i].name, name) == 0)
            return i + 1;
    sel_fail(context, SEL_BAD_INPUT,
        "%s:%d: contrast: \"%s\" is not in the habitat table %s: use a name from its column "
        "\"habitat\"",
        plan->path, listed->place.line, name, plan->habitats_source);
    return SEL_HABITAT_UNKNOWN;
}

static sel_status put_listed(sel_context *context, const struct sel_plan *plan,
    const struct sel_plan_contrast *listed, struct sel_contrast *contrast) {
    int a = id_of(context, plan, listed, listed->habitat_a);
    int b = a ? id_of(context, plan, listed, listed->habitat_b) : 0;
    if (!a || !b)
        return SEL_BAD_INPUT;
    if (a == b)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s:%d: contrast: \"%s\" is paired with itself: name two different habitats",
            plan->path, listed->place.line, listed->habitat_a);
    put(contrast, a, b, listed->contrast);
    return SEL_OK;
}

sel_status sel_contrast_build(
    sel_context *context, const struct sel_plan *plan, struct sel_contrast *contrast) {
    size_t side = (size_t)plan->habitats.count + 1;
    *contrast = (struct sel_contrast){
        .count = plan->habitats.count, .values = calloc(side * side, sizeof *contrast->values)};
    if (!contrast->values)
        return sel_fail_memory(context);
    put_computed(&plan->habitats, contrast);
    sel_status status = SEL_OK;
    for (size_t i = 0; i < plan->contrast_count && status == SEL_OK; i++)
        status = put_listed(context, plan, &plan->contrast[i], contrast);
    if (status != SEL_OK)
        sel_contrast_clear(contrast);
    return status;
}

void sel_contrast_clear(struct sel_contrast *contrast) {
    free(contrast->values);
    *contrast = (struct sel_contrast){0};
}
