// SPDX-License-Identifier: MIT
//
// The columns of the tables without geometry.
#include "output/decimals.h"
#include "output/rows.h"

static const struct sel_column CRITERIA[] = {
    {"criterion", SEL_COLUMN_TEXT, offsetof(struct sel_criterion_row, criterion), 0, "",
        "`edge_contrast`, `slope`, `sun` or `access`"},
    {"unit", SEL_COLUMN_TEXT, offsetof(struct sel_criterion_row, unit), 0, "",
        "unit of what was measured"},
    {"weight_as_written", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, weight_as_written),
        WORTH, "", "the plan's weight"},
    {"weight", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, weight), WORTH, "0..1",
        "as used: those in use sum to 1"},
    {"in_use", SEL_COLUMN_BOOLEAN, offsetof(struct sel_criterion_row, in_use), 0, "",
        "whether it counts in this run"},
    {"value", SEL_COLUMN_TEXT, offsetof(struct sel_criterion_row, value), 0, "",
        "the value function, [[measure, worth], ...]"},
    {"limit", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, limit), SEL_ALL_DIGITS, "`unit`",
        "beyond it nothing is eligible"},
    {"measured", SEL_COLUMN_INTEGER, offsetof(struct sel_criterion_row, measured), 0, "",
        "of how many eligible candidates it was measured: of all, but for the sun"},
    {"min", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, least), SHARE, "`unit`",
        "least among those"},
    {"median", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, median), SHARE, "`unit`",
        "median among them"},
    {"max", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, most), SHARE, "`unit`",
        "greatest among them"},
};

const struct sel_table_kind SEL_TABLE_CRITERIA = {"criteria",
    "What was measured, of how many eligible candidates, its spread among them, its value function "
    "and weight",
    wkbNone, false, CRITERIA, sizeof CRITERIA / sizeof *CRITERIA, sizeof(struct sel_criterion_row)};

static const struct sel_column RUN[] = {
    {"key", SEL_COLUMN_TEXT, offsetof(struct sel_fact_row, key), 0, "",
        "name of the fact, such as `grid.cell_x_m` or `choice.gap`"},
    {"value", SEL_COLUMN_TEXT, offsetof(struct sel_fact_row, value), 0, "", "the fact as text"},
};

const struct sel_table_kind SEL_TABLE_RUN = {"run",
    "Facts of the run: software, study grid, lengths, remarks", wkbNone, false, RUN,
    sizeof RUN / sizeof *RUN, sizeof(struct sel_fact_row)};

static const struct sel_column PLAN[] = {
    {"key", SEL_COLUMN_TEXT, offsetof(struct sel_plan_row, key), 0, "",
        "a key of the plan, as in [plan.md](plan.md)"},
    {"value", SEL_COLUMN_TEXT, offsetof(struct sel_plan_row, value), 0, "",
        "its value in this run"},
    {"is_default", SEL_COLUMN_BOOLEAN, offsetof(struct sel_plan_row, is_default), 0, "",
        "whether the plan left it out"},
};

const struct sel_table_kind SEL_TABLE_PLAN = {"plan", "The plan as used, every default included",
    wkbNone, false, PLAN, sizeof PLAN / sizeof *PLAN, sizeof(struct sel_plan_row)};

static const struct sel_column HORIZON[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_horizon_row, rank), 0, "",
        "place in the ranking, 1 the best; a reserve has its site's"},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_horizon_row, site), 0, "",
        "the site, \"S01\", or its reserve, \"S01R1\""},
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_horizon_row, role), 0, "",
        "`primary` or `reserve`"},
    {"azimuth_deg", SEL_COLUMN_REAL, offsetof(struct sel_horizon_row, azimuth_deg), BEARING, "deg",
        "direction looked in, from grid north"},
    {"azimuth_true_deg", SEL_COLUMN_REAL, offsetof(struct sel_horizon_row, azimuth_true_deg),
        BEARING, "deg", "the same, from true north"},
    {"ground_deg", SEL_COLUMN_REAL, offsetof(struct sel_horizon_row, ground_deg), BEARING, "deg",
        "elevation angle of the highest ground"},
    {"canopy_deg", SEL_COLUMN_REAL, offsetof(struct sel_horizon_row, canopy_deg), BEARING, "deg",
        "elevation angle of the highest canopy"},
    {"cover", SEL_COLUMN_REAL, offsetof(struct sel_horizon_row, cover), SHARE, "0..1",
        "share of light that this canopy takes"},
};

const struct sel_table_kind SEL_TABLE_HORIZON = {"horizon",
    "Elevation angles of ground and canopy around the collecting head of each site", wkbNone, false,
    HORIZON, sizeof HORIZON / sizeof *HORIZON, sizeof(struct sel_horizon_row)};

static const struct sel_column PROFILE[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_profile_row, rank), 0, "",
        "place in the ranking, 1 the best; a reserve has its site's"},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_profile_row, site), 0, "",
        "the site, \"S01\", or its reserve, \"S01R1\""},
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_profile_row, role), 0, "",
        "`primary` or `reserve`"},
    {"along_m", SEL_COLUMN_REAL, offsetof(struct sel_profile_row, along_m), METRES, "m",
        "along the flyway from the site, side a negative"},
    {"ground_m", SEL_COLUMN_REAL, offsetof(struct sel_profile_row, ground_m), METRES, "m",
        "elevation of the ground"},
    {"canopy_m", SEL_COLUMN_REAL, offsetof(struct sel_profile_row, canopy_m), METRES, "m",
        "height of the canopy above the ground"},
    {"habitat", SEL_COLUMN_TEXT, offsetof(struct sel_profile_row, habitat), 0, "", "habitat there"},
};

const struct sel_table_kind SEL_TABLE_PROFILE = {"profile",
    "Ground, canopy and habitat along the transect of each site; side a is negative", wkbNone,
    false, PROFILE, sizeof PROFILE / sizeof *PROFILE, sizeof(struct sel_profile_row)};

static const struct sel_column CLOSE_UP[] = {
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_close_up_row, site), 0, "",
        "the site, \"S01\", or its reserve, \"S01R1\""},
    {"west", SEL_COLUMN_REAL, offsetof(struct sel_close_up_row, west), SEL_ALL_DIGITS, "CRS",
        "the image's western side"},
    {"south", SEL_COLUMN_REAL, offsetof(struct sel_close_up_row, south), SEL_ALL_DIGITS, "CRS",
        "its southern side"},
    {"east", SEL_COLUMN_REAL, offsetof(struct sel_close_up_row, east), SEL_ALL_DIGITS, "CRS",
        "its eastern side"},
    {"north", SEL_COLUMN_REAL, offsetof(struct sel_close_up_row, north), SEL_ALL_DIGITS, "CRS",
        "its northern side"},
    {"png", SEL_COLUMN_BYTES, offsetof(struct sel_close_up_row, png), 0, "",
        "the image, a PNG file"},
};

const struct sel_table_kind SEL_TABLE_CLOSE_UP = {"close_up",
    "The ground around each site as a PNG image, with its sides in the layers' coordinates",
    wkbNone, false, CLOSE_UP, sizeof CLOSE_UP / sizeof *CLOSE_UP, sizeof(struct sel_close_up_row)};

static const struct sel_column RIVALS[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_rival_row, rank), 0, "",
        "rank of the chosen site that it lies near"},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_rival_row, site), 0, "", "that site"},
    {"distance_m", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, distance_m), METRES, "m",
        "from that site"},
    {"reason", SEL_COLUMN_TEXT, offsetof(struct sel_rival_row, reason), 0, "",
        "why it was not chosen"},
    {"score", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, score), WORTH, "0..1",
        "weighted mean of the worths by criterion"},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_rival_row, pair), 0, "",
        "both habitats, \"a \\| b\""},
    {"edge_contrast", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, edge_contrast), SHARE, "0..1",
        "contrast of the habitats sampled on the two sides of the belt"},
    {"slope_deg", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, slope_deg), SLOPE, "deg",
        "the steepest slope of the cells that hold the trap"},
    {"sun_share", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, sun_share), SHARE, "0..1",
        "share of a clear season's light that reaches the head; 1 on open flat ground"},
    {"access_m", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, access_m), METRES, "m",
        "straight line to the nearest access geometry with the role start"},
    {"walk_min", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, walk_min), TIME, "min",
        "on foot from where the walk begins, mean of out and back"},
    {"candidate", SEL_COLUMN_INTEGER, offsetof(struct sel_rival_row, candidate), 0, "",
        "its number (`fid`) in the layer `candidates`, if it was written"},
    {"map_x", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, map_x), SEL_ALL_DIGITS, "CRS",
        "easting"},
    {"map_y", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, map_y), SEL_ALL_DIGITS, "CRS",
        "northing"},
};

const struct sel_table_kind SEL_TABLE_RIVALS = {"rivals",
    "Candidates near each chosen site and why they lost", wkbNone, false, RIVALS,
    sizeof RIVALS / sizeof *RIVALS, sizeof(struct sel_rival_row)};

static const struct sel_column HABITATS[] = {
    {"id", SEL_COLUMN_INTEGER, offsetof(struct sel_habitat_row, id), 0, "",
        "number of the habitat, from 1"},
    {"habitat", SEL_COLUMN_TEXT, offsetof(struct sel_habitat_row, habitat), 0, "", "its name"},
    {"raster_values", SEL_COLUMN_TEXT, offsetof(struct sel_habitat_row, values), 0, "",
        "its land-cover values, \"40, 41\"; empty: drawn by lines only"},
    {"canopy_m", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, canopy_m), SEL_ALL_DIGITS, "m",
        "height of the vegetation"},
    {"cover", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, cover), SEL_ALL_DIGITS, "0..1",
        "share of the sky that shrubs and trees close"},
    {"wetness", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, wetness), SEL_ALL_DIGITS, "0..1",
        "0 dry, 1 under water"},
    {"edge", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, edge), SEL_ALL_DIGITS, "0..1",
        "what an edge with it is worth to flying insects"},
    {"walk", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, walk), SEL_ALL_DIGITS, "0..1",
        "walking speed against open ground; 0: a barrier"},
    {"trap", SEL_COLUMN_BOOLEAN, offsetof(struct sel_habitat_row, trap), 0, "",
        "whether a trap may stand in it"},
    {"water", SEL_COLUMN_BOOLEAN, offsetof(struct sel_habitat_row, water), 0, "",
        "whether it is open water"},
    {"ground", SEL_COLUMN_TEXT, offsetof(struct sel_habitat_row, ground), 0, "",
        "`firm`, `sand`, `wet` or `rock`"},
    {"support", SEL_COLUMN_BOOLEAN, offsetof(struct sel_habitat_row, support), 0, "",
        "whether there are stems to tie lines to"},
    {"colour", SEL_COLUMN_TEXT, offsetof(struct sel_habitat_row, colour), 0, "",
        "its colour in every picture, \"#rrggbb\""},
    {"backdrop_share", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, backdrop_share), SHARE,
        "0..1", "share of the known pixels of `backdrop`"},
};

const struct sel_table_kind SEL_TABLE_HABITATS = {"habitats",
    "The habitat table and the colours of the pictures", wkbNone, false, HABITATS,
    sizeof HABITATS / sizeof *HABITATS, sizeof(struct sel_habitat_row)};

static const struct sel_column PAIRS[] = {
    {"habitat_a", SEL_COLUMN_TEXT, offsetof(struct sel_pair_row, habitat_a), 0, "",
        "habitat on side a"},
    {"habitat_b", SEL_COLUMN_TEXT, offsetof(struct sel_pair_row, habitat_b), 0, "",
        "habitat on side b"},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_pair_row, pair), 0, "",
        "both habitats, \"a \\| b\""},
    {"length_m", SEL_COLUMN_REAL, offsetof(struct sel_pair_row, length_m), METRES, "m",
        "length of its edges"},
    {"length_share", SEL_COLUMN_REAL, offsetof(struct sel_pair_row, length_share), SHARE, "0..1",
        "of the length of all edges"},
    {"candidates", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, candidates), 0, "",
        "eligible candidates"},
    {"sites", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, sites), 0, "",
        "primaries among them"},
    {"site_share", SEL_COLUMN_REAL, offsetof(struct sel_pair_row, site_share), SHARE, "0..1",
        "of all primaries"},
    {"reserves", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, reserves), 0, "",
        "reserves among them"},
    {"near_occupied", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, near_occupied), 0, "",
        "not chosen: too near an occupied place"},
    {"near_chosen", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, near_chosen), 0, "",
        "not chosen: too near a chosen site"},
    {"pair_full", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, pair_full), 0, "",
        "not chosen: quota of the pair full"},
    {"block_full", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, block_full), 0, "",
        "not chosen: quota of the block full"},
    {"outweighed", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, outweighed), 0, "",
        "not chosen: gave way to a minimum or to even spread"},
    {"lower_score", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, lower_score), 0, "",
        "not chosen: lower score"},
    {"left_aside", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, left_aside), 0, "",
        "outside the pool: even in full sun they score less"},
    {"best_left", SEL_COLUMN_REAL, offsetof(struct sel_pair_row, best_left), WORTH, "0..1",
        "score of the best one that is no primary"},
};

const struct sel_table_kind SEL_TABLE_PAIRS = {"pairs",
    "Edge length, candidates and sites by pair of habitats, and what became of the candidates",
    wkbNone, false, PAIRS, sizeof PAIRS / sizeof *PAIRS, sizeof(struct sel_pair_row)};

static const struct sel_column BLOCKS[] = {
    {"block", SEL_COLUMN_TEXT, offsetof(struct sel_block_row, block), 0, "", "its name"},
    {"candidates", SEL_COLUMN_INTEGER, offsetof(struct sel_block_row, candidates), 0, "",
        "eligible candidates in it"},
    {"sites", SEL_COLUMN_INTEGER, offsetof(struct sel_block_row, sites), 0, "", "primaries in it"},
};

const struct sel_table_kind SEL_TABLE_BLOCKS = {"blocks",
    "Eligible candidates and sites by the blocks that quotas count by", wkbNone, false, BLOCKS,
    sizeof BLOCKS / sizeof *BLOCKS, sizeof(struct sel_block_row)};

static const struct sel_column SENSITIVITY[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_sensitivity_row, rank), 0, "",
        "of the primary"},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_sensitivity_row, site), 0, "", "the primary"},
    {"criterion", SEL_COLUMN_TEXT, offsetof(struct sel_sensitivity_row, criterion), 0, "",
        "whose weight is changed"},
    {"weight", SEL_COLUMN_REAL, offsetof(struct sel_sensitivity_row, weight), WORTH, "0..1",
        "the weight as used"},
    {"out_below", SEL_COLUMN_REAL, offsetof(struct sel_sensitivity_row, lower), WORTH, "0..1",
        "nearest lower weight at which the site is not chosen"},
    {"out_above", SEL_COLUMN_REAL, offsetof(struct sel_sensitivity_row, higher), WORTH, "0..1",
        "nearest higher weight at which it is not"},
    {"smallest_change", SEL_COLUMN_REAL, offsetof(struct sel_sensitivity_row, change), WORTH,
        "0..1", "from `weight` to the nearer of the two"},
};

const struct sel_table_kind SEL_TABLE_SENSITIVITY = {"sensitivity",
    "The nearest weights, in hundredths, at which a site would not be chosen, the other weights "
    "keeping their proportions",
    wkbNone, false, SENSITIVITY, sizeof SENSITIVITY / sizeof *SENSITIVITY,
    sizeof(struct sel_sensitivity_row)};

static const struct sel_column DROPPED[] = {
    {"step", SEL_COLUMN_TEXT, offsetof(struct sel_dropped_row, step), 0, "",
        "`groups`, `candidates` or `eligible`: what is counted"},
    {"reason", SEL_COLUMN_TEXT, offsetof(struct sel_dropped_row, reason), 0, "",
        "what became of them; `all` is the step's total"},
    {"count", SEL_COLUMN_INTEGER, offsetof(struct sel_dropped_row, count), 0, "", "how many"},
};

const struct sel_table_kind SEL_TABLE_DROPPED = {"dropped",
    "What was dropped at each step and why; the counts of a step add up to its row all", wkbNone,
    false, DROPPED, sizeof DROPPED / sizeof *DROPPED, sizeof(struct sel_dropped_row)};

static const struct sel_column INPUTS[] = {
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, role), 0, "",
        "what the run used it for"},
    {"file", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, file), 0, "",
        "path as the plan writes it, without secrets"},
    {"belongs_to", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, belongs_to), 0, "",
        "of a file that is part of another: that one"},
    {"layer", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, layer), 0, "",
        "layer of a vector file, where the plan names one"},
    {"band", SEL_COLUMN_INTEGER, offsetof(struct sel_input_row, band), 0, "", "band of a raster"},
    {"driver", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, driver), 0, "",
        "GDAL's name of the format"},
    {"size_bytes", SEL_COLUMN_INTEGER, offsetof(struct sel_input_row, size_bytes), 0, "bytes",
        "size of the file"},
    {"modified", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, modified), 0, "UTC",
        "when it was last changed"},
    {"crs", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, crs), 0, "", "coordinate system"},
    {"raster_columns", SEL_COLUMN_INTEGER, offsetof(struct sel_input_row, raster_columns), 0, "",
        "pixels from west to east"},
    {"raster_rows", SEL_COLUMN_INTEGER, offsetof(struct sel_input_row, raster_rows), 0, "",
        "pixels from north to south"},
    {"pixel_x", SEL_COLUMN_REAL, offsetof(struct sel_input_row, pixel_x), SEL_ALL_DIGITS, "CRS",
        "width of a pixel"},
    {"pixel_y", SEL_COLUMN_REAL, offsetof(struct sel_input_row, pixel_y), SEL_ALL_DIGITS, "CRS",
        "height of a pixel"},
    {"unit", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, unit), 0, "", "unit of its heights"},
    {"resampling", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, resampling), 0, "",
        "how it was brought to the study grid"},
    {"sha256", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, sha256), 0, "",
        "SHA-256 of the file"},
    {"note", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, note), 0, "",
        "why there is no checksum"},
};

const struct sel_table_kind SEL_TABLE_INPUTS = {"inputs",
    "The files the run read, with what belongs to them", wkbNone, false, INPUTS,
    sizeof INPUTS / sizeof *INPUTS, sizeof(struct sel_input_row)};
