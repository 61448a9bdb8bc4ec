// SPDX-License-Identifier: MIT
#include "shared_context.h"

sel_context *context;

int make_context(void **state) {
    (void)state;
    context = sel_context_new();
    return context ? 0 : -1;
}

int free_context(void **state) {
    (void)state;
    sel_context_free(context);
    return 0;
}
