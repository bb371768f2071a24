#!/usr/bin/env bash
# Side by side: overlapping Allan deviations of a million values, here and in plain numpy, two threads each.
# Needs python3 with numpy. Says both medians, their ratio and the largest relative difference.
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
n=${1:-1000000}
mvn -B -q -pl core compile >&2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
javac -nowarn -d "$work" -cp core/target/classes bench/src/main/java/org/fieldwright/bench/OverlappingAllanTimer.java
echo "load before: $(cut -d' ' -f1-3 /proc/loadavg)"
java -cp "$work:core/target/classes" org.fieldwright.bench.OverlappingAllanTimer "$n" 2 >"$work/here"
env -u OPENBLAS_CORETYPE OMP_NUM_THREADS=2 OPENBLAS_NUM_THREADS=2 python3 bench/allan.py "$n" >"$work/numpy"
paste -d' ' "$work/here" "$work/numpy" | awk '
  NR == 1 { printf "here %.2f ms, numpy %.2f ms: %.1f times\n", $1, $2, $2 / $1; next }
  { if ($1 != $3) { print "factors differ"; exit 1 } d = $2 / $4 - 1; d = d < 0 ? -d : d; if (d > worst) worst = d }
  END { printf "%d factors, largest relative difference %.1e\n", NR - 1, worst }'
echo "load after: $(cut -d' ' -f1-3 /proc/loadavg)"
