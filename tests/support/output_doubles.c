// SPDX-License-Identifier: MIT
//
// Weak stand-ins for functions of the plan and flyway stages, so that the output's tests link on
// their own. The real functions win wherever they are built in.
#include "flyway/lattice.h"
#include "plan/plan.h"

__attribute__((weak)) sel_status sel_plan_each(
    sel_context *context, const struct sel_plan *plan, sel_plan_row_fn *row, void *user) {
    (void)context;
    sel_status status = row(user, "title", plan->title, false);
    return status == SEL_OK ? row(user, "choose.apart_m", "400", true) : status;
}

__attribute__((weak)) const char *sel_criterion_name(enum sel_criterion criterion) {
    static const char *const NAMES[] = {"edge_contrast", "slope", "sun", "access"};
    return NAMES[criterion];
}

__attribute__((weak)) const char *sel_criterion_unit(enum sel_criterion criterion) {
    static const char *const UNITS[] = {"", "deg", "share", "m"};
    return UNITS[criterion];
}

__attribute__((weak)) const char *sel_fate_name(enum sel_fate fate) {
    static const char *const NAMES[] = {"outside the study area", "no ground for a trap",
        "in an exclusion zone", "slope unknown", "too steep", "no clear edge direction",
        "belt not known", "candidate"};
    return NAMES[fate];
}
