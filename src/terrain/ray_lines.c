#include "terrain/ray.h"

#include <math.h>
#include <stddef.h>

static const int64_t ALMOST_ONE = 0xffffffff; // in 2^-32

static int64_t most(int64_t a, int64_t b) { return a > b ? a : b; }
static int64_t least(int64_t a, int64_t b) { return a < b ? a : b; }

static int64_t lines_inside(const struct sel_ray_run *run, int64_t mains, int64_t minors) {
    int64_t limit = (minors - 1) * (ALMOST_ONE + 1);
    if (run->main < 0 || run->main >= mains || run->minor < 0 || run->minor > limit)
        return 0;
    int64_t ahead = run->sign > 0 ? mains - run->main : run->main + 1;
    if (run->slope > 0)
        ahead = least(ahead, (limit - run->minor) / run->slope + 1);
    if (run->slope < 0)
        ahead = least(ahead, run->minor / -run->slope + 1);
    return ahead;
}

static struct sel_ray_run begin(const struct sel_ray_start *start,
    const struct sel_ray_lines *lines, bool along_x, int64_t from, int64_t to) {
    const struct sel_window *window = &start->level->window;
    struct sel_ray_run run;
    int64_t blocks_across = (window->cols + SEL_SURFACE_BLOCK - 1) / SEL_SURFACE_BLOCK;
    run.main_stride = along_x ? 1 : window->cols;
    run.minor_stride = along_x ? window->cols : 1;
    run.block_main_stride = along_x ? 1 : blocks_across;
    run.block_minor_stride = along_x ? blocks_across : 1;
    run.sign = lines->sign;
    run.slope = lines->slope;
    run.line_m = lines->line_m * (float)(1 << 2 * start->number);
    int64_t place = lines->sign * (along_x ? start->x : start->y);
    int64_t first = ((place + from) >> 32) + 1;
    int64_t ahead = first * (ALMOST_ONE + 1) - place;
    run.count = most(0, ((place + to) >> 32) - first + 1);
    run.main = lines->sign * first;
    run.lines = (float)ahead * 0x1p-32f;
    run.minor = (along_x ? start->y : start->x) + (ahead >> 27) * (run.slope >> 5);
    return run;
}

static inline float interpolate(const float *line, int64_t stride, int64_t minor) {
    int64_t before = minor >> 32, after = (minor + ALMOST_ONE) >> 32;
    float share = (float)(int32_t)((uint32_t)minor >> 8) * 0x1p-24f;
    return line[before * stride] * (1.0f - share) + line[after * stride] * share;
}

static int64_t cross_lines(const struct sel_ray_run *run, const float *heights, int64_t count,
    float eye_m, float *tangent) {
    const float *line = heights + run->main * run->main_stride;
    int64_t step = run->sign * run->main_stride, stride = run->minor_stride;
    int64_t minor = run->minor, slope = run->slope, raised = -1;
    float highest = *tangent, lines = run->lines, line_m = run->line_m;
    for (int64_t i = 0; i < count; i++) {
        float distance_m = lines * line_m;
        float rise = interpolate(line, stride, minor) - eye_m;
        if (rise > distance_m * (highest + SEL_RAY_DROP * distance_m)) {
            highest = rise / distance_m - SEL_RAY_DROP * distance_m;
            raised = i;
        }
        line += step;
        minor += slope;
        lines += 1.0f;
    }
    *tangent = highest;
    return raised;
}

static bool meets_unknown(const struct sel_ray_run *run, const float *heights, int64_t count) {
    const float *line = heights + run->main * run->main_stride;
    for (int64_t i = 0; i < count; i++)
        if (isnan(interpolate(line + i * run->sign * run->main_stride, run->minor_stride,
                run->minor + i * run->slope)))
            return true;
    return false;
}

struct reach {
    float height_m;
    bool unknown;
};

static inline struct reach block_reach(const struct sel_ray_run *run,
    const struct sel_surface_bound *bounds, int64_t count, bool canopy) {
    int64_t a = run->minor, b = run->minor + run->slope * (count - 1);
    int64_t low = (a < b ? a : b) >> 36, high = ((a < b ? b : a) + ALMOST_ONE) >> 36;
    const struct sel_surface_bound *row =
        bounds + (run->main / SEL_SURFACE_BLOCK) * run->block_main_stride;
    const struct sel_surface_bound *one = row + low * run->block_minor_stride;
    const struct sel_surface_bound *two = row + high * run->block_minor_stride;
    float h1 = canopy ? one->canopy_top_m : one->ground_m;
    float h2 = canopy ? two->canopy_top_m : two->ground_m;
    return (struct reach){h1 > h2 ? h1 : h2, one->unknown || two->unknown};
}

void sel_ray_ground(
    const struct sel_ray_start *start, const struct sel_horizon_ray *ray, struct sel_sight *sight) {
    int l = start->number;
    struct sel_ray_run run = begin(start, &ray->main, ray->along_x, ray->from[l], ray->to[l]);
    const struct sel_surface_level *level = start->level;
    if (!start->roomy) {
        int64_t wanted = run.count;
        run.count = least(wanted, lines_inside(&run, ray->along_x ? level->window.cols : level->window.rows, ray->along_x ? level->window.rows : level->window.cols));
        sight->incomplete |= run.count < wanted;
    }
    while (run.count > 0) {
        int64_t count = sel_ray_lines_in_block(&run);
        struct reach reach = {INFINITY, true};
        if (level->bounds)
            reach = block_reach(&run, level->bounds, count, false);
        if (reach.unknown && !sight->incomplete)
            sight->incomplete = meets_unknown(&run, level->ground_m, count);
        float d = run.lines * run.line_m;
        if (reach.height_m + SEL_RAY_MARGIN_M - start->eye_m > d * (sight->tangent + SEL_RAY_DROP * d))
            cross_lines(&run, level->ground_m, count, start->eye_m, &sight->tangent);
        sel_ray_pass(&run, count);
    }
    if (l == 0 && ray->cross.sign) {
        run = begin(start, &ray->cross, !ray->along_x, 0, ray->cross_to);
        if (!start->roomy)
            run.count = least(run.count, lines_inside(&run, !ray->along_x ? level->window.cols : level->window.rows, !ray->along_x ? level->window.rows : level->window.cols));
        cross_lines(&run, level->ground_m, run.count, start->eye_m, &sight->tangent);
    }
}

static float line_cover(const struct sel_ray_run *run, const struct sel_surface_level *level, int64_t i) {
    int64_t line = (run->main + i * run->sign) * run->main_stride;
    int64_t minor = run->minor + i * run->slope;
    int64_t a = line + (minor >> 32) * run->minor_stride, b = line + ((minor + ALMOST_ONE) >> 32) * run->minor_stride;
    float share = (float)(int32_t)((uint32_t)minor >> 8) * 0x1p-24f;
    float wa = level->canopy_top_m[a] > level->ground_m[a] ? 1.0f - share : 0.0f;
    float wb = level->canopy_top_m[b] > level->ground_m[b] ? share : 0.0f;
    if (!(wa + wb > 0.0f))
        return 0.0f;
    return (wa * (float)level->cover[a] + wb * (float)level->cover[b]) / (255.0f * (wa + wb));
}

void sel_ray_canopy(
    const struct sel_ray_start *start, const struct sel_horizon_ray *ray, struct sel_sight *sight) {
    int l = start->number;
    struct sel_ray_run run = begin(start, &ray->main, ray->along_x, ray->from[l], ray->to[l]);
    const struct sel_surface_level *level = start->level;
    if (!start->roomy)
        run.count = least(run.count, lines_inside(&run, ray->along_x ? level->window.cols : level->window.rows, ray->along_x ? level->window.rows : level->window.cols));
    while (run.count > 0) {
        int64_t count = sel_ray_lines_in_block(&run);
        struct reach reach = {INFINITY, true};
        if (level->bounds)
            reach = block_reach(&run, level->bounds, count, true);
        float d = run.lines * run.line_m;
        if (reach.height_m + SEL_RAY_MARGIN_M - start->eye_m > d * (sight->tangent + SEL_RAY_DROP * d)) {
            int64_t raised = cross_lines(&run, level->canopy_top_m, count, start->eye_m, &sight->tangent);
            if (raised >= 0)
                sight->cover = line_cover(&run, level, raised);
        }
        sel_ray_pass(&run, count);
    }
}

// ---- boxes
static const int64_t HALF = (int64_t)1 << 31;

static void box(const struct sel_ray_start *start, int64_t at, float d_in, float d_out, struct sel_sight *sight) {
    const struct sel_surface_level *level = start->level;
    if (!(level->canopy_top_m[at] > level->ground_m[at]) || d_out <= start->opening_m)
        return;
    float d = d_in > start->opening_m ? d_in : start->opening_m;
    float rise = level->canopy_top_m[at] - start->eye_m;
    if (rise > d * (sight->tangent + SEL_RAY_DROP * d)) {
        sight->tangent = rise / d - SEL_RAY_DROP * d;
        sight->cover = (float)level->cover[at] * (1.0f / 255.0f);
    }
}

static void slab(const struct sel_ray_start *start, const struct sel_ray_run *run, int64_t main, int64_t minor_in,
    int64_t minor_out, float in, float out, struct sel_sight *sight) {
    int64_t entry = (minor_in - (run->slope < 0)) >> 32, leave = (minor_out - (run->slope >= 0)) >> 32;
    int64_t line = main * run->main_stride;
    int64_t at = line + entry * run->minor_stride, then = line + leave * run->minor_stride;
    if (entry == leave) {
        box(start, at, in * run->line_m, out * run->line_m, sight);
    } else if (run->slope == 0) {
        float before = sight->tangent;
        box(start, at, in * run->line_m, out * run->line_m, sight);
        box(start, then, in * run->line_m, out * run->line_m, sight);
        if (sight->tangent > before) {
            const struct sel_surface_level *v = start->level;
            int c = (v->canopy_top_m[at] > v->ground_m[at] ? v->cover[at] : 0) + (v->canopy_top_m[then] > v->ground_m[then] ? v->cover[then] : 0);
            sight->cover = (float)c * (1.0f / 510.0f);
        }
    } else {
        int64_t border = (run->slope > 0 ? leave : entry) * (ALMOST_ONE + 1);
        float cross = in + (float)((double)(border - minor_in) / (double)run->slope);
        box(start, at, in * run->line_m, cross * run->line_m, sight);
        box(start, then, cross * run->line_m, out * run->line_m, sight);
    }
}

static void cross_slabs(const struct sel_ray_start *start, struct sel_ray_run *run, int64_t count, struct sel_sight *sight) {
    const float *top = start->level->canopy_top_m;
    int64_t down = run->slope < 0, up = run->slope >= 0;
    float eye = start->eye_m;
    for (int64_t i = 0; i < count; i++) {
        const float *line = top + run->main * run->main_stride;
        int64_t next = run->minor + run->slope;
        float a = line[((run->minor - down) >> 32) * run->minor_stride];
        float b = line[((next - up) >> 32) * run->minor_stride];
        float d = run->lines * run->line_m;
        d = d > start->opening_m ? d : start->opening_m;
        if ((a > b ? a : b) - eye > d * (sight->tangent + SEL_RAY_DROP * d))
            slab(start, run, run->main, run->minor, next, run->lines, run->lines + 1.0f, sight);
        run->main += run->sign;
        run->minor = next;
        run->lines += 1.0f;
    }
}

void sel_ray_boxes(
    const struct sel_ray_start *start, const struct sel_horizon_ray *ray, struct sel_sight *sight) {
    const struct sel_surface_level *level = start->level;
    bool along_x = ray->along_x;
    int64_t mains = along_x ? level->window.cols : level->window.rows, minors = along_x ? level->window.rows : level->window.cols;
    struct sel_ray_run run = begin(start, &ray->main, along_x, 0, 0);
    int64_t place = ray->main.sign * ((along_x ? start->x : start->y) + HALF);
    int64_t v = (along_x ? start->y : start->x) + HALF;
    int64_t first = (place + ray->opening) >> 32;
    int64_t last = (place + ray->to[0]) >> 32;
    int64_t ahead = first * (ALMOST_ONE + 1) - place;
    run.main = run.sign > 0 ? first : -first - 1;
    run.minor = v + (ahead >> 27) * (run.slope >> 5);
    run.lines = (float)ahead * 0x1p-32f;
    run.count = last - first + 1;
    if (!start->roomy) {
        // slabs inside: entry and exit within
        int64_t n = run.sign > 0 ? mains - run.main : run.main + 1;
        int64_t limit = minors * (ALMOST_ONE + 1) - 1;
        if (run.main < 0 || run.main >= mains) n = 0;
        int64_t lo = 1;
        int64_t from = ahead < 0 ? v : run.minor;
        if (from < lo || from > limit) n = 0;
        if (run.slope > 0) n = least(n, (limit - run.minor) / run.slope);
        if (run.slope < 0) n = least(n, (run.minor - lo) / -run.slope);
        run.count = least(run.count, n);
    }
    if (run.count > 0 && ahead < 0) {
        slab(start, &run, run.main, v, run.minor + run.slope, 0.0f, run.lines + 1.0f, sight);
        sel_ray_pass(&run, 1);
    }
    while (run.count > 0) {
        int64_t count = sel_ray_lines_in_block(&run);
        float top = INFINITY;
        if (level->bounds) {
            int64_t a = run.minor, b = run.minor + run.slope * count;
            int64_t low = ((a < b ? a : b) - 1) >> 36, high = (a < b ? b : a) >> 36;
            const struct sel_surface_bound *row = level->bounds + (run.main / SEL_SURFACE_BLOCK) * run.block_main_stride;
            top = -INFINITY;
            for (int64_t k = low; k <= high; k++)
                if (row[k * run.block_minor_stride].canopy_top_m > top)
                    top = row[k * run.block_minor_stride].canopy_top_m;
        }
        float d = run.lines * run.line_m;
        d = d > start->opening_m ? d : start->opening_m;
        if (top - start->eye_m > d * (sight->tangent + SEL_RAY_DROP * d)) {
            run.count -= count;
            cross_slabs(start, &run, count, sight);
        } else
            sel_ray_pass(&run, count);
    }
}
