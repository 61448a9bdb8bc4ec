// SPDX-License-Identifier: MIT
#include "reference_page.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/files.h"

void reference_page_is(const char *name, struct sel_text *text) {
    char path[1024];
    snprintf(path, sizeof path, "%s/docs/%s", SEL_TEST_SOURCE, name);
    sel_context *context = sel_context_new();
    assert_false(text->failed);
    const char *regenerate = getenv("SELVEDGE_REGENERATE");
    if (regenerate && strcmp(regenerate, "1") == 0)
        assert_int_equal(sel_write_file(context, path, text->chars, text->length, true), SEL_OK);
    char *page = NULL;
    size_t length = 0;
    assert_int_equal(sel_read_file(context, path, 1 << 20, &page, &length), SEL_OK);
    if (strcmp(page, text->chars) != 0)
        fail_msg("docs/%s is not what the tables in the code say: run this test with "
                 "SELVEDGE_REGENERATE=1 and look at the change",
            name);
    free(page);
    sel_text_clear(text);
    sel_context_free(context);
}
