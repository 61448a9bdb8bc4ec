// SPDX-License-Identifier: MIT
//
// What stood there before is kept under a name of its own until every file has been moved.
#include "fieldkit/folder.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/files.h"

struct sel_text *sel_folder_add(struct sel_folder *folder, const char *name) {
    struct sel_folder_file *file = &folder->files[folder->count++];
    file->name = name;
    sel_text_init(&file->text);
    return &file->text;
}

void sel_folder_clear(struct sel_folder *folder) {
    for (size_t i = 0; i < folder->count; i++)
        sel_text_clear(&folder->files[i].text);
    *folder = (struct sel_folder){0};
}

// --- names ---

// One file on its way: where it is written first, where it goes, where its forerunner waits.
struct move {
    char *temporary, *path, *kept; // owned
    bool written, replaced, moved;
};

struct moves {
    sel_context *context;
    const struct sel_folder *folder;
    struct move items[SEL_FOLDER_FILES_MOST];
};

static char *beside(const char *path, const char *ending) {
    struct sel_text text;
    sel_text_init(&text);
    char *temporary = sel_temporary_name(path);
    if (!temporary)
        return NULL;
    sel_text_addf(&text, "%s%s", temporary, ending);
    free(temporary);
    return sel_text_take(&text);
}

// False: out of memory.
static bool name_moves(struct moves *moves) {
    for (size_t i = 0; i < moves->folder->count; i++) {
        struct move *move = &moves->items[i];
        move->path = sel_join_path(moves->folder->path, moves->folder->files[i].name);
        move->temporary = move->path ? sel_temporary_name(move->path) : NULL;
        move->kept = move->path ? beside(move->path, ".earlier-until-all-stand") : NULL;
        if (!move->temporary || !move->kept)
            return false;
    }
    return true;
}

static void free_moves(struct moves *moves) {
    for (size_t i = 0; i < moves->folder->count; i++) {
        free(moves->items[i].temporary);
        free(moves->items[i].path);
        free(moves->items[i].kept);
    }
}

// --- checking ---

static bool is_folder(const char *path) {
    struct stat facts;
    return stat(path, &facts) == 0 && S_ISDIR(facts.st_mode);
}

static sel_status check_folder(sel_context *context, const char *path) {
    struct stat facts;
    if (path[0] == '\0')
        return sel_fail(
            context, SEL_BAD_INPUT, "the output folder's name is empty: give one with -o");
    if (stat(path, &facts) == 0 && !S_ISDIR(facts.st_mode))
        return sel_fail(context, SEL_BAD_INPUT, "%s: is a file: give a folder", path);
    return SEL_OK;
}

sel_status sel_folder_check(sel_context *context, const struct sel_folder *folder, bool overwrite) {
    struct moves moves = {.context = context, .folder = folder};
    sel_status status = check_folder(context, folder->path);
    if (status != SEL_OK || !is_folder(folder->path))
        return status;
    if (!name_moves(&moves))
        status = sel_fail_memory(context);
    for (size_t i = 0; i < folder->count && status == SEL_OK; i++)
        status = sel_check_output(context, moves.items[i].path, overwrite);
    free_moves(&moves);
    return status;
}

// --- writing ---

static sel_status write_all(struct moves *moves) {
    const struct sel_folder *folder = moves->folder;
    sel_status status = SEL_OK;
    for (size_t i = 0; i < folder->count && status == SEL_OK; i++) {
        const struct sel_text *text = &folder->files[i].text;
        status = sel_check_cancel(moves->context);
        if (status == SEL_OK && text->failed)
            status = sel_fail_memory(moves->context);
        if (status == SEL_OK)
            status = sel_begin_unfinished(moves->context, moves->items[i].temporary);
        if (status == SEL_OK)
            status = sel_write_file(moves->context, moves->items[i].temporary,
                text->chars ? text->chars : "", text->length, true);
        moves->items[i].written = status == SEL_OK;
    }
    return status;
}

// A second name for what stands there, so that the place is never empty; where the file system
// knows no second names (as on memory sticks), the file steps aside.
static bool keep_earlier(struct move *move) {
    unlink(move->kept);
    move->replaced = link(move->path, move->kept) == 0 || rename(move->path, move->kept) == 0;
    return move->replaced || errno == ENOENT;
}

static sel_status move_all(struct moves *moves) {
    for (size_t i = 0; i < moves->folder->count; i++) {
        struct move *move = &moves->items[i];
        if (!keep_earlier(move) || rename(move->temporary, move->path) != 0)
            return sel_fail(moves->context, SEL_IO,
                "%s: cannot be moved into place: %s: nothing was changed; choose a folder that can "
                "be written to",
                move->path, strerror(errno));
        move->moved = true;
    }
    return SEL_OK;
}

// Two names of one file are not moved onto each other, so the second is taken away as well.
static void put_back(struct moves *moves) {
    for (size_t i = 0; i < moves->folder->count; i++) {
        struct move *move = &moves->items[i];
        if (move->replaced && rename(move->kept, move->path) == 0)
            unlink(move->kept);
        else if (move->moved && !move->replaced)
            unlink(move->path);
        if (move->written && !move->moved)
            unlink(move->temporary);
    }
}

static void drop_earlier(struct moves *moves) {
    for (size_t i = 0; i < moves->folder->count; i++)
        if (moves->items[i].replaced)
            unlink(moves->items[i].kept);
}

sel_status sel_folder_write(sel_context *context, const struct sel_folder *folder, bool overwrite) {
    struct moves moves = {.context = context, .folder = folder};
    bool made = false;
    sel_status status = sel_folder_check(context, folder, overwrite);
    if (status == SEL_OK)
        status = sel_make_folder(context, folder->path, &made);
    if (status != SEL_OK)
        return status;
    bool named = name_moves(&moves);
    status = named ? write_all(&moves) : sel_fail_memory(context);
    if (status == SEL_OK)
        status = sel_check_cancel(context);
    if (named && status == SEL_OK)
        status = move_all(&moves);
    if (status == SEL_OK)
        drop_earlier(&moves);
    else
        put_back(&moves);
    if (status != SEL_OK && made)
        rmdir(folder->path);
    free_moves(&moves);
    return status;
}
