// SPDX-License-Identifier: MIT
//
// The publications that a run's method rests on: those that always apply, and those of the parts
// that this run used, as its file tells.
#include <math.h>

#include "dossier/html.h"
#include "dossier/parts.h"

struct source {
    const char *words; // by author; markup of ours
    bool used;
};

static bool has_number(const struct sel_dossier *dossier, const char *key) {
    return sel_package_number(dossier->package, key) > 0.0;
}

static bool has_compass(const struct sel_dossier *dossier) {
    for (size_t i = 0; i < dossier->package->site_count; i++)
        if (!isnan(dossier->package->sites[i].declination_deg))
            return true;
    return false;
}

void sel_dossier_add_literature(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    const struct source sources[] = {
        {"Clark, P. J. &amp; Evans, F. C. (1954): Distance to nearest neighbor as a measure of "
         "spatial relationships in populations. Ecology 35.",
            has_number(dossier, "spread.clark_evans")},
        {"Gower, J. C. (1971): A general coefficient of similarity and some of its properties. "
         "Biometrics 27.",
            true},
        {"Horn, B. K. P. (1981): Hill shading and the reflectance map. Proceedings of the IEEE 69.",
            true},
        {"Kasten, F. &amp; Young, A. T. (1989): Revised optical air mass tables and approximation "
         "formula. Applied Optics 28.",
            true},
        {"Lahdelma, R., Hokkanen, J. &amp; Salminen, P. (1998): SMAA - Stochastic multiobjective "
         "acceptability analysis. European Journal of Operational Research 106.",
            has_number(dossier, "robustness.draws")},
        {"Liu, B. Y. H. &amp; Jordan, R. C. (1960): The interrelationship and characteristic "
         "distribution of direct, diffuse and total solar radiation. Solar Energy 4.",
            true},
        {"Meeus, J. (1998): Astronomical Algorithms, 2nd edition.", true},
        {"Tobler, W. (1993): Three presentations on geographical analysis and modeling. National "
         "Center for Geographic Information and Analysis, Technical Report 93-1.",
            dossier->on_foot},
        {"World Magnetic Model 2025 (for the compass bearings), valid 2025 to 2030: US National "
         "Centers for Environmental Information and British Geological Survey.",
            has_compass(dossier)},
        {"Coasts of the locator: Natural Earth 4.1 (public domain).", true},
    };
    sel_text_add(html, "<h3>Sources of the method</h3>\n<ul class=\"literature\">\n");
    for (size_t i = 0; i < sizeof sources / sizeof *sources; i++)
        if (sources[i].used)
            sel_text_addf(html, "<li>%s</li>\n", sources[i].words);
    sel_text_add(html,
        "</ul>\n<p>What is common practice and has no source: that insects follow edges to a "
        "panel set along them, that the head belongs in the light, when a bottle is to be "
        "shaded.</p>\n");
}
