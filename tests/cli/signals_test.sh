#!/bin/sh
# SPDX-License-Identifier: MIT
#
# usage: signals_test.sh COMMAND
# What signals do to a running command: it ends soon, says so by its exit status, and leaves neither
# half an output nor litter behind.
set -u
here=$(cd "$(dirname "$0")" && pwd -P)
command=$(cd "$(dirname "$1")" && pwd -P)/$(basename "$1")
plan=$here/../../sample-rasters/survey.yaml
scratch=$(mktemp -d) || exit 4
trap 'rm -rf "$scratch"' EXIT
cd "$scratch" || exit 4
bad=0

# WHAT IS WANTED
expect() {
    [ "$2" = "$3" ] || {
        echo "$1: $2, not $3"
        bad=1
    }
}

# Waits until a file holds something that fits a pattern, or a file of that name is there.
wait_for() {
    tries=0
    until grep -qs "$2" "$1" || [ $tries -gt 600 ]; do
        sleep 0.05
        tries=$((tries + 1))
    done
}

# NAME [STAGE]: starts a run and waits until it has begun that stage.
begin() {
    rm -f "$1.err" # of the last run, which says the same
    "$command" rank "$plan" -o "$1.gpkg" >"$1.out" 2>"$1.err" &
    run=$!
    wait_for "$1.err" "${2:-measuring edges}"
}

for signal in INT TERM HUP; do
    begin run
    kill -s $signal $run
    wait $run
    expect "rank after SIG$signal" $? 130
    expect "rank after SIG$signal: files" "$(ls -A)" "$(printf 'run.err\nrun.out')"
    expect "rank after SIG$signal: says" "$(tail -n 1 run.err)" \
        'selvedge: interrupted; nothing was written'
done

# Both signals wait when the program goes on, so the second comes before the run could clear away.
for stage in 'measuring edges' 'measuring light' 'describing sites'; do
    begin run "$stage"
    kill -s STOP $run
    kill -s INT $run
    kill -s TERM $run
    kill -s CONT $run
    wait $run
    expect "rank after two signals, $stage" $? 143
    expect "rank after two signals, $stage: files" "$(ls -A)" "$(printf 'run.err\nrun.out')"
done

# As a scheduler sends them: one after the other, whatever the run is doing. It may have ended by the
# first one.
for pause in 0 0.001 0.003 0.01 0.02 0.05; do
    begin run 'measuring light'
    kill -s TERM $run
    sleep $pause
    kill -s TERM $run 2>/dev/null
    wait $run
    status=$?
    [ $status = 143 ] || expect "rank after SIGTERM twice, $pause s apart" $status 130
    expect "rank after SIGTERM twice, $pause s apart: files" "$(ls -A)" \
        "$(printf 'run.err\nrun.out')"
done
rm -f ./*

# As under nohup.
(
    trap '' HUP
    exec "$command" rank "$plan" -o nohup.gpkg >/dev/null 2>nohup.err
) &
run=$!
wait_for nohup.err 'measuring edges'
kill -s HUP $run
wait $run
expect 'rank after SIGHUP under nohup' $? 0

{
    "$command" rank "$plan" -o pipe.gpkg 2>&1
    echo $? >status
} | true
wait_for status .
expect 'rank into a broken pipe' "$(cat status)" 4
expect 'rank into a broken pipe: files' "$(ls -A)" \
    "$(printf 'nohup.err\nnohup.gpkg\npipe.gpkg\nstatus')"

echo earlier >map.png
"$command" map nohup.gpkg -o map.png --width 4000 --overwrite 2>map.err &
run=$!
wait_for map.err drawing
kill -s TERM $run
wait $run
expect 'map after SIGTERM' $? 130
expect 'map after SIGTERM: the picture' "$(cat map.png)" earlier
exit $bad
