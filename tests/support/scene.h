// SPDX-License-Identifier: MIT
//
// What tests of every stage share.
#ifndef SEL_TEST_SCENE_H
#define SEL_TEST_SCENE_H

#include <stdbool.h>

// The folder of real rasters (environment SELVEDGE_DATA, else ../shared/data beside the checkout),
// or NULL after saying loudly on stderr that the test is skipped.
const char *scene_real_data(void);

// Makes a fresh temporary folder; removed by scene_remove. Owned by the caller.
char *scene_folder(void);
void scene_remove(char *folder);

#endif
