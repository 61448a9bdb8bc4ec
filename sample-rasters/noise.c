// SPDX-License-Identifier: MIT
//
// Random numbers that depend on the place and a salt alone, and smooth noise made from them:
// value noise on a square lattice with the quintic fade of Perlin (2002), summed over octaves.
#include <math.h>

#include "valley.h"

// An integer mixer (multiply and xor-shift rounds); any good one would do.
static uint32_t mix(uint32_t bits) {
    bits ^= bits >> 16;
    bits *= 0x7feb352dU;
    bits ^= bits >> 15;
    bits *= 0x846ca68bU;
    bits ^= bits >> 16;
    return bits;
}

uint32_t hash_place(int32_t x, int32_t y, uint32_t salt) {
    return mix((uint32_t)x + mix((uint32_t)y + mix(salt + 0x9e3779b9U)));
}

double hash_unit(int32_t x, int32_t y, uint32_t salt) {
    return hash_place(x, y, salt) / 4294967296.0;
}

static double fade(double t) {
    return t * t * t * (t * (t * 6 - 15) + 10);
}

static double corner(double x, double y, uint32_t salt) {
    return 2 * hash_unit((int32_t)x, (int32_t)y, salt) - 1;
}

double noise(double x, double y, double wavelength, uint32_t salt) {
    double column = floor(x / wavelength), row = floor(y / wavelength);
    double u = fade(x / wavelength - column), v = fade(y / wavelength - row);
    double north =
        corner(column, row, salt) + u * (corner(column + 1, row, salt) - corner(column, row, salt));
    double south = corner(column, row + 1, salt) +
                   u * (corner(column + 1, row + 1, salt) - corner(column, row + 1, salt));
    return north + v * (south - north);
}

double fractal(double x, double y, double wavelength, int octaves, uint32_t salt) {
    double sum = 0, amplitude = 1;
    for (int octave = 0; octave < octaves; octave++) {
        sum += amplitude *
               noise(x + 137 * octave, y - 71 * octave, wavelength, salt + (uint32_t)octave);
        wavelength /= 2;
        amplitude /= 2;
    }
    return sum;
}
