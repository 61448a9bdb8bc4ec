// SPDX-License-Identifier: MIT
//
// libFuzzer entry: any bytes as a survey plan. It must be read or refused, never crash, leak or run
// long. Not part of the ordinary build; from the top folder:
//
//   CC=clang cmake -G Ninja -B build-fuzz -DSELVEDGE_SANITIZE=ON \
//       -DCMAKE_C_FLAGS=-fsanitize=fuzzer-no-link -DSELVEDGE_TESTS=OFF
//   ninja -C build-fuzz libselvedge
//   clang -g -O1 -std=c17 -D_XOPEN_SOURCE=700 -D_DEFAULT_SOURCE \
//       -fsanitize=fuzzer,address,undefined \
//       -Isrc -Iinclude tests/fuzz/fuzz_plan.c build-fuzz/libselvedge.a -o build-fuzz/fuzz_plan \
//       $(pkg-config --libs gdal proj yaml-0.1 cairo libcrypto) -lgeos_c -lm -lpthread
//   build-fuzz/fuzz_plan -max_len=4096 -max_total_time=60
//
// The plan's folder holds no file, so values are reached through paths beginning with /vsi and
// built-in legends.
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "plan/plan.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static sel_status ignore_row(void *user, const char *key, const char *value, bool is_default) {
    (void)user, (void)key, (void)value, (void)is_default;
    return SEL_OK;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    char path[] = "/tmp/selvedge-fuzz-XXXXXX";
    int handle = mkstemp(path);
    FILE *file = handle < 0 ? NULL : fdopen(handle, "wb");
    sel_context *context = sel_context_new();
    if (!file || !context)
        abort();
    fwrite(bytes, 1, length, file);
    fclose(file);
    struct sel_plan plan;
    if (sel_plan_read(context, path, &plan) == SEL_OK)
        sel_plan_each(context, &plan, ignore_row, NULL);
    sel_plan_clear(&plan);
    sel_context_free(context);
    unlink(path);
    return 0;
}
