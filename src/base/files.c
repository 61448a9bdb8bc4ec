// SPDX-License-Identifier: MIT
//
// Temporary file, fsync, rename: an interrupted write leaves the earlier file untouched.
#include "base/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
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

static sel_status fail_writing(sel_context *context, const char *path, const char *what) {
    return sel_fail(context, SEL_IO,
        "%s: %s: %s: make room, or choose a folder that can be written to", path, what,
        strerror(errno));
}

static bool flush_path(const char *path, int flags) {
    int file = open(path, flags | O_CLOEXEC);
    if (file < 0)
        return false;
    int result = fsync(file);
    int reason = errno;
    close(file);
    errno = reason;
    return result == 0;
}

// A folder that cannot be read, or whose file system knows no flush for folders, is left to the
// system: the file stands in its place, only a power cut in the next seconds could undo that.
static bool flush_folder(const char *folder) {
    return flush_path(folder, O_RDONLY | O_DIRECTORY) || errno == EACCES || errno == EINVAL ||
           errno == ENOTSUP;
}

sel_status sel_replace_file(sel_context *context, const char *temporary, const char *path) {
    char *folder = sel_folder_of(path);
    if (!folder) {
        unlink(temporary);
        return sel_fail_memory(context);
    }
    sel_status status = SEL_OK;
    if (!flush_path(temporary, O_RDONLY))
        status = fail_writing(context, path, "cannot be flushed to disk");
    else if (rename(temporary, path) != 0)
        status = fail_writing(context, path, "cannot be moved into place");
    if (status != SEL_OK)
        unlink(temporary);
    else if (!flush_folder(folder))
        status = fail_writing(context, path, "stands in place, but its folder cannot be flushed");
    free(folder);
    return status;
}

static sel_status check_existing(
    sel_context *context, const char *path, const struct stat *facts, bool overwrite) {
    if (S_ISDIR(facts->st_mode))
        return sel_fail(context, SEL_BAD_INPUT, "%s: is a folder: give a file name", path);
    if (!S_ISREG(facts->st_mode))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: is a device or a pipe, not a file: give a file name", path);
    if (!overwrite)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: exists already: choose another name or add --overwrite", path);
    return SEL_OK;
}

static sel_status check_folder(sel_context *context, const char *path, const char *folder) {
    struct stat facts;
    if (stat(folder, &facts) != 0 || !S_ISDIR(facts.st_mode))
        return sel_fail(context, SEL_BAD_INPUT, "%s: its folder %s does not exist: make it first",
            path, folder);
    if (access(folder, W_OK | X_OK) != 0)
        return sel_fail(context, SEL_IO,
            "%s: its folder %s cannot be written to: %s: choose another folder", path, folder,
            strerror(errno));
    return SEL_OK;
}

sel_status sel_check_output(sel_context *context, const char *path, bool overwrite) {
    if (path[0] == '\0')
        return sel_fail(context, SEL_BAD_INPUT, "the output's name is empty: give a file name");
    struct stat facts;
    sel_status status = SEL_OK;
    if (stat(path, &facts) == 0)
        status = check_existing(context, path, &facts, overwrite);
    if (status != SEL_OK)
        return status;
    char *folder = sel_folder_of(path);
    if (!folder)
        return sel_fail_memory(context);
    status = check_folder(context, path, folder);
    free(folder);
    return status;
}

// Writes the temporary file; messages name the file it is meant for.
static sel_status write_bytes(sel_context *context, const char *temporary, const char *path,
    const void *bytes, size_t length) {
    FILE *file = fopen(temporary, "wbe");
    if (!file)
        return fail_writing(context, path, "cannot be written");
    bool written = length == 0 || fwrite(bytes, 1, length, file) == length;
    int reason = errno;
    if (fclose(file) != 0 && written) {
        written = false;
        reason = errno;
    }
    if (written)
        return SEL_OK;
    unlink(temporary);
    errno = reason;
    return fail_writing(context, path, "writing failed");
}

sel_status sel_write_file(
    sel_context *context, const char *path, const void *bytes, size_t length, bool overwrite) {
    sel_status status = sel_check_output(context, path, overwrite);
    if (status != SEL_OK)
        return status;
    char *temporary = sel_temporary_name(path);
    if (!temporary)
        return sel_fail_memory(context);
    status = sel_begin_unfinished(context, temporary);
    if (status == SEL_OK)
        status = write_bytes(context, temporary, path, bytes, length);
    if (status == SEL_OK)
        status = sel_replace_file(context, temporary, path);
    free(temporary);
    return status;
}

sel_status sel_check_ending(
    sel_context *context, const char *path, const char *ending, const char *what) {
    const char *slash = strrchr(path, '/');
    const char *name = slash ? slash + 1 : path;
    size_t length = strlen(name), wanted = strlen(ending);
    if (length > wanted && strcasecmp(name + length - wanted, ending) == 0)
        return SEL_OK;
    return sel_fail(
        context, SEL_BAD_INPUT, "%s: %s: give a name that ends in %s", path, what, ending);
}

sel_status sel_make_folder(sel_context *context, const char *path, bool *made) {
    struct stat facts;
    bool fresh = mkdir(path, 0777) == 0;
    int reason = errno;
    if (made)
        *made = fresh;
    if (fresh)
        return SEL_OK;
    if (reason != EEXIST)
        return sel_fail(context, reason == ENOENT || reason == ENOTDIR ? SEL_BAD_INPUT : SEL_IO,
            "%s: this folder cannot be made: %s: make its parent first, or choose another place",
            path, strerror(reason));
    if (stat(path, &facts) == 0 && S_ISDIR(facts.st_mode))
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT, "%s: is a file: give a folder", path);
}

static sel_status read_stream(
    sel_context *context, const char *path, FILE *file, size_t most, struct sel_text *text) {
    char block[65536];
    size_t got;
    while ((got = fread(block, 1, sizeof block, file)) > 0) {
        sel_text_add_bytes(text, block, got);
        if (text->length > most)
            return sel_fail(context, SEL_BAD_INPUT,
                "%s: is larger than %zu bytes: is it the right file?", path, most);
        if (text->failed)
            return sel_fail_memory(context);
    }
    if (ferror(file))
        return sel_fail(context, errno == EISDIR ? SEL_BAD_INPUT : SEL_IO,
            "%s: reading failed: %s: give a readable file", path, strerror(errno));
    return SEL_OK;
}

sel_status sel_read_file(
    sel_context *context, const char *path, size_t most, char **bytes, size_t *length) {
    *bytes = NULL;
    *length = 0;
    FILE *file = fopen(path, "rbe");
    if (!file)
        return sel_fail(context, errno == ENOENT || errno == ENOTDIR ? SEL_BAD_INPUT : SEL_IO,
            "%s: cannot be read: %s: check its name and permissions", path, strerror(errno));
    struct sel_text text;
    sel_text_init(&text);
    sel_status status = read_stream(context, path, file, most, &text);
    fclose(file);
    size_t got = text.length;
    if (status == SEL_OK)
        *bytes = sel_text_take(&text);
    sel_text_clear(&text);
    if (status == SEL_OK && !*bytes)
        return sel_fail_memory(context);
    *length = *bytes ? got : 0;
    return status;
}

bool sel_is_same_file(const char *a, const char *b) {
    struct stat first, second;
    if (strcmp(a, b) == 0)
        return true;
    return stat(a, &first) == 0 && stat(b, &second) == 0 && first.st_dev == second.st_dev &&
           first.st_ino == second.st_ino;
}
