// SPDX-License-Identifier: MIT
//
// Independent normal variates times the Cholesky factor of the covariance. A millionth of the
// variance is added to the diagonal: places much nearer than the range make the matrix all but
// singular.
#include "score/field.h"

#include <math.h>

static const double NUGGET = 1e-6; // of the variance

static double covariance(
    const double a[2], const double b[2], double deviation, double range, bool same) {
    double dx = (a[0] - b[0]) / range, dy = (a[1] - b[1]) / range;
    return deviation * deviation * (exp(-dx * dx - dy * dy) + (same ? NUGGET : 0));
}

bool sel_field_init(
    struct sel_field *field, const double (*places)[2], int count, double deviation, double range) {
    if (count > SEL_FIELD_PLACES_MOST)
        return false;
    field->count = count;
    for (int row = 0; row < count; row++) {
        for (int col = 0; col <= row; col++) {
            double rest = covariance(places[row], places[col], deviation, range, row == col);
            for (int k = 0; k < col; k++)
                rest -= field->factor[row][k] * field->factor[col][k];
            if (row == col)
                field->factor[row][col] = sqrt(fmax(rest, 0));
            else
                field->factor[row][col] =
                    field->factor[col][col] > 0 ? rest / field->factor[col][col] : 0;
        }
    }
    return true;
}

void sel_field_draw(const struct sel_field *field, struct sel_random *random, double *errors) {
    double normal[SEL_FIELD_PLACES_MOST];
    for (int i = 0; i < field->count; i++) {
        normal[i] = sel_random_normal(random);
        errors[i] = 0;
        for (int k = 0; k <= i; k++)
            errors[i] += field->factor[i][k] * normal[k];
    }
}
