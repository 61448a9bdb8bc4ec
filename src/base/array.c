// SPDX-License-Identifier: MIT
//
// Doubling growth with an overflow check.
#include "base/array.h"

#include <stdint.h>
#include <stdlib.h>

enum { FIRST_CAPACITY = 16 };

void *sel_grow(void *items, size_t needed, size_t *capacity, size_t size) {
    if (items && needed <= *capacity)
        return items;
    size_t wanted = *capacity > SIZE_MAX / 2 ? needed : 2 * *capacity;
    if (wanted < needed)
        wanted = needed;
    if (wanted < FIRST_CAPACITY)
        wanted = FIRST_CAPACITY;
    if (wanted > SIZE_MAX / size)
        return NULL;
    void *grown = realloc(items, wanted * size);
    if (grown)
        *capacity = wanted;
    return grown;
}
