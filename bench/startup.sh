#!/usr/bin/env bash
# Wall time of `./fieldwright WORDS…` beside an empty java main of the same JDK: medians of alternating runs, and the ratio.
# Usage: bench/startup.sh [--runs N] WORDS…     for example: bench/startup.sh assess s.csv --magnet m.yaml --json
set -euo pipefail
root=$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/..
. "$root/build/jdk.sh"
find_jdk
runs=15
if [ "${1:-}" = --runs ]; then
  runs=$2
  shift 2
fi
[ $# -gt 0 ] || set -- --help

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
echo 'final class Empty { public static void main(String[] args) {} }' >"$work/Empty.java"
"$JAVA_HOME/bin/javac" -d "$work" "$work/Empty.java"
"$root/fieldwright" "$@" >/dev/null # builds, and fills the page cache

clock_ms() {
  local before=$EPOCHREALTIME after
  "$@" >/dev/null 2>&1
  after=$EPOCHREALTIME
  echo $(((${after/./} - ${before/./}) / 100))
}
median() { sort -n "$1" | awk '{ v[NR] = $1 } END { printf "%.1f", (v[int((NR + 1) / 2)] + v[int(NR / 2) + 1]) / 20 }'; }

for ((i = 0; i < runs; i++)); do
  clock_ms "$JAVA_HOME/bin/java" -cp "$work" Empty >>"$work/empty"
  clock_ms "$root/fieldwright" "$@" >>"$work/ours"
done
empty=$(median "$work/empty")
ours=$(median "$work/ours")
echo "empty java main   $empty ms   (median of $runs)"
echo "fieldwright $*   $ours ms   (median of $runs)"
awk -v a="$ours" -v b="$empty" 'BEGIN { printf "ratio             %.2f\n", a / b }'
echo "load average      $(cut -d ' ' -f 1-3 /proc/loadavg), $(nproc) cores, $("$JAVA_HOME/bin/java" -version 2>&1 | head -n 1)"
