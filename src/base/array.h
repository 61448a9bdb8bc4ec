// SPDX-License-Identifier: MIT
//
// Growing arrays: one function for all element types.
#ifndef SEL_BASE_ARRAY_H
#define SEL_BASE_ARRAY_H

#include <stddef.h>

// Makes room for at least `needed` elements of `size` bytes; doubles, so that appending is cheap.
// Returns the (perhaps moved) array, or NULL when memory is out or the byte count overflows; then
// `items` and `*capacity` are unchanged.
void *sel_grow(void *items, size_t needed, size_t *capacity, size_t size);

#endif
