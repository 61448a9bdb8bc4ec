// SPDX-License-Identifier: MIT
//
// Drawn and random habitat scenes. Written apart from the program's own crack search.
#include "flyway_scene.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PATCHES_MOST = 4096 };

static struct flyway_scene new_scene(struct sel_window window) {
    struct flyway_scene scene = {.ids = calloc(sel_window_cells(window), 1)};
    if (!scene.ids)
        abort();
    scene.view = (struct sel_habitat_view){.window = window, .ids = scene.ids};
    return scene;
}

void flyway_scene_free(struct flyway_scene *scene) {
    free(scene->ids);
    *scene = (struct flyway_scene){0};
}

struct flyway_scene flyway_draw(const char *const *rows, int count) {
    int64_t cols = (int64_t)strlen(rows[0]);
    struct flyway_scene scene = new_scene((struct sel_window){0, 0, count, cols});
    for (int64_t row = 0; row < count; row++)
        for (int64_t col = 0; col < cols; col++) {
            char drawn = rows[row][col];
            scene.ids[row * cols + col] = (sel_habitat_id)(drawn == '.' ? 0 : drawn - 'A' + 1);
        }
    return scene;
}

double flyway_random(uint64_t *state) {
    *state ^= *state >> 12;
    *state ^= *state << 25;
    *state ^= *state >> 27;
    return (double)(*state * 0x2545f4914f6cdd1du >> 11) * 0x1p-53;
}

int flyway_random_below(uint64_t *state, int end) {
    return (int)(flyway_random(state) * end);
}

struct patch {
    double row, col;
    sel_habitat_id id;
};

static sel_habitat_id nearest_patch(
    const struct patch *patches, int count, int64_t row, int64_t col) {
    double best = HUGE_VAL;
    sel_habitat_id id = 0;
    for (int i = 0; i < count; i++) {
        double away = hypot(patches[i].row - (double)row, patches[i].col - (double)col);
        if (away < best) {
            best = away;
            id = patches[i].id;
        }
    }
    return id;
}

struct flyway_scene flyway_patchy(
    int64_t rows, int64_t cols, int patch, int habitats, uint64_t *random) {
    static struct patch patches[PATCHES_MOST];
    int count = (int)(rows * cols) / (patch * patch) + 1;
    for (int i = 0; i < count; i++)
        patches[i] = (struct patch){flyway_random(random) * (double)rows,
            flyway_random(random) * (double)cols,
            (sel_habitat_id)(flyway_random(random) < 0.05
                                 ? 0
                                 : 1 + flyway_random_below(random, habitats))};
    struct flyway_scene scene = new_scene((struct sel_window){0, 0, rows, cols});
    for (int64_t row = 0; row < rows; row++)
        for (int64_t col = 0; col < cols; col++)
            scene.ids[row * cols + col] =
                flyway_random(random) < 0.03
                    ? (sel_habitat_id)flyway_random_below(random, habitats + 1)
                    : nearest_patch(patches, count, row, col);
    return scene;
}

struct flyway_scene flyway_shifted(const struct flyway_scene *scene, int64_t rows, int64_t cols) {
    struct sel_window window = scene->view.window;
    window.row += rows;
    window.col += cols;
    struct flyway_scene shifted = new_scene(window);
    memcpy(shifted.ids, scene->ids, sel_window_cells(window));
    return shifted;
}

struct flyway_scene flyway_mirrored(const struct flyway_scene *scene) {
    struct sel_window window = scene->view.window;
    struct flyway_scene mirrored = new_scene(window);
    for (int64_t row = 0; row < window.rows; row++)
        for (int64_t col = 0; col < window.cols; col++)
            mirrored.ids[row * window.cols + window.cols - 1 - col] =
                scene->ids[row * window.cols + col];
    return mirrored;
}

struct flyway_scene flyway_turned(const struct flyway_scene *scene) {
    struct sel_window window = scene->view.window;
    struct flyway_scene turned = new_scene((struct sel_window){0, 0, window.cols, window.rows});
    for (int64_t row = 0; row < window.rows; row++)
        for (int64_t col = 0; col < window.cols; col++)
            turned.ids[col * window.rows + window.rows - 1 - row] =
                scene->ids[row * window.cols + col];
    return turned;
}

struct sel_crack flyway_shift_crack(struct sel_crack crack, int64_t rows, int64_t cols) {
    crack.hx += (int32_t)(2 * cols);
    crack.hy += (int32_t)(2 * rows);
    return crack;
}

struct sel_crack flyway_mirror_crack(const struct flyway_scene *scene, struct sel_crack crack) {
    crack.hx = (int32_t)(2 * scene->view.window.cols) - crack.hx;
    crack.a_first = crack.hx % 2 == 0 ? !crack.a_first : crack.a_first;
    return crack;
}

struct sel_crack flyway_turn_crack(const struct flyway_scene *scene, struct sel_crack crack) {
    int32_t hx = (int32_t)(2 * scene->view.window.rows) - crack.hy;
    crack.a_first = crack.hx % 2 != 0 ? !crack.a_first : crack.a_first;
    crack.hy = crack.hx;
    crack.hx = hx;
    return crack;
}

static bool make_crack(
    const struct flyway_scene *scene, int32_t hx, int32_t hy, struct sel_crack *crack) {
    const struct sel_habitat_view *view = &scene->view;
    int64_t row = hy / 2, col = hx / 2;
    sel_habitat_id second = sel_view_at(view, row, col);
    sel_habitat_id first =
        hx % 2 == 0 ? sel_view_at(view, row, col - 1) : sel_view_at(view, row - 1, col);
    *crack = (struct sel_crack){.hx = hx,
        .hy = hy,
        .a = first < second ? first : second,
        .b = first < second ? second : first,
        .a_first = first < second};
    return first != 0 && second != 0 && first != second;
}

struct sel_crack flyway_crack_at(const struct flyway_scene *scene, int32_t hx, int32_t hy) {
    struct sel_crack crack;
    if (!make_crack(scene, hx, hy, &crack))
        abort();
    return crack;
}

size_t flyway_all_cracks(const struct flyway_scene *scene, struct sel_crack *cracks, size_t most) {
    size_t count = 0;
    int32_t rows = (int32_t)scene->view.window.rows, cols = (int32_t)scene->view.window.cols;
    for (int32_t hy = 0; hy < 2 * rows; hy++)
        for (int32_t hx = 1 - hy % 2; hx < 2 * cols; hx += 2)
            if (count < most && make_crack(scene, hx, hy, &cracks[count]))
                count++;
    return count;
}

struct sel_tangent flyway_tangent(struct vec2 toward_a) {
    toward_a = vec2_scale(toward_a, 1 / vec2_length(toward_a));
    struct vec2 along = {-toward_a.y, toward_a.x};
    if (along.x < 0 || (along.x == 0 && along.y < 0))
        along = vec2_scale(along, -1);
    return (struct sel_tangent){.along = along, .toward_a = toward_a, .straightness = 1};
}

struct sel_contrast flyway_contrast(int count, const double *values) {
    struct sel_contrast contrast = {
        .count = count, .values = calloc((size_t)((count + 1) * (count + 1)), sizeof(float))};
    if (!contrast.values)
        abort();
    for (int a = 1; a <= count; a++)
        for (int b = 1; b <= count; b++)
            contrast.values[a * (count + 1) + b] = (float)values[(a - 1) * count + b - 1];
    return contrast;
}
