// SPDX-License-Identifier: MIT
//
// The field kit, from a written GeoPackage.
#include "fieldkit/fieldkit.h"

#include "api/jobs.h"

sel_status sel_fieldkit(sel_context *context, const char *geopackage, const char *directory,
    const char *only, const char *actual, bool overwrite, char **report) {
    struct sel_fieldkit_options options = {only, actual, overwrite};
    struct sel_text text;
    sel_text_init(&text);
    sel_context_begin(context);
    *report = NULL;
    sel_status status = sel_fieldkit_write(context, geopackage, directory, &options, &text);
    if (status == SEL_OK)
        status = sel_hand_over(context, &text, report);
    sel_text_clear(&text);
    return status;
}
