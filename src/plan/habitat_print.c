// SPDX-License-Identifier: MIT
//
// Habitat tables as CSV, in the columns that plan/habitats_csv.c reads.
#include "plan/habitat_print.h"

#include <string.h>

#include "plan/habitat_rows.h"
#include "plan/numbers.h"

void sel_print_csv_field(const char *field, struct sel_text *text) {
    if (!strpbrk(field, ",;\"\r\n\t")) {
        sel_text_add(text, field);
        return;
    }
    sel_text_add(text, "\"");
    for (; *field; field++)
        sel_text_add_bytes(text, *field == '"' ? "\"\"" : field, *field == '"' ? 2 : 1);
    sel_text_add(text, "\"");
}

void sel_print_habitat_columns(struct sel_text *text) {
    sel_text_add(text, "value,habitat,canopy_m,cover,wetness,edge,walk,trap,water,ground,support");
}

void sel_print_habitat_class(
    int64_t value, const struct sel_legend_class *class, struct sel_text *text) {
    const double traits[] = {
        class->canopy_m, class->cover, class->wetness, class->edge, class->walk};
    sel_text_addf(text, "%lld,", (long long)value);
    sel_print_csv_field(class->habitat, text);
    for (size_t i = 0; i < sizeof traits / sizeof traits[0]; i++) {
        sel_text_add(text, ",");
        sel_add_number(text, traits[i]);
    }
    sel_text_addf(text, ",%s,%s,%s,%s", class->trap ? "yes" : "no", class->water ? "yes" : "no",
        sel_ground_name(class->ground), class->support ? "yes" : "no");
}

void sel_print_habitat_blank(int64_t value, struct sel_text *text) {
    sel_text_addf(text, "%lld,class %lld,,,,,,,,,", (long long)value, (long long)value);
}
