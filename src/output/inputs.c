// SPDX-License-Identifier: MIT
//
// The table `inputs`: every file that the run read, as the plan writes it, with size, time, CRS,
// resolution, resampling and checksum, and the files that belong to it (sources of a VRT, parts of
// a shapefile). Files behind GDAL's virtual file systems are told by size and time where known.
// NOLINTNEXTLINE(bugprone-reserved-identifier): the system's own switch
#define _LARGEFILE64_SOURCE // the file facts of cpl_vsi.h need the 64-bit struct stat
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/array.h"
#include "output/checksum.h"
#include "output/path_told.h"
#include "output/writer.h"

// A VRT may name VRTs; more levels than this are not followed.
enum { LEVELS_MOST = 8 };

static const double BYTES_PER_MB = 1e6;

// What was summed already, so that a file named twice is read once.
struct digest {
    char *path; // owned
    char hex[SEL_SHA256_SIZE];
};

struct listing {
    struct sel_geopackage *file;
    struct digest *digests; // owned
    size_t digest_count, digest_capacity;
};

// One input as the plan names it.
struct input {
    const char *role, *path, *layer;
    const struct sel_raster_facts *facts; // NULL: no raster
    int band;                             // 0: no raster
};

// --- one file ---

static sel_status digest_of(struct listing *list, const char *path, const char **hex) {
    for (size_t i = 0; i < list->digest_count; i++) {
        if (strcmp(list->digests[i].path, path) == 0) {
            *hex = list->digests[i].hex;
            return SEL_OK;
        }
    }
    struct digest *grown = sel_grow(
        list->digests, list->digest_count + 1, &list->digest_capacity, sizeof *list->digests);
    if (!grown)
        return sel_fail_memory(list->file->context);
    list->digests = grown;
    struct digest *digest = &grown[list->digest_count];
    digest->path = strdup(path);
    if (!digest->path)
        return sel_fail_memory(list->file->context);
    list->digest_count++;
    *hex = digest->hex;
    return sel_sha256_file(list->file->context, path, digest->hex);
}

struct file_facts {
    int64_t size_bytes;
    char modified[SEL_DATE_SIZE], note[128];
    const char *sha256;
};

static void tell_time(long long when, char text[SEL_DATE_SIZE]) {
    time_t moment = (time_t)when;
    struct tm parts;
    if (when > 0 && gmtime_r(&moment, &parts))
        strftime(text, SEL_DATE_SIZE, "%Y-%m-%dT%H:%M:%SZ", &parts);
}

static sel_status look_at(struct listing *list, const char *path, struct file_facts *facts) {
    double checksum_mb = list->file->plan->checksum_mb;
    VSIStatBufL stat;
    *facts = (struct file_facts){.size_bytes = SEL_NO_INTEGER};
    if (VSIStatL(path, &stat) != 0) {
        snprintf(facts->note, sizeof facts->note, "size and time are not known");
        return SEL_OK;
    }
    tell_time((long long)stat.st_mtime, facts->modified);
    if (VSI_ISDIR(stat.st_mode)) {
        snprintf(facts->note, sizeof facts->note, "a folder");
        return SEL_OK;
    }
    facts->size_bytes = (int64_t)stat.st_size;
    if (strncmp(path, "/vsi", 4) == 0) {
        snprintf(facts->note, sizeof facts->note, "no local file: not summed");
        return SEL_OK;
    }
    if ((double)facts->size_bytes > checksum_mb * BYTES_PER_MB) {
        snprintf(facts->note, sizeof facts->note, "larger than checksum_mb (%g MB): not summed",
            checksum_mb);
        return SEL_OK;
    }
    return digest_of(list, path, &facts->sha256);
}

// --- rows ---

// Keeps a row with texts of its own. A row half copied is freed with the rest.
static sel_status keep_row(struct listing *list, const struct sel_input_row *row) {
    struct sel_inputs *inputs = &list->file->inputs;
    struct sel_input_row *grown =
        sel_grow(inputs->rows, inputs->count + 1, &inputs->capacity, sizeof *inputs->rows);
    if (!grown)
        return sel_fail_memory(list->file->context);
    inputs->rows = grown;
    struct sel_input_row *kept = &grown[inputs->count++];
    bool copied = true;
    *kept = *row;
    for (int i = 0; i < SEL_TABLE_INPUTS.column_count; i++) {
        const struct sel_column *column = &SEL_TABLE_INPUTS.columns[i];
        if (column->kind != SEL_COLUMN_TEXT)
            continue;
        const char **text = (const char **)((char *)kept + column->offset);
        const char *from = *text;
        *text = from ? strdup(from) : NULL;
        copied = copied && (*text || !from);
    }
    return copied ? SEL_OK : sel_fail_memory(list->file->context);
}

static void fill_raster(const struct input *input, struct sel_input_row *row) {
    const struct sel_raster_facts *facts = input->facts;
    if (!facts)
        return;
    row->band = input->band;
    row->driver = facts->driver;
    row->crs = facts->crs_name;
    row->raster_columns = facts->cols;
    row->raster_rows = facts->rows;
    row->pixel_x = facts->pixel_x;
    row->pixel_y = facts->pixel_y;
    row->unit = facts->unit;
    row->resampling = facts->method;
}

// `main_path` NULL: the row of the input itself; else of a file that belongs to it.
static sel_status add_input_row(struct listing *list, const struct input *input, const char *path,
    const char *main_path, const char *driver, const char *crs) {
    const struct sel_plan *plan = list->file->plan;
    struct file_facts facts;
    sel_status status = look_at(list, path, &facts);
    if (status != SEL_OK)
        return status;
    char *told = sel_path_told(plan, path);
    char *owner = main_path ? sel_path_told(plan, main_path) : NULL;
    struct sel_input_row row = {.role = input->role,
        .file = told,
        .belongs_to = owner,
        .layer = main_path ? NULL : input->layer,
        .band = SEL_NO_INTEGER,
        .driver = driver,
        .size_bytes = facts.size_bytes,
        .modified = facts.modified[0] ? facts.modified : NULL,
        .crs = crs,
        .raster_columns = SEL_NO_INTEGER,
        .raster_rows = SEL_NO_INTEGER,
        .pixel_x = (double)NAN,
        .pixel_y = (double)NAN,
        .sha256 = facts.sha256,
        .note = facts.note[0] ? facts.note : NULL};
    if (!main_path)
        fill_raster(input, &row);
    status =
        told && (owner || !main_path) ? keep_row(list, &row) : sel_fail_memory(list->file->context);
    free(told);
    free(owner);
    return status;
}

// --- files that belong to a file ---

static int by_name(const void *a, const void *b) {
    return strcmp(*(char *const *)a, *(char *const *)b);
}

// Adds to `members` what GDAL counts as part of `path`, and what those count as theirs when they
// are VRTs.
static char **collect_members(char **members, const char *path, int level) {
    GDALDatasetH dataset =
        GDALOpenEx(path, GDAL_OF_RASTER | GDAL_OF_VECTOR | GDAL_OF_READONLY, NULL, NULL, NULL);
    char **files = dataset ? GDALGetFileList(dataset) : NULL;
    for (int i = 0; files && files[i]; i++) {
        if (strcmp(files[i], path) == 0 || CSLFindString(members, files[i]) >= 0)
            continue;
        members = CSLAddString(members, files[i]);
        const char *dot = strrchr(files[i], '.');
        if (level < LEVELS_MOST && dot && EQUAL(dot, ".vrt"))
            members = collect_members(members, files[i], level + 1);
    }
    CSLDestroy(files);
    if (dataset)
        GDALClose(dataset);
    CPLErrorReset();
    return members;
}

static sel_status add_members(struct listing *list, const struct input *input) {
    char **members = collect_members(NULL, input->path, 1);
    int count = CSLCount(members);
    sel_status status = SEL_OK;
    if (count > 1)
        qsort(members, (size_t)count, sizeof *members, by_name);
    for (int i = 0; i < count && status == SEL_OK; i++)
        if (strcmp(members[i], input->path) != 0)
            status = add_input_row(list, input, members[i], input->path, NULL, NULL);
    CSLDestroy(members);
    return status;
}

// --- one input ---

struct vector_facts {
    char driver[64], crs[128];
};

static void look_at_layer(OGRLayerH layer, struct vector_facts *facts) {
    OGRSpatialReferenceH crs = layer ? OGR_L_GetSpatialRef(layer) : NULL;
    const char *name = crs ? OSRGetName(crs) : NULL;
    const char *authority = crs ? OSRGetAuthorityName(crs, NULL) : NULL;
    const char *code = crs ? OSRGetAuthorityCode(crs, NULL) : NULL;
    if (name && authority && code)
        snprintf(facts->crs, sizeof facts->crs, "%s (%s:%s)", name, authority, code);
    else if (name)
        snprintf(facts->crs, sizeof facts->crs, "%s", name);
}

static void look_at_vector(const struct input *input, struct vector_facts *facts) {
    *facts = (struct vector_facts){"", ""};
    GDALDatasetH dataset =
        GDALOpenEx(input->path, GDAL_OF_VECTOR | GDAL_OF_READONLY, NULL, NULL, NULL);
    CPLErrorReset();
    if (!dataset)
        return;
    snprintf(facts->driver, sizeof facts->driver, "%s",
        GDALGetDriverShortName(GDALGetDatasetDriver(dataset)));
    look_at_layer(input->layer ? GDALDatasetGetLayerByName(dataset, input->layer)
                               : GDALDatasetGetLayer(dataset, 0),
        facts);
    GDALClose(dataset);
}

static sel_status add_raster(struct listing *list, const char *role,
    const struct sel_raster_ref *ref, const struct sel_raster_facts *facts) {
    if (!ref->file)
        return SEL_OK;
    struct input input = {role, ref->file, NULL, facts, ref->band};
    sel_status status = add_input_row(list, &input, ref->file, NULL, NULL, NULL);
    return status == SEL_OK ? add_members(list, &input) : status;
}

static sel_status add_vector(
    struct listing *list, const char *role, const struct sel_layer_ref *ref) {
    if (!ref->file)
        return SEL_OK;
    struct input input = {role, ref->file, ref->layer, NULL, 0};
    struct vector_facts facts;
    look_at_vector(&input, &facts);
    sel_status status = add_input_row(list, &input, ref->file, NULL,
        facts.driver[0] ? facts.driver : NULL, facts.crs[0] ? facts.crs : NULL);
    return status == SEL_OK ? add_members(list, &input) : status;
}

static sel_status add_plain(struct listing *list, const char *role, const char *path) {
    struct input input = {role, path, NULL, NULL, 0};
    return path ? add_input_row(list, &input, path, NULL, NULL, NULL) : SEL_OK;
}

static sel_status add_habitat_table(struct listing *list) {
    const struct sel_plan *plan = list->file->plan;
    if (!plan->habitats_is_legend)
        return add_plain(list, "habitats", plan->habitats_source);
    struct sel_input_row row = {.role = "habitats",
        .file = plan->habitats_source,
        .band = SEL_NO_INTEGER,
        .size_bytes = SEL_NO_INTEGER,
        .raster_columns = SEL_NO_INTEGER,
        .raster_rows = SEL_NO_INTEGER,
        .pixel_x = (double)NAN,
        .pixel_y = (double)NAN,
        .note = "built-in legend"};
    return keep_row(list, &row);
}

// --- all inputs ---

static sel_status add_rasters(struct listing *list) {
    const struct sel_plan *plan = list->file->plan;
    const struct sel_study *study = list->file->study;
    sel_status status = add_raster(list, "landcover", &plan->landcover, &study->landcover);
    if (status == SEL_OK)
        status = add_raster(list, "elevation", &plan->elevation, &study->elevation);
    if (status == SEL_OK)
        status = add_raster(list, "canopy", &plan->canopy, &study->canopy);
    return status;
}

static sel_status add_repeated(struct listing *list) {
    static const char *const ZONES[] = {"zone: exclude", "zone: no_clearing", "zone: note"};
    static const char *const ACCESS[] = {"access: start", "access: way"};
    const struct sel_plan *plan = list->file->plan;
    sel_status status = SEL_OK;
    for (size_t i = 0; i < plan->lines_count && status == SEL_OK; i++)
        status = add_vector(list, "lines", &plan->lines[i].source);
    for (size_t i = 0; i < plan->access_count && status == SEL_OK; i++)
        status = add_vector(list, ACCESS[plan->access[i].role], &plan->access[i].source);
    for (size_t i = 0; i < plan->zones_count && status == SEL_OK; i++)
        status = add_vector(list, ZONES[plan->zones[i].rule], &plan->zones[i].source);
    return status;
}

static sel_status add_all(struct listing *list) {
    const struct sel_plan *plan = list->file->plan;
    sel_status status = add_plain(list, "plan", plan->path);
    if (status == SEL_OK)
        status = add_rasters(list);
    if (status == SEL_OK)
        status = add_habitat_table(list);
    if (status == SEL_OK)
        status = add_vector(list, "area", &plan->area);
    if (status == SEL_OK)
        status = add_repeated(list);
    if (status == SEL_OK)
        status = add_vector(list, "parcels", &plan->parcels);
    if (status == SEL_OK)
        status = add_vector(list, "blocks", &plan->blocks);
    if (status == SEL_OK)
        status = add_vector(list, "occupied", &plan->occupied);
    return status;
}

sel_status sel_list_inputs(struct sel_geopackage *file) {
    struct listing list = {.file = file};
    if (file->inputs.listed)
        return SEL_OK;
    sel_status status = add_all(&list);
    file->inputs.listed = status == SEL_OK;
    for (size_t i = 0; i < list.digest_count; i++)
        free(list.digests[i].path);
    free(list.digests);
    return status;
}

sel_status sel_write_inputs(struct sel_geopackage *file, const struct sel_survey *survey) {
    (void)survey;
    struct sel_table table = {0};
    sel_status status = sel_list_inputs(file);
    if (status == SEL_OK)
        status = sel_begin_table(file, &SEL_TABLE_INPUTS, &table);
    for (size_t i = 0; i < file->inputs.count && status == SEL_OK; i++)
        status = sel_add_row(file, &table, &file->inputs.rows[i]);
    sel_table_close(&table);
    return status;
}
