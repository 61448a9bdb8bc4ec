// SPDX-License-Identifier: MIT
//
// Colours of our own, reckoned in OKLab (Ottosson 2020, "A perceptual color space for image
// processing"), where equal distances look about equally different. Red-green blindness is
// simulated with the full-severity matrices of Machado, Oliveira & Fernandes (2009), IEEE
// Transactions on Visualization and Computer Graphics 15 (6). No published legend is followed.
#include "output/palette.h"

#include <math.h>
#include <stddef.h>

struct lab {
    double light, a, b;
};

struct linear {
    double red, green, blue;
};

// One colour as three kinds of eye see it.
struct seen {
    struct lab by[3];
};

// Far enough apart to be told apart on a map; when none is, the farthest is taken.
static const double APART = 0.085;

static const double DEGREE = 0.017453292519943295;

// --- colour spaces ---

static double linear_of(uint8_t channel) {
    double value = channel / 255.0;
    return value <= 0.04045 ? value / 12.92 : pow((value + 0.055) / 1.055, 2.4);
}

static uint8_t channel_of(double value) {
    double clamped = fmin(1.0, fmax(0.0, value));
    double coded = clamped <= 0.0031308 ? 12.92 * clamped : 1.055 * pow(clamped, 1.0 / 2.4) - 0.055;
    return (uint8_t)lround(255.0 * coded);
}

static struct lab lab_of(struct linear c) {
    double l = cbrt(0.4122214708 * c.red + 0.5363325363 * c.green + 0.0514459929 * c.blue);
    double m = cbrt(0.2119034982 * c.red + 0.6806995451 * c.green + 0.1073969566 * c.blue);
    double s = cbrt(0.0883024619 * c.red + 0.2817188376 * c.green + 0.6299787005 * c.blue);
    return (struct lab){0.2104542553 * l + 0.7936177850 * m - 0.0040720468 * s,
        1.9779984951 * l - 2.4285922050 * m + 0.4505937099 * s,
        0.0259040371 * l + 0.7827717662 * m - 0.8086757660 * s};
}

static struct linear linear_of_lab(struct lab lab) {
    double l = lab.light + 0.3963377774 * lab.a + 0.2158037573 * lab.b;
    double m = lab.light - 0.1055613458 * lab.a - 0.0638541728 * lab.b;
    double s = lab.light - 0.0894841775 * lab.a - 1.2914855480 * lab.b;
    l = l * l * l, m = m * m * m, s = s * s * s;
    return (struct linear){4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
        -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
        -0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s};
}

static bool shown(struct linear c) {
    const double least = -0.0005, most = 1.0005;
    return c.red >= least && c.red <= most && c.green >= least && c.green <= most &&
           c.blue >= least && c.blue <= most;
}

// The colour of a lightness, chroma and hue, with less chroma where a screen cannot show it.
static struct sel_rgb rgb_of(double light, double chroma, double hue_deg) {
    const double step = 0.005;
    struct linear c;
    do {
        struct lab lab = {light, chroma * cos(hue_deg * DEGREE), chroma * sin(hue_deg * DEGREE)};
        c = linear_of_lab(lab);
        chroma -= step;
    } while (!shown(c) && chroma > 0.0);
    return (struct sel_rgb){channel_of(c.red), channel_of(c.green), channel_of(c.blue)};
}

// --- what an eye sees ---

static struct linear through(const double m[9], struct linear c) {
    return (struct linear){fmax(0.0, m[0] * c.red + m[1] * c.green + m[2] * c.blue),
        fmax(0.0, m[3] * c.red + m[4] * c.green + m[5] * c.blue),
        fmax(0.0, m[6] * c.red + m[7] * c.green + m[8] * c.blue)};
}

static struct seen seen_of(struct sel_rgb rgb) {
    static const double PROTAN[9] = {0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216,
        -0.003882, -0.048116, 1.051998};
    static const double DEUTAN[9] = {
        0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881};
    struct linear c = {linear_of(rgb.red), linear_of(rgb.green), linear_of(rgb.blue)};
    return (struct seen){{lab_of(c), lab_of(through(PROTAN, c)), lab_of(through(DEUTAN, c))}};
}

static double seen_distance(const struct seen *a, const struct seen *b) {
    double least = (double)INFINITY;
    for (int eye = 0; eye < 3; eye++) {
        double light = a->by[eye].light - b->by[eye].light;
        double da = a->by[eye].a - b->by[eye].a, db = a->by[eye].b - b->by[eye].b;
        least = fmin(least, sqrt(light * light + da * da + db * db));
    }
    return least;
}

double sel_palette_distance(struct sel_rgb a, struct sel_rgb b) {
    struct seen first = seen_of(a), second = seen_of(b);
    return seen_distance(&first, &second);
}

// --- colours from traits ---

struct tone {
    double light, chroma, hue_deg;
};

static struct tone vegetation_tone(const struct sel_habitat *habitat) {
    // The same scale of canopy as in the contrast of habitats: 0 at the ground, 1 from 25 m up.
    double tall = fmin(1.0, sqrt(fmax(0.0, habitat->canopy_m)) / 5.0);
    double hue = 95.0 + 45.0 * tall * habitat->cover + 95.0 * habitat->wetness * habitat->wetness;
    double light = 0.90 - 0.40 * tall - 0.10 * habitat->wetness;
    return (struct tone){light, 0.07 + 0.04 * habitat->cover, hue};
}

// Neither a place for a trap nor an edge worth much: built-up ground, mostly.
static bool worthless(const struct sel_habitat *habitat) {
    const double little = 0.15;
    return !habitat->trap && habitat->edge <= little;
}

static struct tone tone_of(const struct sel_habitat *habitat) {
    const double bare_m = 0.05;
    if (habitat->water)
        return (struct tone){0.62, 0.115, 245.0};
    bool bare = habitat->canopy_m <= bare_m;
    if (worthless(habitat))
        return (struct tone){0.60, 0.03, 20.0};
    if (bare && habitat->cover <= bare_m)
        return (struct tone){0.86, 0.05, habitat->ground == SEL_GROUND_ROCK ? 40.0 : 75.0};
    return vegetation_tone(habitat);
}

struct sel_rgb sel_palette_base(const struct sel_habitat *habitat) {
    struct tone tone = tone_of(habitat);
    return rgb_of(tone.light, tone.chroma, tone.hue_deg);
}

// --- keeping them apart ---

// Departures from the base, tried from small to large.
static struct tone depart(struct tone base, int step) {
    static const double LIGHT[] = {0, 0.07, -0.07, 0.14, -0.14, 0.21, -0.21};
    static const double HUE[] = {0, 25, -25, 50, -50};
    static const double CHROMA[] = {1.0, 0.5, 1.3};
    enum { LIGHTS = 7, HUES = 5 };
    struct tone tone = base;
    tone.light = fmin(0.95, fmax(0.34, base.light + LIGHT[step % LIGHTS]));
    tone.hue_deg = base.hue_deg + HUE[step / LIGHTS % HUES];
    tone.chroma = base.chroma * CHROMA[step / (LIGHTS * HUES)];
    return tone;
}

enum { DEPARTURES = 7 * 5 * 3 };

static double nearest(const struct seen *colour, const struct seen *others, int count) {
    double least = (double)INFINITY;
    for (int i = 0; i < count; i++)
        least = fmin(least, seen_distance(colour, &others[i]));
    return least;
}

static struct sel_rgb keep_apart(struct tone base, const struct seen *others, int count) {
    struct sel_rgb best = {0, 0, 0};
    double best_distance = -1.0;
    for (int step = 0; step < DEPARTURES && best_distance < APART; step++) {
        struct tone tone = depart(base, step);
        struct sel_rgb rgb = rgb_of(tone.light, tone.chroma, tone.hue_deg);
        struct seen seen = seen_of(rgb);
        double distance = nearest(&seen, others, count);
        if (distance > best_distance) {
            best = rgb;
            best_distance = distance;
        }
    }
    return best;
}

// Colours that readers expect are given out first: water, then what is built or bare, then the
// rest.
static int turn_of(const struct sel_habitat *habitat) {
    if (habitat->water)
        return 0;
    return worthless(habitat) ? 1 : 2;
}

void sel_palette_build(const struct sel_habitats *habitats, struct sel_rgb *colours) {
    struct seen seen[SEL_HABITATS_MOST];
    int given = 0;
    for (int turn = 0; turn < 3; turn++) {
        for (int i = 0; i < habitats->count && i < SEL_HABITATS_MOST; i++) {
            if (turn_of(&habitats->items[i]) != turn)
                continue;
            colours[i] = keep_apart(tone_of(&habitats->items[i]), seen, given);
            seen[given++] = seen_of(colours[i]);
        }
    }
}
