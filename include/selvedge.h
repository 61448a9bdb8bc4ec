// SPDX-License-Identifier: MIT
//
// selvedge: shortlists places for passive flight traps along habitat edges.
//
// The whole public interface. A program makes one context, calls one of the job functions, reads
// the message when the status is not SEL_OK, and frees the context. Nothing here prints, exits or
// keeps global state. A context serves one job at a time; sel_cancel and sel_discard alone may be
// called from another thread or from a signal handler.
#ifndef SELVEDGE_H
#define SELVEDGE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

// What a call came to. The numbers are stable; the command uses them as its exit status, except
// that an interrupted run exits with 130.
typedef enum sel_status {
    SEL_OK = 0,
    SEL_USAGE = 1,     // the caller asked for something that makes no sense
    SEL_BAD_INPUT = 2, // plan or data cannot be used as they are
    SEL_NOTHING = 3,   // the job ran, and no place qualifies
    SEL_IO = 4,        // reading or writing failed
    SEL_NO_MEMORY = 5,
    SEL_INTERRUPTED = 6
} sel_status;

typedef struct sel_context sel_context;

// Called now and then from the thread that runs the job: what is being done, and the share done,
// 0..1. The text lives for the call only.
typedef void sel_progress_fn(void *user, const char *what, double share);

// Called for remarks that are no failure (an assumption made, a layer left out).
typedef void sel_note_fn(void *user, const char *text);

// Returns NULL when memory is out. Free with sel_context_free.
sel_context *sel_context_new(void);
void sel_context_free(sel_context *context);

// The message of the first failure since the last job began; "" when there was none. Owned by the
// context, valid until its next job or its end.
const char *sel_context_message(const sel_context *context);

void sel_context_on_progress(sel_context *context, sel_progress_fn *callback, void *user);
void sel_context_on_note(sel_context *context, sel_note_fn *callback, void *user);

// Asks a running job to stop; it returns SEL_INTERRUPTED soon after, leaving no output.
void sel_cancel(sel_context *context);

// Removes the files that a running job has half written, for a program that is about to end without
// waiting for the job. The job must not go on.
void sel_discard(sel_context *context);

// "0.1.0". Static storage.
const char *sel_version(void);

// A short English name of a status. Static storage, never NULL.
const char *sel_status_name(sel_status status);

// How a job uses the machine. Zero-initialise for the defaults. None of these changes a result.
typedef struct sel_run_options {
    int threads;     // 0: one per processor
    int tile_cells;  // 0: chosen; else a multiple of 512
    int memory_mb;   // 0: chosen; an upper aim for the working memory, MiB
    bool overwrite;  // replace an output that exists
    int part, parts; // 0, 0: the whole; else part 1..parts of the job
    int pool_least;  // 0: chosen; least number of the best candidates that are looked at in full
} sel_run_options;

// Frees a text that a job returned. NULL is allowed.
void sel_text_free(char *text);

// Writes DIR/survey.yaml and DIR/habitats.csv for two rasters. `access` and `legend` may be NULL.
// On success *report (free with sel_text_free) tells what was written and what to look at.
sel_status sel_start(sel_context *context, const char *landcover, const char *elevation,
    const char *access, const char *legend, const char *directory, bool overwrite, char **report);

// Validates a plan and its data. *report (free with sel_text_free) tells what will be used.
// `full` scans whole rasters instead of a sample. Writes nothing.
sel_status sel_check(sel_context *context, const char *plan, bool full,
    const sel_run_options *options, char **report);

// Ranks sites and writes the GeoPackage `output`. *summary (free with sel_text_free) is the table
// for a terminal. SEL_NOTHING when no place qualifies: then nothing is written, and the summary
// still tells what was dropped and why.
sel_status sel_rank(sel_context *context, const char *plan, const char *output,
    const sel_run_options *options, char **summary);

// Joins the parts that sel_rank wrote with options->part set.
sel_status sel_gather(sel_context *context, const char *plan, const char *const *parts,
    size_t part_count, const char *output, const sel_run_options *options, char **summary);

// Tells why a site of a written GeoPackage ranks where it does; rank 0 tells of all, in short.
sel_status sel_explain(sel_context *context, const char *geopackage, int rank, char **report);

// Tells what became of a pair of habitats, "riparian wood | hay meadow" (in any order).
sel_status sel_explain_pair(
    sel_context *context, const char *geopackage, const char *pair, char **report);

// Draws the ranked sites of a written GeoPackage on the land cover, as a PNG of `width_px` pixels.
sel_status sel_map(
    sel_context *context, const char *geopackage, const char *output, int width_px, bool overwrite);

// Writes the field kit of a written GeoPackage into the folder `directory`, all files or none:
// waypoints, labels, calendar, events, kit list, setup cards. `only` names the parts, separated by
// commas (gpx, labels, calendar, events, kit, setup); NULL: all. `actual` is NULL, or a CSV of the
// services really done, from which the events are rewritten; then `only` NULL means events.
// *report (free with sel_text_free) tells the rounds and what to know. See docs/fieldkit.md.
sel_status sel_fieldkit(sel_context *context, const char *geopackage, const char *directory,
    const char *only, const char *actual, bool overwrite, char **report);
// Writes a dossier of a written GeoPackage for a permit office: one HTML file that needs nothing
// else.
sel_status sel_dossier(
    sel_context *context, const char *geopackage, const char *output, bool overwrite);

// Without a name, *report lists the built-in habitat tables; with one, it is that table as CSV.
sel_status sel_legend(sel_context *context, const char *name, char **report);

#ifdef __cplusplus
}
#endif
#endif
