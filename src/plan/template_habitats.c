// SPDX-License-Identifier: MIT
//
// The habitat table for the classes found: traits from a legend where it knows the class, blanks
// where it does not, and how much of each class there is.
#include "plan/template.h"

#include <math.h>

#include "plan/habitat_print.h"

static const double m2_per_hectare = 10000.0;

static int64_t total_cells(const struct sel_class_count *classes, size_t count) {
    int64_t total = 0;
    for (size_t i = 0; i < count; i++)
        total += classes[i].cells;
    return total;
}

static void add_amounts(const struct sel_class_count *class, double cell_area_m2, int64_t total,
    struct sel_text *text) {
    sel_text_addf(text, ",%lld,", (long long)class->cells);
    if (!isnan(cell_area_m2))
        sel_text_addf(text, "%.2f", (double)class->cells * cell_area_m2 / m2_per_hectare);
    sel_text_addf(text, ",%.4f,", total > 0 ? (double)class->cells / (double)total : 0.0);
}

void sel_template_habitats(const struct sel_legend *legend, const struct sel_class_count *classes,
    size_t count, double cell_area_m2, struct sel_text *text) {
    int64_t total = total_cells(classes, count);
    sel_print_habitat_columns(text);
    sel_text_add(text, ",cells,area_ha,share,legend_name,note\n");
    for (size_t i = 0; i < count; i++) {
        int64_t value = classes[i].value;
        const struct sel_legend_class *known = legend ? sel_legend_find(legend, value) : NULL;
        if (known)
            sel_print_habitat_class(value, known, text);
        else
            sel_print_habitat_blank(value, text);
        add_amounts(&classes[i], cell_area_m2, total, text);
        if (known)
            sel_print_csv_field(known->name, text);
        sel_text_add(
            text, known ? ",traits are our estimate\n" : ",name it and fill in its traits\n");
    }
}
