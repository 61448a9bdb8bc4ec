// SPDX-License-Identifier: MIT
//
// usage: kit_scene FOLDER [coded]
// Writes the pages of a field kit to FOLDER from the hand-made valley, where every name that a user
// can give is long and has no blank to break at, and each site has two traps. "coded" has codes on
// the labels, and a shorter season.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit/fieldkit.h"
#include "fieldkit_scene.h"

// "begin" and then one word of some hundred letters.
static char *endless(const char *begin) {
    char *name = calloc(1, 400);
    if (!name)
        abort();
    snprintf(name, 400, "%s", begin);
    memset(name + strlen(name), 'W', 250);
    return name;
}

static void replace(char **name, const char *begin) {
    free(*name);
    *name = endless(begin);
}

static void stretch(struct output_scene *scene) {
    for (int i = 0; i < scene->plan.habitats.count && i < 3; i++) {
        struct sel_habitat *habitat = &scene->plan.habitats.items[i];
        char begin[8];
        snprintf(begin, sizeof begin, "h%d", i);
        replace(&habitat->name, begin);
        habitat->name[100] = '\0'; // the most that a habitat table may hold
    }
    for (size_t i = 0; i < scene->survey.site_count; i += 3) {
        struct sel_site *site = &scene->survey.sites[i];
        replace(&site->zone, "zone");
        replace(&site->notes, "heed");
        replace(&site->parcel, "12/7");
        replace(&site->owner, "owner");
    }
    replace(&scene->plan.title, "Alder Brook ");
}

int main(int argc, char **argv) {
    if (argc != 2 && !(argc == 3 && strcmp(argv[2], "coded") == 0))
        return 1;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    if (argc == 3) {
        wish.field.label_code = 1;
        wish.to = (struct sel_date){2027, 6, 5};
    }
    wish.adjust = stretch;
    wish.traps = 2;
    wish.field.trap_type = endless("tent");
    wish.field.preservative = endless("ethanol");
    wish.field.collector = endless("A. ");
    wish.field.place = endless("Valley ");
    wish.field.region = endless("Hills");
    struct fieldkit_scene *scene = fieldkit_scene_new(wish);
    struct sel_fieldkit_options options = {.only = "labels,events,kit,setup", .overwrite = true};
    struct sel_text report;
    sel_text_init(&report);
    sel_status status =
        sel_fieldkit_write(scene->survey->context, scene->geopackage, argv[1], &options, &report);
    if (status != SEL_OK)
        fprintf(stderr, "%s\n", sel_context_message(scene->survey->context));
    sel_text_clear(&report);
    free(wish.field.trap_type);
    free(wish.field.preservative);
    free(wish.field.collector);
    free(wish.field.place);
    free(wish.field.region);
    fieldkit_scene_free(scene);
    return (int)status;
}
