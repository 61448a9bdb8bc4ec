// SPDX-License-Identifier: MIT
//
// The table `run`: facts of the run as key and value texts. Its first row marks the file as one of
// ours for the readers (explain, map).
#include <inttypes.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "base/text.h"
#include "output/spread_words.h"
#include "output/writer.h"
#include "survey/remarks.h"

struct run_table {
    struct sel_geopackage *file;
    struct sel_table table;
    sel_status status;
};

static void fact(struct run_table *run, const char *key, const char *value) {
    if (run->status != SEL_OK)
        return;
    struct sel_fact_row row = {key, value};
    run->status = sel_add_row(run->file, &run->table, &row);
}

static void factf(struct run_table *run, const char *key, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static void factf(struct run_table *run, const char *key, const char *format, ...) {
    char value[256];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(value, sizeof value, format, arguments);
    va_end(arguments);
    fact(run, key, value);
}

static void number(struct run_table *run, const char *key, double value) {
    if (isfinite(value))
        factf(run, key, "%.15g", value);
    else
        fact(run, key, NULL);
}

static void date(struct run_table *run, const char *key, struct sel_date when) {
    factf(run, key, "%04d-%02d-%02d", when.year, when.month, when.day);
}

static void add_software(struct run_table *run) {
    fact(run, "software", "selvedge");
    fact(run, "version", sel_version());
    fact(run, "gdal", GDALVersionInfo("RELEASE_NAME"));
    fact(run, "written", run->file->date);
    fact(run, "title", run->file->plan->title);
}

static void add_grid(struct run_table *run) {
    const struct sel_study *study = run->file->study;
    const struct sel_grid *grid = &study->grid;
    const char *name = OSRGetName(run->file->crs);
    fact(run, "grid.crs", name ? name : "unnamed");
    factf(run, "grid.rows", "%" PRId64, grid->rows);
    factf(run, "grid.columns", "%" PRId64, grid->cols);
    number(run, "grid.x0", grid->x0);
    number(run, "grid.y0", grid->y0);
    number(run, "grid.cell_x", grid->dx);
    number(run, "grid.cell_y", grid->dy);
    number(run, "grid.metres_per_unit", grid->metres);
    number(run, "grid.cell_x_m", grid->cell_x_m);
    number(run, "grid.cell_y_m", grid->cell_y_m);
    number(run, "grid.latitude", study->latitude);
    number(run, "grid.longitude", study->longitude);
    number(run, "grid.scale_worst", study->scale_worst);
    number(run, "grid.lost_share", study->lost_share);
}

static void add_method(struct run_table *run, const struct sel_survey *survey) {
    const struct sel_plan *plan = survey->plan;
    number(run, "every_m", survey->lengths.every_m);
    number(run, "reach_m", survey->lengths.reach_m);
    number(run, "belt_m", survey->lengths.belt_m);
    number(run, "tangent_m", survey->lengths.tangent_m);
    fact(run, "flight", plan->flight == SEL_FLIGHT_ALONG ? "along" : "across");
    fact(run, "aggregate", plan->aggregate == SEL_MEAN_GEOMETRIC ? "geometric" : "arithmetic");
    date(run, "season.from", plan->season_from);
    date(run, "season.to", plan->season_to);
    number(run, "apart_m", plan->choose.apart_m);
    factf(run, "sites.wanted", "%d", plan->choose.sites);
    factf(run, "seed", "%" PRIu64, plan->seed);
}

static void add_counts(struct run_table *run, const struct sel_survey *survey) {
    int64_t limit = survey->plan->candidates_limit, pool = (int64_t)survey->candidate_count;
    factf(run, "cracks", "%" PRId64, survey->tally.cracks);
    factf(run, "edges.lines", "%" PRId64, run->file->edge_count);
    factf(run, "candidates.eligible", "%" PRId64, (int64_t)survey->eligible_count);
    factf(run, "candidates.pool", "%" PRId64, pool);
    factf(run, "candidates.limit", "%" PRId64, limit);
    factf(run, "candidates.written", "%" PRId64, sel_candidates_written(survey));
    factf(run, "sites", "%" PRId64, survey->tally.sites);
    factf(run, "reserves", "%" PRId64, survey->tally.reserves);
}

static void add_choice(struct run_table *run, const struct sel_survey *survey) {
    const struct sel_merit *merit = &survey->merit;
    const struct sel_plan_choose *choose = &survey->plan->choose;
    number(run, "choice.total_score", merit->total);
    number(run, "choice.spread", choose->spread);
    number(run, "choice.even_m", choose->spread > 0 ? merit->even_m : (double)NAN);
    number(run, "choice.objective", merit->objective);
    number(run, "choice.bound", merit->bound);
    number(run, "choice.gap",
        merit->objective > 0 ? fmax(merit->bound / merit->objective - 1, 0) : (double)NAN);
    factf(run, "choice.minimums_missed", "%d", survey->shortfall_count); // groups
    factf(run, "choice.sites_missed", "%lld", (long long)sel_sites_missed(survey));
}

static void add_robustness(struct run_table *run, const struct sel_survey *survey) {
    const struct sel_plan_uncertainty *doubt = &survey->plan->uncertainty;
    factf(run, "robustness.draws", "%d", survey->robustness.draws);
    number(run, "robustness.concentration", survey->robustness.concentration);
    factf(run, "robustness.local_bests", "%" PRId64, survey->robustness.local_bests);
    number(run, "uncertainty.elevation_rmse_m", doubt->elevation_rmse_m);
    number(run, "uncertainty.landcover_accuracy", doubt->landcover_accuracy);
}

static void add_dispersion(struct run_table *run, const struct sel_survey *survey) {
    const struct sel_dispersion *d = &survey->dispersion;
    if (survey->tally.sites == 0)
        return;
    number(run, "spread.nearest_mean_m", d->nearest_mean_m);
    number(run, "spread.nearest_least_m", d->nearest_least_m);
    number(run, "spread.nearest_most_m", d->nearest_most_m);
    number(run, "spread.clark_evans", d->ratio);
    number(run, "spread.clark_evans_free", d->ratio_free);
    number(run, "spread.share_wider", d->share_wider);
    factf(run, "spread.random_sets", "%d", d->sets);
    number(run, "spread.ground_m2", d->ground_m2);
    number(run, "spread.balance_ground", d->balance_ground);
    number(run, "spread.balance_candidates", d->balance_candidates);
    number(run, "spread.pairs_off", sel_pairs_off(survey));
}

static void add_remarks(struct run_table *run, const struct sel_survey *survey) {
    for (size_t i = 0; i < survey->remark_count; i++) {
        char key[32];
        snprintf(key, sizeof key, "remark.%03zu", i + 1);
        fact(run, key, survey->remarks[i]);
    }
}

sel_status sel_write_run(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct run_table run = {file, {0}, SEL_OK};
    run.status = sel_begin_table(file, &SEL_TABLE_RUN, &run.table);
    add_software(&run);
    add_grid(&run);
    add_method(&run, survey);
    add_counts(&run, survey);
    add_choice(&run, survey);
    add_robustness(&run, survey);
    add_dispersion(&run, survey);
    add_remarks(&run, survey);
    sel_table_close(&run.table);
    return run.status;
}
