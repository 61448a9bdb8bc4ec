#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The driver of the command tests itself: patterns match what they should and nothing else, and a
# case passes or fails as its files say. The command is a little script.
set -eu
here=$(cd "$(dirname "$0")" && pwd -P)
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cd "$scratch"
bad=0

# fits|differs PATTERN TEXT
try() {
    printf '%b' "$2" >pattern
    printf '%b' "$3" >text
    result=fits
    awk -f "$here/match.awk" pattern text >/dev/null || result=differs
    [ "$result" = "$1" ] || {
        echo "pattern '$2' $result for text '$3', not $1"
        bad=1
    }
}
try fits '' ''
try differs '' 'a\n'
try differs 'a\n' ''
try fits 'a.b [c] (d)+\n' 'a.b [c] (d)+\n'
try differs 'a.b\n' 'axb\n'
try fits 'at {n} m of {n}\n' 'at -12.5 m of 1e3\n'
try differs 'at {n} m\n' 'at ten m\n'
try fits 'x{*}z\n' 'xyyz\n'
try fits 'x{*}z\n' 'xz\n'
try differs 'x{*}z\n' 'xyy\n'
try fits '{...}\n' ''
try fits 'a\n{...}\nb\n' 'a\nb\n'
try fits 'a\n{...}\nb\n' 'a\nb\nc\nb\n'
try differs 'a\n{...}\nb\n' 'a\nb\nc\n'
try fits '{...}\n12 sites\n{...}\n' 'x\n12 sites\n'
try fits 'c:\\\\d^\n' 'c:\\\\d^\n'

cat >fake <<'SCRIPT'
#!/bin/sh
echo "sites: $1"
echo "note" >&2
exit "$1"
SCRIPT
chmod +x fake
mkdir case
echo 'selvedge 3' >case/cmd
echo 'sites: {n}' >case/stdout
echo note >case/stderr
echo 3 >case/status

# passes|fails [--regenerate]
run() {
    result=passes
    # shellcheck disable=SC2086 # nothing or one option
    sh "$here/run_case.sh" ${2-} ./fake case >/dev/null || result=fails
    [ "$result" = "$1" ] || {
        echo "the case $result, not $1"
        bad=1
    }
}
run passes
echo 0 >case/status
run fails
run passes --regenerate
[ "$(cat case/status)" = 3 ] && [ "$(cat case/stdout)" = 'sites: {n}' ] || bad=1
run passes
rm case/stderr
run fails
run passes --regenerate
run passes
echo 'sites: none' >case/stdout
run fails
run passes --regenerate
[ "$(cat case/stdout)" = 'sites: 3' ] || bad=1
exit $bad
