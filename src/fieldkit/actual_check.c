// SPDX-License-Identifier: MIT
//
// After sorting by site and bottle, each check looks at neighbours only.
#include "fieldkit/actual_check.h"

#include <math.h>
#include <stdlib.h>

static const double EARTH_RADIUS_M = 6371008.8; // mean radius of WGS 84 (IUGG, from memory)
static const double RADIANS_PER_DEGREE = 0.017453292519943295;

double sel_actual_distance_m(
    double latitude_a, double longitude_a, double latitude_b, double longitude_b) {
    double up = sin(0.5 * (latitude_b - latitude_a) * RADIANS_PER_DEGREE);
    double across = sin(0.5 * (longitude_b - longitude_a) * RADIANS_PER_DEGREE);
    double share = up * up + cos(latitude_a * RADIANS_PER_DEGREE) *
                                 cos(latitude_b * RADIANS_PER_DEGREE) * across * across;
    return 2.0 * EARTH_RADIUS_M * asin(fmin(1.0, sqrt(share)));
}

static int by_site(const void *a, const void *b) {
    const struct sel_actual_service *first = a, *second = b;
    if (first->site != second->site)
        return first->site < second->site ? -1 : 1;
    if (first->service != second->service)
        return first->service < second->service ? -1 : 1;
    return (first->line > second->line) - (first->line < second->line);
}

static sel_status check_pair(const struct sel_fieldkit *kit, const char *path,
    const struct sel_actual_service *earlier, const struct sel_actual_service *later) {
    if (earlier->site != later->site)
        return SEL_OK;
    if (earlier->service == later->service)
        return sel_fail(kit->package->context, SEL_BAD_INPUT,
            "%s:%d: service: %s has bottle %d in line %d already: give each bottle one row", path,
            later->line, sel_fieldkit_id(later->site), later->service, earlier->line);
    if (later->from_day < earlier->to_day)
        return sel_fail(kit->package->context, SEL_BAD_INPUT,
            "%s:%d: from: lies before bottle %d of %s came in (line %d): mend the days, or the "
            "bottles' numbers",
            path, later->line, earlier->service, sel_fieldkit_id(later->site), earlier->line);
    return SEL_OK;
}

static void hand_down(const struct sel_actual_service *from, struct sel_actual_service *to) {
    to->latitude = from->latitude;
    to->longitude = from->longitude;
    to->uncertainty_m = from->uncertainty_m;
    if (isnan(to->elevation_m))
        to->elevation_m = from->elevation_m;
}

static sel_status fail_unplaced(
    const struct sel_fieldkit *kit, const char *path, const struct sel_actual_service *service) {
    const struct sel_site_row *row = service->site->row;
    return sel_fail(kit->package->context, SEL_BAD_INPUT,
        "%s:%d: latitude: is blank, and no earlier bottle of %s tells the position: give where the "
        "trap really stood (planned: %.6f, %.6f, good to %.0f m)",
        path, service->line, sel_fieldkit_id(service->site), row->latitude, row->longitude,
        row->coordinate_uncertainty_m);
}

// A position that far from its plan is another site's, or a slip of the pen.
static const double REFUSED_FROM_M = 20000.0;

static double from_plan_m(
    const struct sel_actual_service *service, double latitude, double longitude) {
    const struct sel_site_row *row = service->site->row;
    return sel_actual_distance_m(row->latitude, row->longitude, latitude, longitude);
}

static sel_status check_distance(
    const struct sel_fieldkit *kit, const char *path, const struct sel_actual_service *service) {
    const struct sel_site_row *row = service->site->row;
    double off_m = from_plan_m(service, service->latitude, service->longitude);
    if (off_m <= REFUSED_FROM_M)
        return SEL_OK;
    bool swapped = fabs(service->longitude) <= 90.0 &&
                   from_plan_m(service, service->longitude, service->latitude) <= REFUSED_FROM_M;
    return sel_fail(kit->package->context, SEL_BAD_INPUT,
        "%s:%d: latitude, longitude: %.6f, %.6f lies %.0f km from the planned place of %s (%.6f, "
        "%.6f): %s",
        path, service->line, service->latitude, service->longitude, off_m / 1000.0,
        sel_fieldkit_id(service->site), row->latitude, row->longitude,
        swapped ? "swap the two" : "mend the figures, or the site");
}

sel_status sel_actual_check(
    const struct sel_fieldkit *kit, const char *path, struct sel_actual *actual) {
    qsort(actual->services, actual->count, sizeof *actual->services, by_site);
    for (size_t i = 0; i < actual->count; i++) {
        struct sel_actual_service *service = &actual->services[i];
        const struct sel_actual_service *before = i > 0 ? service - 1 : NULL;
        if (before) {
            sel_status status = check_pair(kit, path, before, service);
            if (status != SEL_OK)
                return status;
        }
        if (service->placed) {
            sel_status status = check_distance(kit, path, service);
            if (status != SEL_OK)
                return status;
            continue;
        }
        if (!before || before->site != service->site)
            return fail_unplaced(kit, path, service);
        hand_down(before, service);
    }
    return SEL_OK;
}
