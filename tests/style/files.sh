# SPDX-License-Identifier: MIT
#
# Sourced by the style checks, which run from the top of the checkout.

# The C sources and headers under the given folders, sorted.
c_files() {
    find "$@" -name '*.[ch]' -type f | LC_ALL=C sort
}

# A source without comments and without what stands in its strings.
bare_code() {
    gcc -fpreprocessed -dD -E -w -x c "$1" | sed -E 's/"([^"\\]|\\.)*"/""/g; /^# [0-9]+ /d'
}

# Ends the check as skipped when a tool is missing.
require() {
    for tool in "$@"; do
        command -v "$tool" >/dev/null 2>&1 || {
            echo "SKIPPED: $tool is not installed"
            exit 77
        }
    done
}

# Ends a slow check as skipped unless tests/run.sh asks for everything.
only_when_full() {
    if [ -z "${SELVEDGE_FULL-}" ]; then
        echo "SKIPPED: slow; set SELVEDGE_FULL=1 to run it"
        exit 77
    fi
}
