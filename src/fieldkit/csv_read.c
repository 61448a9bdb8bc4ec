// SPDX-License-Identifier: MIT
//
// One pass over the bytes that closes every field with a NUL in place; quotes are taken off as it
// goes, so that a field is never longer than what stood in the file.
#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "base/files.h"
#include "fieldkit/csv.h"
#include "output/utf8.h"

enum { BYTES_MOST = 16 << 20 };

struct csv_reader {
    sel_context *context;
    const char *path;
    struct sel_csv_table *table;
    const char *row[SEL_CSV_COLUMNS_MOST]; // of the record being read
    size_t row_count;
    size_t field_capacity, record_capacity;
    char *at; // what comes next
    int line; // where `at` is
};

static sel_status fail(const struct csv_reader *reader, int line, const char *what) {
    return sel_fail(reader->context, SEL_BAD_INPUT, "%s:%d: %s", reader->path, line, what);
}

// --- fields ---

static bool is_blank(char byte) {
    return byte == ' ' || byte == '\t';
}

static bool ends_field(char byte) {
    return byte == ',' || byte == '\n' || byte == '\r' || byte == '\0';
}

static char *trim(char *field) {
    while (is_blank(*field))
        field++;
    for (char *end = field + strlen(field); end > field && is_blank(end[-1]);)
        *--end = '\0';
    return field;
}

// From behind the opening quote; the field is written over itself without its quotes.
static sel_status take_quoted(struct csv_reader *reader, char **field) {
    int begun = reader->line;
    char *to = *field = reader->at;
    for (;;) {
        char byte = *reader->at++;
        if (byte == '\0')
            return fail(
                reader, begun, "a quote opens here and does not close: add the closing one");
        reader->line += byte == '\n';
        if (byte == '"' && *reader->at == '"')
            reader->at++;
        else if (byte == '"')
            break;
        *to++ = byte;
    }
    while (is_blank(*reader->at))
        reader->at++;
    if (!ends_field(*reader->at))
        return fail(reader, reader->line,
            "text follows a closing quote: put the whole field into quotes, and double those in "
            "it");
    if (to < reader->at)
        *to = '\0';
    return SEL_OK;
}

static sel_status take_field(struct csv_reader *reader, char **field) {
    while (is_blank(*reader->at))
        reader->at++;
    if (*reader->at == '"') {
        reader->at++;
        return take_quoted(reader, field);
    }
    *field = reader->at;
    while (!ends_field(*reader->at))
        reader->at++;
    return SEL_OK;
}

// --- records ---

static bool keep_record(struct csv_reader *reader, int line) {
    struct sel_csv_table *table = reader->table;
    struct sel_csv_record *records = sel_grow(
        table->records, table->record_count + 1, &reader->record_capacity, sizeof *table->records);
    if (!records)
        return false;
    table->records = records;
    size_t used = table->record_count * table->columns;
    const char **fields = sel_grow(
        table->fields, used + table->columns, &reader->field_capacity, sizeof *table->fields);
    if (!fields)
        return false;
    table->fields = fields;
    memcpy(fields + used, reader->row, table->columns * sizeof *fields);
    records[table->record_count++] = (struct sel_csv_record){.line = line};
    return true;
}

static bool row_is_empty(const struct csv_reader *reader) {
    for (size_t i = 0; i < reader->row_count; i++)
        if (reader->row[i][0])
            return false;
    return true;
}

static sel_status end_record(struct csv_reader *reader, int line) {
    struct sel_csv_table *table = reader->table;
    if (row_is_empty(reader))
        return SEL_OK;
    if (table->record_count == 0)
        table->columns = reader->row_count;
    if (table->record_count == 0 && table->columns == 1 && strchr(reader->row[0], ';'))
        return fail(reader, line, "columns are separated by semicolons: save it with commas");
    if (reader->row_count != table->columns)
        return sel_fail(reader->context, SEL_BAD_INPUT,
            "%s:%d: has %zu fields where the header has %zu: add or take out commas", reader->path,
            line, reader->row_count, table->columns);
    return keep_record(reader, line) ? SEL_OK : sel_fail_memory(reader->context);
}

// Moves over one separator, and closes the field before it.
static bool step_over(struct csv_reader *reader) {
    char byte = *reader->at;
    if (byte == '\0')
        return false;
    *reader->at++ = '\0';
    if (byte == '\r' && *reader->at == '\n')
        reader->at++;
    reader->line += byte != ',';
    return byte == ',';
}

static sel_status take_record(struct csv_reader *reader) {
    int line = reader->line;
    sel_status status = SEL_OK;
    bool more = true;
    for (reader->row_count = 0; more && status == SEL_OK;) {
        char *field = NULL;
        if (reader->row_count == SEL_CSV_COLUMNS_MOST)
            return fail(reader, line, "has more than 64 fields: is it the right file?");
        status = take_field(reader, &field);
        if (status == SEL_OK) {
            more = step_over(reader);
            reader->row[reader->row_count++] = trim(field);
        }
    }
    return status == SEL_OK ? end_record(reader, line) : status;
}

// --- the file ---

static sel_status check_bytes(const struct csv_reader *reader, size_t length) {
    const char *bytes = reader->table->bytes;
    if (strlen(bytes) != length)
        return sel_fail(reader->context, SEL_BAD_INPUT,
            "%s: holds a NUL byte: save it as comma-separated text in UTF-8", reader->path);
    if (!sel_utf8_valid(bytes))
        return sel_fail(reader->context, SEL_BAD_INPUT,
            "%s: is not written in UTF-8: save it as comma-separated text in UTF-8", reader->path);
    return SEL_OK;
}

// The fields are counted in only now that they no longer move.
static void point_records(struct sel_csv_table *table) {
    for (size_t i = 0; i < table->record_count; i++)
        table->records[i].fields = table->fields + i * table->columns;
}

sel_status sel_csv_read(sel_context *context, const char *path, struct sel_csv_table *table) {
    struct csv_reader reader = {.context = context, .path = path, .table = table, .line = 1};
    size_t length;
    *table = (struct sel_csv_table){0};
    sel_status status = sel_read_file(context, path, BYTES_MOST, &table->bytes, &length);
    if (status == SEL_OK)
        status = check_bytes(&reader, length);
    if (status != SEL_OK)
        return status;
    bool marked = strncmp(table->bytes, "\xEF\xBB\xBF", 3) == 0; // byte order mark
    reader.at = table->bytes + (marked ? 3 : 0);
    while (status == SEL_OK && *reader.at)
        status = take_record(&reader);
    if (status == SEL_OK && table->record_count == 0)
        status = sel_fail(
            context, SEL_BAD_INPUT, "%s: is empty: its first line names the columns", path);
    point_records(table);
    return status;
}

void sel_csv_clear(struct sel_csv_table *table) {
    free(table->bytes);
    free(table->fields);
    free(table->records);
    *table = (struct sel_csv_table){0};
}
