// SPDX-License-Identifier: MIT
//
// How walking ground is cut into windows: cores tile the ground, windows hold their halo and fit
// the memory.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>

#include "survey/walk.h"

// Cells of 20 m, an hour: 253 cells of halo, chunks of 256.
static struct sel_job job_of(int64_t rows, int64_t cols) {
    struct sel_job job = {0};
    job.walking = (struct sel_walk_rule){.in_use = true,
        .per_row = 2,
        .per_col = 2,
        .rows = rows,
        .cols = cols,
        .cell_x_m = 20,
        .cell_y_m = 20,
        .limit_min = 60,
        .halo = 253,
        .chunk = 256};
    return job;
}

static struct sel_window all_chunks(const struct sel_job *job) {
    return (struct sel_window){
        0, 0, (job->walking.rows + 255) / 256, (job->walking.cols + 255) / 256};
}

// Every cell of the chunks lies in exactly one core: their areas add up and none leaves the ground.
static void check_cores(const struct sel_job *job, const struct sel_walk_cut *cut) {
    double sum = 0, largest_row = 0, largest_col = 0;
    int64_t row_end = 0, col_end = 0;
    for (int64_t i = 0; i < cut->rows * cut->cols; i++) {
        struct sel_window core = sel_walk_core(job, cut, i);
        struct sel_window window = sel_walk_window(job, cut, i);
        assert_true(core.rows > 0 && core.cols > 0);
        assert_int_equal(core.row, i / cut->cols == 0 ? cut->chunks.row * 256 : row_end);
        assert_int_equal(core.col, i % cut->cols == 0 ? cut->chunks.col * 256 : col_end);
        col_end = core.col + core.cols;
        if (i % cut->cols == cut->cols - 1)
            row_end = core.row + core.rows;
        assert_true(window.row >= 0 && window.row + window.rows <= job->walking.rows);
        assert_true(window.col >= 0 && window.col + window.cols <= job->walking.cols);
        assert_true(window.row == 0 || window.row <= core.row - 256);
        assert_true(window.col == 0 || window.col <= core.col - 256);
        assert_true(window.row + window.rows == job->walking.rows ||
                    window.row + window.rows >= core.row + core.rows + 256);
        assert_true(window.col + window.cols == job->walking.cols ||
                    window.col + window.cols >= core.col + core.cols + 256);
        sum += (double)sel_window_cells(core);
        largest_row = fmax(largest_row, (double)(core.row + core.rows));
        largest_col = fmax(largest_col, (double)(core.col + core.cols));
    }
    assert_true(sum == (largest_row - (double)cut->chunks.row * 256) *
                           (largest_col - (double)cut->chunks.col * 256));
}

static double largest_window(const struct sel_job *job, const struct sel_walk_cut *cut) {
    double largest = 0;
    for (int64_t i = 0; i < cut->rows * cut->cols; i++)
        largest = fmax(largest, (double)sel_window_cells(sel_walk_window(job, cut, i)));
    return largest;
}

static void small_ground_is_one_window(void **state) {
    (void)state;
    struct sel_job job = job_of(2000, 2000);
    struct sel_walk_cut cut =
        sel_walk_cut_of(&job, all_chunks(&job), &(sel_run_options){.threads = 1});
    assert_int_equal(cut.rows * cut.cols, 1);
    struct sel_window window = sel_walk_window(&job, &cut, 0);
    assert_true(window.rows == 2000 && window.cols == 2000);
    check_cores(&job, &cut);
}

static void two_threads_get_a_window_each_where_it_pays(void **state) {
    (void)state;
    struct sel_job job = job_of(2000, 2000);
    struct sel_walk_cut cut =
        sel_walk_cut_of(&job, all_chunks(&job), &(sel_run_options){.threads = 2});
    assert_int_equal(cut.rows * cut.cols, 2);
    check_cores(&job, &cut);
    job = job_of(700, 700); // halos would be most of it
    cut = sel_walk_cut_of(&job, all_chunks(&job), &(sel_run_options){.threads = 2});
    assert_int_equal(cut.rows * cut.cols, 1);
}

static void large_ground_is_cut_to_fit_the_memory(void **state) {
    (void)state;
    struct sel_job job = job_of(20011, 31007);
    struct sel_walk_cut cut =
        sel_walk_cut_of(&job, all_chunks(&job), &(sel_run_options){.threads = 1});
    check_cores(&job, &cut);
    assert_true(largest_window(&job, &cut) <= 5.2e6);
    assert_true(cut.rows * cut.cols < 310); // 620 million cells: at least two million to a core
    sel_run_options told = {.threads = 4, .memory_mb = 256};
    cut = sel_walk_cut_of(&job, all_chunks(&job), &told);
    check_cores(&job, &cut);
    assert_true(largest_window(&job, &cut) * 20 * 4 <= 128.0 * 1048576);
}

static void a_piece_of_the_ground_is_cut_alone(void **state) {
    (void)state;
    struct sel_job job = job_of(20011, 31007);
    struct sel_window chunks = {17, 33, 4, 9};
    struct sel_walk_cut cut = sel_walk_cut_of(&job, chunks, &(sel_run_options){.threads = 3});
    check_cores(&job, &cut);
    struct sel_window core = sel_walk_core(&job, &cut, 0);
    assert_true(core.row == 17 * 256 && core.col == 33 * 256);
}

// However little memory is told, cores stay worth their halos.
static void cores_are_never_narrower_than_half_a_halo(void **state) {
    (void)state;
    struct sel_job job = job_of(9000, 9000);
    sel_run_options told = {.threads = 8, .memory_mb = 1};
    struct sel_walk_cut cut = sel_walk_cut_of(&job, all_chunks(&job), &told);
    check_cores(&job, &cut);
    for (int64_t i = 0; i < cut.rows * cut.cols; i++) {
        struct sel_window core = sel_walk_core(&job, &cut, i);
        assert_true(core.row + core.rows == 9000 || core.rows >= 126);
        assert_true(core.col + core.cols == 9000 || core.cols >= 126);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(small_ground_is_one_window),
        cmocka_unit_test(two_threads_get_a_window_each_where_it_pays),
        cmocka_unit_test(large_ground_is_cut_to_fit_the_memory),
        cmocka_unit_test(a_piece_of_the_ground_is_cut_alone),
        cmocka_unit_test(cores_are_never_narrower_than_half_a_halo),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
