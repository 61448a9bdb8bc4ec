// SPDX-License-Identifier: MIT
//
// The coefficients of the World Magnetic Model 2025: what it knows of the Earth's magnetic field.
#ifndef SEL_FLYWAY_WMM2025_H
#define SEL_FLYWAY_WMM2025_H

enum { SEL_WMM_DEGREE = 12, SEL_WMM_TERMS = SEL_WMM_DEGREE * (SEL_WMM_DEGREE + 3) / 2 };

static const double SEL_WMM_EPOCH = 2025.0, SEL_WMM_END = 2030.0; // decimal years, both included

// One Schmidt semi-normalised spherical harmonic of the field's potential.
struct sel_wmm_term {
    int degree, order;
    double g, h;           // nT, at the epoch
    double g_rate, h_rate; // nT a year
};

// By degree, then order; from (1, 0) to (12, 12).
extern const struct sel_wmm_term sel_wmm2025[SEL_WMM_TERMS];

#endif
