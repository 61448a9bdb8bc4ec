// SPDX-License-Identifier: MIT
//
// Reads a habitat table with OGR's CSV driver, every column as text, and checks each field itself,
// so that a message can name line, column and value. Commas, semicolons and tabs may separate.
#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <ctype.h>
#include <gdal.h>
#include <ogr_api.h>
#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "base/text.h"
#include "plan/csv_lines.h"
#include "plan/habitat_rows.h"
#include "plan/numbers.h"
#include "plan/words.h"

enum { BYTES_MOST = 4 << 20, ROWS_MOST = 65536, NAME_MOST = 80 };

enum column {
    COLUMN_VALUE,
    COLUMN_HABITAT,
    COLUMN_CANOPY,
    COLUMN_COVER,
    COLUMN_WETNESS,
    COLUMN_EDGE,
    COLUMN_WALK,
    COLUMN_TRAP,
    COLUMN_WATER,
    COLUMN_GROUND,
    COLUMN_SUPPORT,
    COLUMNS
};

static const char *const column_names[COLUMNS] = {"value", "habitat", "canopy_m", "cover",
    "wetness", "edge", "walk", "trap", "water", "ground", "support"};

// Columns for the reader's eye, which `selvedge start` and `selvedge legend` write.
static const char *const ignored_names[] = {"cells", "area_ha", "share", "legend_name", "note"};

// Heights above this are no vegetation: the tallest trees known stand at about 116 m (from memory).
static const double canopy_most_m = 120.0;

struct table {
    sel_context *context;
    const char *path;
    int *lines; // of the records, the header's first
    size_t line_count;
    int fields[COLUMNS]; // where each column lies in a record; -1: missing
    struct sel_habitat_row *rows;
    size_t count, capacity;
    OGRFeatureH feature; // the record being read
    int line;
};

static sel_status fail_field(const struct table *table, enum column column, const char *mend) {
    const char *name = OGR_F_GetFieldAsString(table->feature, table->fields[COLUMN_HABITAT]);
    const char *text = OGR_F_GetFieldAsString(table->feature, table->fields[column]);
    if (text[strspn(text, " \t\r\n")] == '\0')
        return sel_fail(table->context, SEL_BAD_INPUT,
            "%s:%d: %s: is blank for habitat %s: fill in every trait (docs/habitats.md tells how): "
            "%s",
            table->path, table->line, column_names[column], sel_quote(name).chars, mend);
    return sel_fail(table->context, SEL_BAD_INPUT, "%s:%d: %s: %s: %s", table->path, table->line,
        column_names[column], sel_quote(text).chars, mend);
}

struct field {
    char chars[256];
};

// The field without blanks around it; cut when it is longer than any that is allowed.
static struct field trimmed(const char *text) {
    struct field field = {""};
    while (isspace((unsigned char)*text))
        text++;
    size_t length = strlen(text);
    while (length > 0 && isspace((unsigned char)text[length - 1]))
        length--;
    if (length >= sizeof field.chars)
        length = sizeof field.chars - 1;
    memcpy(field.chars, text, length);
    return field;
}

static struct field field_of(const struct table *table, enum column column) {
    return trimmed(OGR_F_GetFieldAsString(table->feature, table->fields[column]));
}

static sel_status read_number(
    const struct table *table, enum column column, double most, const char *mend, double *number) {
    struct field field = field_of(table, column);
    if (!sel_parse_number(field.chars, number) || *number < 0.0 || *number > most)
        return fail_field(table, column, mend);
    return SEL_OK;
}

static sel_status read_yes_no(const struct table *table, enum column column, bool *yes) {
    static const char *const words[] = {"no", "yes", "false", "true", "0", "1"};
    struct field field = field_of(table, column);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (EQUAL(field.chars, words[i])) {
            *yes = i % 2 == 1;
            return SEL_OK;
        }
    }
    return fail_field(table, column, "write yes or no");
}

static sel_status read_ground(const struct table *table, enum sel_ground *ground) {
    struct field field = field_of(table, COLUMN_GROUND);
    for (int i = SEL_GROUND_FIRM; i <= SEL_GROUND_ROCK; i++) {
        if (strcmp(field.chars, sel_ground_name((enum sel_ground)i)) == 0) {
            *ground = (enum sel_ground)i;
            return SEL_OK;
        }
    }
    return fail_field(table, COLUMN_GROUND, "write firm, sand, wet or rock");
}

static sel_status read_value(const struct table *table, struct sel_habitat_row *row) {
    struct field field = field_of(table, COLUMN_VALUE);
    row->has_value = field.chars[0] != '\0';
    if (row->has_value && !sel_parse_whole(field.chars, &row->value))
        return fail_field(table, COLUMN_VALUE,
            "write a whole number as the raster holds it, or nothing for a habitat of lines");
    return SEL_OK;
}

static bool has_control(const char *text) {
    for (; *text; text++)
        if (iscntrl((unsigned char)*text))
            return true;
    return false;
}

static sel_status read_name(const struct table *table, struct sel_habitat *habitat) {
    struct field field = field_of(table, COLUMN_HABITAT);
    if (field.chars[0] == '\0')
        return sel_fail(table->context, SEL_BAD_INPUT,
            "%s:%d: habitat: is blank: give the habitat a name", table->path, table->line);
    if (!CPLIsUTF8(field.chars, -1))
        return fail_field(table, COLUMN_HABITAT, "is not UTF-8: save the table as CSV in UTF-8");
    if (strlen(field.chars) > NAME_MOST || has_control(field.chars))
        return fail_field(table, COLUMN_HABITAT, "give a name of one line and at most 80 bytes");
    habitat->name = strdup(field.chars);
    return habitat->name ? SEL_OK : sel_fail_memory(table->context);
}

static sel_status read_traits(const struct table *table, struct sel_habitat *habitat) {
    sel_status status = read_number(table, COLUMN_CANOPY, canopy_most_m,
        "give the height of the vegetation in metres, 0..120", &habitat->canopy_m);
    if (status == SEL_OK)
        status = read_number(table, COLUMN_COVER, 1.0,
            "give the share of sky that the canopy closes, 0..1", &habitat->cover);
    if (status == SEL_OK)
        status = read_number(table, COLUMN_WETNESS, 1.0,
            "give a number from 0 (dry) to 1 (under water)", &habitat->wetness);
    if (status == SEL_OK)
        status = read_number(table, COLUMN_EDGE, 1.0,
            "give what an edge with it is worth to insects, 0..1", &habitat->edge);
    if (status == SEL_OK)
        status = read_number(table, COLUMN_WALK, 1.0,
            "give its walking speed from 0 (a barrier) to 1 (open ground)", &habitat->walk);
    if (status == SEL_OK)
        status = read_yes_no(table, COLUMN_TRAP, &habitat->trap);
    if (status == SEL_OK)
        status = read_yes_no(table, COLUMN_WATER, &habitat->water);
    if (status == SEL_OK)
        status = read_ground(table, &habitat->ground);
    if (status == SEL_OK)
        status = read_yes_no(table, COLUMN_SUPPORT, &habitat->support);
    return status;
}

static bool is_blank_record(const struct table *table) {
    for (int i = 0; i < OGR_F_GetFieldCount(table->feature); i++)
        if (trimmed(OGR_F_GetFieldAsString(table->feature, i)).chars[0] != '\0')
            return false;
    return true;
}

static sel_status read_record(struct table *table) {
    if (is_blank_record(table))
        return SEL_OK;
    if (table->count == ROWS_MOST)
        return sel_fail(table->context, SEL_BAD_INPUT,
            "%s:%d: more than %d rows: a habitat table "
            "has one row per raster value",
            table->path, table->line, ROWS_MOST);
    void *grown = sel_grow(table->rows, table->count + 1, &table->capacity, sizeof *table->rows);
    if (!grown)
        return sel_fail_memory(table->context);
    table->rows = grown;
    struct sel_habitat_row *row = &table->rows[table->count++];
    *row = (struct sel_habitat_row){.line = table->line};
    sel_status status = read_name(table, &row->habitat);
    if (status == SEL_OK)
        status = read_value(table, row);
    if (status == SEL_OK)
        status = read_traits(table, &row->habitat);
    return status;
}

static bool is_ignored(const char *name) {
    for (size_t i = 0; i < sizeof ignored_names / sizeof ignored_names[0]; i++)
        if (strcmp(name, ignored_names[i]) == 0)
            return true;
    return false;
}

static int column_by_name(const char *name) {
    for (int i = 0; i < COLUMNS; i++)
        if (strcmp(name, column_names[i]) == 0)
            return i;
    return -1;
}

static sel_status fail_column(const struct table *table, const char *name) {
    const char *nearest = sel_nearest_word(name, column_names, COLUMNS);
    return sel_fail(table->context, SEL_BAD_INPUT,
        "%s:%d: %s: is no column of a habitat table%s%s%s: the columns are value, habitat, "
        "canopy_m, cover, wetness, edge, walk, trap, water, ground, support, and for notes cells, "
        "area_ha, share, legend_name, note",
        table->path, table->line, sel_quote(name).chars, nearest ? ": did you mean " : "",
        nearest ? nearest : "", nearest ? "?" : "");
}

static sel_status read_header(struct table *table, OGRLayerH layer) {
    OGRFeatureDefnH definition = OGR_L_GetLayerDefn(layer);
    for (int i = 0; i < COLUMNS; i++)
        table->fields[i] = -1;
    for (int i = 0; i < OGR_FD_GetFieldCount(definition); i++) {
        struct field name = trimmed(OGR_Fld_GetNameRef(OGR_FD_GetFieldDefn(definition, i)));
        int column = column_by_name(name.chars);
        if (column < 0 && !is_ignored(name.chars))
            return fail_column(table, name.chars);
        if (column < 0)
            continue;
        if (table->fields[column] >= 0)
            return sel_fail(table->context, SEL_BAD_INPUT, "%s:%d: column %s comes twice: keep one",
                table->path, table->line, name.chars);
        table->fields[column] = i;
    }
    for (int i = 0; i < COLUMNS; i++)
        if (table->fields[i] < 0)
            return sel_fail(table->context, SEL_BAD_INPUT,
                "%s:%d: column %s is missing: add it to the header and to every row", table->path,
                table->line, column_names[i]);
    return SEL_OK;
}

static int line_of(const struct table *table, size_t record) {
    return record < table->line_count ? table->lines[record] : (int)record + 1;
}

static sel_status read_layer(struct table *table, OGRLayerH layer) {
    table->line = line_of(table, 0);
    sel_status status = read_header(table, layer);
    OGR_L_ResetReading(layer);
    for (size_t record = 1; status == SEL_OK; record++) {
        table->feature = OGR_L_GetNextFeature(layer);
        if (!table->feature)
            break;
        table->line = line_of(table, record);
        status = read_record(table);
        OGR_F_Destroy(table->feature);
    }
    if (status == SEL_OK && table->count == 0)
        return sel_fail(table->context, SEL_BAD_INPUT,
            "%s: has no rows: give one for each value of the land-cover raster", table->path);
    return status;
}

static sel_status find_lines(struct table *table) {
    GByte *bytes = NULL;
    vsi_l_offset size = 0;
    if (!VSIIngestFile(NULL, table->path, &bytes, &size, BYTES_MOST))
        return sel_fail(table->context, SEL_BAD_INPUT,
            "%s: cannot be read as a habitat table (a file of at most 4 MiB): %s", table->path,
            CPLGetLastErrorMsg());
    table->lines = calloc(ROWS_MOST + 2, sizeof *table->lines);
    if (table->lines) {
        size_t records =
            sel_csv_record_lines((const char *)bytes, (size_t)size, table->lines, ROWS_MOST + 2);
        table->line_count = records < ROWS_MOST + 2 ? records : ROWS_MOST + 2;
    }
    VSIFree(bytes);
    if (!table->lines)
        return sel_fail_memory(table->context);
    if (table->line_count == 0)
        return sel_fail(table->context, SEL_BAD_INPUT,
            "%s: is empty: `selvedge start` or `selvedge legend` write a habitat table",
            table->path);
    return SEL_OK;
}

static sel_status open_table(struct table *table, GDALDatasetH *dataset) {
    static const char *const drivers[] = {"CSV", NULL};
    static const char *const options[] = {"HEADERS=YES", "AUTODETECT_TYPE=NO", NULL};
    struct sel_text name;
    sel_text_init(&name);
    sel_text_addf(&name, "CSV:%s", table->path); // the prefix lets a table have any ending
    char *connection = sel_text_take(&name);
    if (!connection)
        return sel_fail_memory(table->context);
    GDALAllRegister();
    *dataset = GDALOpenEx(connection, GDAL_OF_VECTOR | GDAL_OF_READONLY, drivers, options, NULL);
    free(connection);
    if (!*dataset || GDALDatasetGetLayerCount(*dataset) != 1)
        return sel_fail(table->context, SEL_BAD_INPUT,
            "%s: is not a CSV table%s%s: give a text "
            "file whose first line names the columns",
            table->path, CPLGetLastErrorMsg()[0] ? ": " : "", CPLGetLastErrorMsg());
    return SEL_OK;
}

static void clear_table(struct table *table) {
    for (size_t i = 0; i < table->count; i++)
        free(table->rows[i].habitat.name);
    free(table->rows);
    free(table->lines);
}

sel_status sel_habitats_read(
    sel_context *context, const char *path, struct sel_habitats *habitats) {
    struct table table = {.context = context, .path = path};
    GDALDatasetH dataset = NULL;
    *habitats = (struct sel_habitats){0};
    CPLPushErrorHandler(CPLQuietErrorHandler);
    CPLErrorReset();
    sel_status status = find_lines(&table);
    if (status == SEL_OK)
        status = open_table(&table, &dataset);
    if (status == SEL_OK)
        status = read_layer(&table, GDALDatasetGetLayer(dataset, 0));
    if (status == SEL_OK)
        status = sel_habitats_build(context, path, table.rows, table.count, habitats);
    if (dataset)
        GDALClose(dataset);
    CPLPopErrorHandler();
    clear_table(&table);
    return status;
}
