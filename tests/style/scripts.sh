#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The shell scripts parse, in the shell that runs them here, and carry the licence line.
set -eu
bad=0
for script in $(find tests sample-rasters -name '*.sh' -type f | LC_ALL=C sort); do
    sh -n "$script" || bad=1
    head -n 2 "$script" | grep -q '^# SPDX-License-Identifier: MIT$' || {
        echo "$script: no SPDX line in the first two"
        bad=1
    }
done
[ -x .ci/run ] || {
    echo ".ci/run cannot be executed"
    bad=1
}
exit $bad
