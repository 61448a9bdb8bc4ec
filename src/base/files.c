// SPDX-License-Identifier: MIT
//
// Temporary file, fsync, rename: an interrupted write leaves the earlier file untouched.
#include "base/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"

char *sel_folder_of(const char *path) {
    const char *slash = strrchr(path, '/');
    if (!slash)
        return strdup(".");
    return slash == path ? strdup("/") : strndup(path, (size_t)(slash - path));
}

char *sel_join_path(const char *folder, const char *name) {
    if (name[0] == '/' || strcmp(folder, ".") == 0)
        return strdup(name);
    struct sel_text text;
    sel_text_init(&text);
    sel_text_addf(&text, "%s%s%s", folder, strcmp(folder, "/") == 0 ? "" : "/", name);
    return sel_text_take(&text);
}

char *sel_temporary_name(const char *path) {
    const char *slash = strrchr(path, '/');
    const char *base = slash ? slash + 1 : path;
    const char *dot = strrchr(base, '.');
    if (!dot)
        dot = base + strlen(base);
    struct sel_text text;
    sel_text_init(&text);
    sel_text_add_bytes(&text, path, (size_t)(base - path));
    sel_text_add(&text, ".");
    sel_text_add_bytes(&text, base, (size_t)(dot - base));
    sel_text_addf(&text, ".%ld.part%s", (long)getpid(), dot);
    return sel_text_take(&text);
}

static sel_status fsync_path(sel_context *context, const char *path, int flags) {
    int file = open(path, flags);
    if (file < 0)
        return sel_fail(context, SEL_IO, "%s: cannot open: %s", path, strerror(errno));
    int result = fsync(file);
    int reason = errno;
    close(file);
    if (result != 0)
        return sel_fail(context, SEL_IO, "%s: cannot flush to disk: %s", path, strerror(reason));
    return SEL_OK;
}

sel_status sel_replace_file(sel_context *context, const char *temporary, const char *path) {
    char *folder = sel_folder_of(path);
    if (!folder)
        return sel_fail_memory(context);
    sel_status status = fsync_path(context, temporary, O_RDONLY);
    if (status == SEL_OK && rename(temporary, path) != 0)
        status =
            sel_fail(context, SEL_IO, "%s: cannot be moved into place: %s", path, strerror(errno));
    if (status != SEL_OK)
        unlink(temporary);
    else
        status = fsync_path(context, folder, O_RDONLY | O_DIRECTORY);
    free(folder);
    return status;
}

sel_status sel_check_output(sel_context *context, const char *path, bool overwrite) {
    struct stat facts;
    if (stat(path, &facts) == 0) {
        if (S_ISDIR(facts.st_mode))
            return sel_fail(context, SEL_BAD_INPUT, "%s: is a folder: give a file name", path);
        if (!overwrite)
            return sel_fail(context, SEL_BAD_INPUT,
                "%s: exists already: choose another name or add --overwrite", path);
    }
    char *folder = sel_folder_of(path);
    if (!folder)
        return sel_fail_memory(context);
    sel_status status = SEL_OK;
    if (stat(folder, &facts) != 0 || !S_ISDIR(facts.st_mode))
        status = sel_fail(context, SEL_BAD_INPUT, "%s: its folder %s does not exist: make it first",
            path, folder);
    else if (access(folder, W_OK) != 0)
        status = sel_fail(context, SEL_IO, "%s: its folder %s cannot be written to: %s", path,
            folder, strerror(errno));
    free(folder);
    return status;
}

static sel_status write_bytes(
    sel_context *context, const char *path, const void *bytes, size_t length) {
    FILE *file = fopen(path, "wb");
    if (!file)
        return sel_fail(context, SEL_IO, "%s: cannot be written: %s", path, strerror(errno));
    bool written = length == 0 || fwrite(bytes, 1, length, file) == length;
    int reason = errno;
    if (fclose(file) != 0 && written) {
        written = false;
        reason = errno;
    }
    if (!written) {
        unlink(path);
        return sel_fail(context, SEL_IO, "%s: writing failed: %s", path, strerror(reason));
    }
    return SEL_OK;
}

sel_status sel_write_file(
    sel_context *context, const char *path, const void *bytes, size_t length, bool overwrite) {
    sel_status status = sel_check_output(context, path, overwrite);
    if (status != SEL_OK)
        return status;
    char *temporary = sel_temporary_name(path);
    if (!temporary)
        return sel_fail_memory(context);
    status = write_bytes(context, temporary, bytes, length);
    if (status == SEL_OK)
        status = sel_replace_file(context, temporary, path);
    free(temporary);
    return status;
}

static sel_status read_stream(
    sel_context *context, const char *path, FILE *file, size_t most, struct sel_text *text) {
    char block[65536];
    size_t got;
    while ((got = fread(block, 1, sizeof block, file)) > 0) {
        sel_text_add_bytes(text, block, got);
        if (text->length > most)
            return sel_fail(context, SEL_BAD_INPUT, "%s: is larger than %zu bytes", path, most);
    }
    if (ferror(file))
        return sel_fail(context, SEL_IO, "%s: reading failed: %s", path, strerror(errno));
    return SEL_OK;
}

sel_status sel_read_file(
    sel_context *context, const char *path, size_t most, char **bytes, size_t *length) {
    FILE *file = fopen(path, "rb");
    if (!file)
        return sel_fail(context, errno == ENOENT ? SEL_BAD_INPUT : SEL_IO, "%s: cannot be read: %s",
            path, strerror(errno));
    struct sel_text text;
    sel_text_init(&text);
    sel_status status = read_stream(context, path, file, most, &text);
    fclose(file);
    *length = text.length;
    *bytes = status == SEL_OK ? sel_text_take(&text) : NULL;
    sel_text_clear(&text);
    if (status == SEL_OK && !*bytes)
        return sel_fail_memory(context);
    return status;
}
