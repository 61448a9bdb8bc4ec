// SPDX-License-Identifier: MIT
//
// Thread-local settings of GDAL, saved and put back. SOURCE_DATE_EPOCH as the Reproducible Builds
// specification defines it: whole seconds since 1970-01-01 UTC.
#include "output/gdal_guard.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static const char *const OPTIONS[SEL_GUARD_OPTIONS] = {
    "OGR_SQLITE_SYNCHRONOUS", "OGR_CURRENT_DATE"};

static const long long LATEST_STAMP = 253402300799; // 9999-12-31T23:59:59Z, last of four digits

static bool keep_earlier(struct sel_gdal_guard *guard) {
    bool kept = true;
    for (int i = 0; i < SEL_GUARD_OPTIONS; i++) {
        const char *earlier = CPLGetThreadLocalConfigOption(OPTIONS[i], NULL);
        guard->earlier[i] = earlier ? strdup(earlier) : NULL;
        kept = kept && (guard->earlier[i] || !earlier);
    }
    for (int i = 0; !kept && i < SEL_GUARD_OPTIONS; i++)
        free(guard->earlier[i]);
    return kept;
}

bool sel_gdal_begin(struct sel_gdal_guard *guard, const char *date) {
    if (guard && !keep_earlier(guard))
        return false;
    CPLPushErrorHandler(CPLQuietErrorHandler);
    CPLErrorReset();
    const char *values[SEL_GUARD_OPTIONS] = {"OFF", date};
    for (int i = 0; guard && i < SEL_GUARD_OPTIONS; i++)
        CPLSetThreadLocalConfigOption(OPTIONS[i], values[i]);
    return true;
}

void sel_gdal_end(struct sel_gdal_guard *guard) {
    for (int i = 0; guard && i < SEL_GUARD_OPTIONS; i++) {
        CPLSetThreadLocalConfigOption(OPTIONS[i], guard->earlier[i]);
        free(guard->earlier[i]);
    }
    CPLErrorReset();
    CPLPopErrorHandler();
}

bool sel_gdal_failed(void) {
    return CPLGetLastErrorType() >= CE_Failure;
}

sel_status sel_fail_gdal(
    sel_context *context, sel_status status, const char *path, const char *what) {
    const char *message = CPLGetLastErrorMsg();
    if (CPLGetLastErrorNo() == CPLE_OutOfMemory)
        return sel_fail_memory(context);
    return sel_fail(
        context, status, "%s: %s: %s", path, what, message[0] ? message : "GDAL gives no reason");
}

sel_status sel_stamp(sel_context *context, char date[SEL_DATE_SIZE]) {
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    time_t when = time(NULL);
    if (epoch) {
        char *end = NULL;
        errno = 0;
        long long seconds = strtoll(epoch, &end, 10);
        if (errno != 0 || end == epoch || *end != '\0' || seconds < 0 || seconds > LATEST_STAMP)
            return sel_fail(context, SEL_BAD_INPUT,
                "environment: SOURCE_DATE_EPOCH: \"%s\" is not a whole number of seconds since "
                "1970: mend or unset it",
                epoch);
        when = (time_t)seconds;
    }
    struct tm parts;
    gmtime_r(&when, &parts);
    strftime(date, SEL_DATE_SIZE, "%Y-%m-%dT%H:%M:%S.000Z", &parts);
    return SEL_OK;
}
