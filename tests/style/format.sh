#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Every C file is as clang-format leaves it.
set -eu
. "$(dirname "$0")/files.sh"
require clang-format
c_files src include tests sample-rasters | xargs clang-format --dry-run -Werror
