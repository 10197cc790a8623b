#!/usr/bin/env bash
# Runs a campaign as shards under GNU parallel (Debian: parallel) and merges them.
#
#   campaign-parallel.sh MACHINE.yaml OUT.db [SHARDS [OPTIONS OF ovenproof campaign...]]
#
# Called again after an interruption, it goes on where it was. With PARALLEL_SSHLOGINFILE set, parallel
# hands shards to the machines listed there; they need the same program, and this folder shared.
set -euo pipefail

(($# >= 2)) || { sed -n '2,7s/^# \{0,1\}//p' "$0" >&2; exit 2; }
machine=$1 out=$2 shards=${3:-$(nproc)}
shift $(($# < 3 ? $# : 3))
program=${OVENPROOF:-build/release/ovenproof}
parts=$out.parts

mkdir -p "$parts"
remote=()
[[ -z ${PARALLEL_SSHLOGINFILE:-} ]] || remote=(--sshloginfile "$PARALLEL_SSHLOGINFILE" --workdir "$PWD")
# One thread a shard: parallel keeps every processor busy.
seq "$shards" | parallel "${remote[@]}" --halt now,fail=1 --joblog "$parts/jobs" \
  "$program" campaign "$machine" --shard "{}/$shards" --out "$parts/{}.db" --resume --jobs 1 "$@" ">&2"

mapfile -t files < <(seq -f "$parts/%.0f.db" "$shards")
status=0
"$program" campaign merge "$out" "${files[@]}" || status=$?
((status >= 2)) || rm -r "$parts" # 1 is a verdict on the oven, and the file is there
exit "$status"
