# SPDX-License-Identifier: MIT
#
# Sourced by tests/run.sh and sample-rasters/demo.sh: installs what is missing (Debian 12 and its
# kin) and builds. The caller sets ROOT to the checkout. Functions:
#   need NAME...          installs what the named sets lack; nothing when all is there
#   build FOLDER [-D...]  configures and builds ROOT into FOLDER; the log is FOLDER/build.log

say() {
    printf '%s\n' "$*"
}

die() {
    printf '%s\n' "$*" >&2
    exit 1
}

# One line per thing: the set, how to tell that it is there, and the package that brings it.
# command:x is on the path, module:x is known to pkg-config, file:x exists.
things() {
    cat <<'LIST'
build command:gcc gcc
build file:/usr/include/stdio.h libc6-dev
build command:cmake cmake
build command:ninja ninja-build
build command:pkg-config pkg-config
build module:gdal libgdal-dev
build module:proj libproj-dev
build module:geos libgeos-dev
build module:yaml-0.1 libyaml-dev
build module:cairo libcairo2-dev
build module:libcrypto libssl-dev
build module:libqrencode libqrencode-dev
test module:cmocka libcmocka-dev
test command:gdaldem gdal-bin
test file:/usr/lib/python3/dist-packages/osgeo/gdal.py python3-gdal
test command:proj proj-bin
test command:sqlite3 sqlite3
test command:xmllint libxml2-utils
test file:/usr/lib/python3/dist-packages/icalendar python3-icalendar
test file:/usr/lib/python3/dist-packages/html5lib/__init__.py python3-html5lib
test file:/usr/lib/python3/dist-packages/ephem/__init__.py python3-ephem
test command:tidy tidy
test command:zbarimg zbar-tools
browser command:chromium chromium
browser command:chromedriver chromium-driver
browser file:/usr/lib/python3/dist-packages/selenium/__init__.py python3-selenium
browser command:pdfinfo poppler-utils
style command:clang clang
style command:clang-format clang-format
style command:clang-tidy clang-tidy
style command:cppcheck cppcheck
style command:pmccabe pmccabe
bench command:time time
LIST
}

is_there() {
    case $1 in
    command:*) command -v "${1#command:}" >/dev/null 2>&1 ;;
    module:*) pkg-config --exists "${1#module:}" 2>/dev/null ;;
    file:*) [ -e "${1#file:}" ] ;;
    esac
}

# The packages that the sets "$@" lack.
missing() {
    things | while read -r set check package; do
        case " $* " in
        *" $set "*) is_there "$check" || printf ' %s' "$package" ;;
        esac
    done
}

as_root() {
    if [ "$(id -u)" = 0 ]; then
        "$@"
    elif command -v sudo >/dev/null 2>&1; then
        sudo "$@"
    else
        die "Not root and no sudo: please install by hand:$lacking"
    fi
}

# A fresh machine may still be installing its own updates: wait for them.
apt_get() {
    as_root env DEBIAN_FRONTEND=noninteractive apt-get -o DPkg::Lock::Timeout=300 -q "$@"
}
apt_install() {
    apt_get install -y --no-install-recommends "$@"
}

# The package lists are fetched only when they do not know a package or turn out stale.
need() {
    lacking=$(missing "$@")
    [ -n "$lacking" ] || return 0
    command -v apt-get >/dev/null 2>&1 ||
        die "No apt-get here: please install what these Debian packages bring:$lacking"
    say "Installing:$lacking"
    fresh=no
    # shellcheck disable=SC2086 # a list of words
    if ! apt-get install -s -q --no-install-recommends $lacking >/dev/null 2>&1; then
        apt_get update || die "apt-get update failed"
        fresh=yes
    fi
    # shellcheck disable=SC2086
    if ! apt_install $lacking; then
        [ "$fresh" = no ] || die "Cannot install:$lacking"
        apt_get update || die "apt-get update failed"
        # shellcheck disable=SC2086
        apt_install $lacking || die "Cannot install:$lacking"
    fi
    lacking=$(missing "$@")
    [ -z "$lacking" ] || die "Installed, and yet these are not found:$lacking"
}

# A build folder that was made for a checkout elsewhere is configured anew.
forget_moved() {
    cache=$1/CMakeCache.txt
    if [ -f "$cache" ] && ! grep -qxF "CMAKE_HOME_DIRECTORY:INTERNAL=$ROOT" "$cache"; then
        rm -rf "$cache" "$1/CMakeFiles"
    fi
}

# When the folder was made with another compiler, CMake begins anew and forgets the other options:
# they are given twice then.
configure() {
    cmake -S "$ROOT" -B "$@" >"$1/build.log" 2>&1 || return 1
    grep -q 'require your cache to be deleted' "$1/build.log" || return 0
    cmake -S "$ROOT" -B "$@" >>"$1/build.log" 2>&1
}

build() {
    folder=$1
    shift
    mkdir -p "$folder" || return 1
    forget_moved "$folder"
    [ -f "$folder/CMakeCache.txt" ] || set -- -G Ninja "$@"
    if configure "$folder" "$@" &&
        cmake --build "$folder" >>"$folder/build.log" 2>&1; then
        return 0
    fi
    grep -E -A 12 'error|Error|FAILED|ninja:' "$folder/build.log" | head -n 80 >&2
    say "Building in $folder failed; the whole log is $folder/build.log" >&2
    return 1
}
