// SPDX-License-Identifier: MIT
//
// Site ids, pair labels and compass points.
#include "output/names.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"

static int id_digits(const struct sel_survey *survey) {
    int digits = 2;
    int highest = survey->site_count > 0 ? survey->sites[survey->site_count - 1].rank : 0;
    for (int rest = highest / 100; rest > 0; rest /= 10)
        digits++;
    return digits;
}

void sel_primary_id(const struct sel_survey *survey, int rank, char id[SEL_SITE_ID_SIZE]) {
    snprintf(id, SEL_SITE_ID_SIZE, "S%0*d", id_digits(survey), rank);
}

void sel_site_id(
    const struct sel_survey *survey, const struct sel_site *site, char id[SEL_SITE_ID_SIZE]) {
    sel_primary_id(survey, site->rank, id);
    size_t used = strlen(id);
    if (site->reserve > 0)
        snprintf(id + used, SEL_SITE_ID_SIZE - used, "R%d", site->reserve);
}

const char *sel_role_name(const struct sel_site *site) {
    return site->reserve > 0 ? "reserve" : "primary";
}

const char *sel_habitat_label(const struct sel_habitats *habitats, sel_habitat_id id) {
    if (id == SEL_HABITAT_UNKNOWN || id > habitats->count)
        return NULL;
    return habitats->items[id - 1].name;
}

char *sel_pair_label(const struct sel_habitats *habitats, sel_habitat_id a, sel_habitat_id b) {
    const char *first = sel_habitat_label(habitats, a);
    const char *second = sel_habitat_label(habitats, b);
    struct sel_text text;
    sel_text_init(&text);
    sel_text_addf(&text, "%s | %s", first ? first : "unknown", second ? second : "unknown");
    return sel_text_take(&text);
}

const char *sel_block_name(const struct sel_survey *survey, const struct sel_candidate *candidate) {
    int32_t block = candidate->block;
    return block >= 0 && (size_t)block < survey->block_count ? survey->blocks[block].name : NULL;
}

void sel_criterion_words(const char *name, char words[SEL_CRITERION_WORDS]) {
    snprintf(words, SEL_CRITERION_WORDS, "%s", name);
    for (char *at = words; *at; at++)
        if (*at == '_')
            *at = ' ';
}

const char *sel_compass_name(double degrees) {
    static const char *const NAMES[] = {"north", "north-north-east", "north-east",
        "east-north-east", "east", "east-south-east", "south-east", "south-south-east", "south",
        "south-south-west", "south-west", "west-south-west", "west", "west-north-west",
        "north-west", "north-north-west"};
    if (!isfinite(degrees))
        return "unknown";
    long point = lround(degrees / 22.5) % 16;
    return NAMES[(point + 16) % 16];
}

int sel_whole_bearing(double degrees) {
    double turned = fmod(degrees, 360.0);
    return (int)(lround(turned < 0 ? turned + 360.0 : turned) % 360);
}

int sel_whole_axis(double degrees) {
    return sel_whole_bearing(degrees) % 180;
}
