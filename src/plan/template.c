// SPDX-License-Identifier: MIT
//
// The commented plan. Its words are for someone who knows insects and the ground, not computers.
// Numbers are the table's own defaults, so the plan says what would happen without it.
#include "plan/template.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "plan/keys.h"

enum { DEFAULT_YEAR = 2027 };

// Between the tropics the insects' year follows rain more than sun.
static const double tropic_deg = 23.44;

static const char *default_of(const char *key) {
    return sel_key_find(key)->fallback;
}

static bool is_plain(const char *text) {
    if (!isalnum((unsigned char)text[0]) && text[0] != '/' && text[0] != '.')
        return false;
    for (const char *at = text; *at; at++)
        if (!isalnum((unsigned char)*at) && !strchr("_./-", *at))
            return false;
    return strpbrk(text, "/.") != NULL; // so that no path reads as a number, `null` or `auto`
}

// Double quotes hold any text in YAML.
static void add_scalar(const char *chars, struct sel_text *text) {
    if (is_plain(chars)) {
        sel_text_add(text, chars);
        return;
    }
    sel_text_add(text, "\"");
    for (; *chars; chars++) {
        unsigned char byte = (unsigned char)*chars;
        if (byte < 0x20 || byte == 0x7F)
            sel_text_addf(text, "\\x%02X", byte);
        else if (byte == '"' || byte == '\\')
            sel_text_addf(text, "\\%c", byte);
        else
            sel_text_add_bytes(text, chars, 1);
    }
    sel_text_add(text, "\"");
}

static void add_line(const char *key, const char *value, struct sel_text *text) {
    sel_text_add(text, key);
    add_scalar(value, text);
    sel_text_add(text, "\n");
}

static void add_head(const struct sel_template_facts *facts, struct sel_text *text) {
    sel_text_add(text,
        "# A survey plan for selvedge: where to stand flight traps along habitat edges.\n"
        "#\n"
        "# Lines that begin with \"# \" explain. Lines that begin with \"#\" and a key are "
        "examples: take\n"
        "# the \"#\" away to use one, and give a file that you have. What you leave out has the "
        "default\n"
        "# shown. docs/plan.md lists every key with its range. Paths are relative to this file.\n"
        "#\n"
        "# Before you rank: look through the habitat table, set the season, and run\n"
        "#     selvedge check survey.yaml\n"
        "plan: 1\n");
    add_line("title: ", facts->title ? facts->title : default_of("title"), text);
}

static void add_rasters(const struct sel_template_facts *facts, struct sel_text *text) {
    sel_text_add(text, "\n"
                       "# The land cover holds one whole number per kind of land; the elevation is "
                       "the ground's height\n"
                       "# (for feet or decimetres: elevation: { file: dem.tif, unit: ft }). A "
                       "canopy raster, the height\n"
                       "# of the vegetation, makes shade more exact.\n"
                       "rasters:\n");
    add_line("  landcover: ", facts->landcover, text);
    add_line("  elevation: ", facts->elevation, text);
    sel_text_add(text, "#  canopy: canopy.tif\n");
}

static void add_habitats(const struct sel_template_facts *facts, struct sel_text *text) {
    sel_text_add(text, "\n"
                       "# What each land-cover number means to an insect and to you: "
                       "docs/habitats.md explains the\n"
                       "# columns.\n");
    if (facts->legend)
        sel_text_addf(text,
            "# This table was filled from the built-in legend %s. Its traits are rough estimates:\n"
            "# change them to fit your ground.\n",
            facts->legend->name);
    else
        sel_text_add(text,
            "# No built-in legend was used: name the classes and fill in their traits first.\n");
    add_line("habitats: ", facts->habitats ? facts->habitats : "habitats.csv", text);
    sel_text_add(text,
        "\n"
        "# Pairs of habitats whose contrast you judge better than the table does, 0 (alike) to 1.\n"
        "#contrast:\n"
        "#  - { a: hay meadow, b: alder wood, contrast: 0.9 }\n"
        "\n"
        "# Narrow habitats that the land cover is too coarse to show. The habitat must be in the "
        "table.\n"
        "#lines:\n"
        "#  - { file: brook.gpkg, habitat: brook, width_m: 4 }\n"
        "\n"
        "# Only look inside these polygons.\n"
        "#area: { file: area.gpkg }\n");
}

static void add_access(const struct sel_template_facts *facts, struct sel_text *text) {
    sel_text_add(text, "\n"
                       "# How you get there. role: start is where a vehicle can come and the walk "
                       "begins; role: way is\n"
                       "# walked at path speed.\n");
    if (facts->access) {
        sel_text_add(text, "access:\n  - { file: ");
        add_scalar(facts->access, text);
        sel_text_add(text, ", role: start }\n");
        sel_text_add(text, "#  - { file: paths.gpkg, role: way }\n");
    } else {
        sel_text_add(text, "# Without it, how far a site lies from a road does not count.\n"
                           "#access:\n"
                           "#  - { file: roads.gpkg, role: start }\n"
                           "#  - { file: paths.gpkg, role: way }\n");
    }
}

static void add_ground(struct sel_text *text) {
    sel_text_add(text,
        "\n"
        "# Whose land it is: which attribute names the parcel, which refers to the owner.\n"
        "#parcels: { file: parcels.gpkg, name: parcel, owner: owner_ref }\n"
        "\n"
        "# Ground with a rule: exclude (no trap), no_clearing (a trap, but nothing is cut), note "
        "(a\n"
        "# remark for the field sheet).\n"
        "#zones:\n"
        "#  - { file: zones.gpkg, rule: exclude, reason: nesting colony }\n"
        "\n"
        "# Traps that already stand; new sites keep apart from them.\n"
        "#occupied: { file: running.gpkg }\n");
}

static const char *season_words(double latitude) {
    if (isnan(latitude))
        return "# The latitude could not be told, so this suits the temperate north: set your "
               "own.\n";
    if (fabs(latitude) < tropic_deg)
        return "# In the tropics the year follows the rain: these twelve months are a stand-in, "
               "set "
               "your own.\n";
    return latitude < 0.0 ? "# Guessed for the southern summer: set your own.\n"
                          : "# Guessed for the northern summer: set your own.\n";
}

static void add_season(const struct sel_template_facts *facts, struct sel_text *text) {
    int year = facts->year > 0 ? facts->year : DEFAULT_YEAR;
    sel_text_add(text,
        "\n"
        "# First and last day on which the traps run. They decide where the sun stands.\n");
    sel_text_add(text, season_words(facts->latitude));
    const char *from = "05-15", *to = "08-31";
    int last_year = year;
    if (fabs(facts->latitude) < tropic_deg) {
        from = "01-01";
        to = "12-31";
    } else if (facts->latitude < 0.0) {
        from = "11-15";
        to = "02-28";
        last_year = year + 1;
    }
    sel_text_addf(text, "season: { from: %04d-%s, to: %04d-%s }\n", year, from, last_year, to);
}

static void add_edges(struct sel_text *text) {
    sel_text_addf(text,
        "\n"
        "# Compact patches smaller than this (square metres) are taken for noise of the map.\n"
        "edges: { min_patch_m2: %s }\n",
        default_of("edges.min_patch_m2"));
    sel_text_addf(text,
        "\n"
        "# Short transects laid across the edges: one candidate per pair of habitats and per "
        "square of\n"
        "# every_m, reaching reach_m to each side, belt_m wide. auto follows the size of the map's "
        "cells.\n"
        "# flight: across catches what crosses from one habitat to the other, along what follows "
        "the\n"
        "# edge. opening_m: how far around the collecting head branches are cut or absent.\n"
        "flyways: { every_m: auto, reach_m: auto, belt_m: auto, flight: %s, opening_m: %s }\n",
        default_of("flyways.flight"), default_of("flyways.opening_m"));
}

static void add_criterion(const char *name, const char *padding, struct sel_text *text) {
    const char *const leaves[] = {"weight", "value", "limit"};
    sel_text_addf(text, "  %s:%s { ", name, padding);
    for (size_t i = 0; i < sizeof leaves / sizeof leaves[0]; i++) {
        struct sel_text key;
        sel_text_init(&key);
        sel_text_addf(&key, "criteria.%s.%s", name, leaves[i]);
        const struct sel_plan_key *row = key.chars ? sel_key_find(key.chars) : NULL;
        text->failed = text->failed || !row;
        sel_text_addf(text, "%s%s: %s", i > 0 ? ", " : "", leaves[i], row ? row->fallback : "");
        sel_text_clear(&key);
    }
    sel_text_add(text, " }\n");
}

static void add_criteria(struct sel_text *text) {
    sel_text_add(text,
        "\n"
        "# What makes a place good. weight: how much it counts. value: pairs of a measure and its "
        "worth\n"
        "# from 0 to 1, with straight lines between. limit: beyond it a place is out; none for no "
        "limit.\n"
        "# edge_contrast: how different the two sides are, 0 to 1. slope: degrees. sun: share of "
        "the open\n"
        "# sky's sun that reaches the collecting head. access: metres to the nearest start, or\n"
        "# minutes on foot with by: time, value: [[5, 1], [45, 0]], limit: 60.\n"
        "criteria:\n");
    add_criterion("edge_contrast", "", text);
    add_criterion("slope", "        ", text);
    add_criterion("sun", "          ", text);
    add_criterion("access", "       ", text);
    sel_text_add(text,
        "# If you only know the order of importance, take the four weights out above and say:\n"
        "# weights: [edge_contrast, sun, slope, access]\n"
        "\n"
        "# arithmetic lets a strong side make up for a weak one; geometric hardly.\n");
    sel_text_addf(text, "score: { mean: %s }\n", default_of("score.mean"));
}

static void add_choice(struct sel_text *text) {
    sel_text_addf(text,
        "\n"
        "# How many sites, the least distance between them in metres, reserves for each site, and "
        "the\n"
        "# most sites on edges of one pair of habitats (0: as many as come).\n"
        "choose: { sites: %s, apart_m: %s, reserves: %s, per_pair: { max: %s } }\n",
        default_of("choose.sites"), default_of("choose.apart_m"), default_of("choose.reserves"),
        default_of("choose.per_pair.max"));
}

static void add_field(struct sel_text *text) {
    sel_text_addf(text,
        "\n"
        "# For the field kit: hours in a field day, days between two changes of a head (3 to 10), "
        "fluid in\n"
        "# one bottle. Labels and events need the place in words that a stranger finds on a map, "
        "and they\n"
        "# outlive this plan: fill in what is commented out.\n"
        "field:\n"
        "  day_hours: %s\n"
        "  interval_days: %s\n"
        "  fluid_ml: %s\n"
        "  trap_type: %s\n"
        "#  place: Alder Brook valley  # the locality\n"
        "#  region: Lower Hills        # state, province or county\n"
        "#  country_code: XX           # ISO 3166-1, two capital letters\n"
        "#  preservative: ethanol 70 %%\n"
        "#  collector: name of the collector\n"
        "#  label_code: true           # a two-dimensional code on each label\n",
        default_of("field.day_hours"), default_of("field.interval_days"),
        default_of("field.fluid_ml"), default_of("field.trap_type"));
}

void sel_template_plan(const struct sel_template_facts *facts, struct sel_text *text) {
    add_head(facts, text);
    add_rasters(facts, text);
    add_habitats(facts, text);
    add_access(facts, text);
    add_ground(text);
    add_season(facts, text);
    add_edges(text);
    add_criteria(text);
    add_choice(text);
    add_field(text);
}
