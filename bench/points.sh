#!/usr/bin/env bash
# The fit of many free points here (one thread) and by numpy (two), QR and normal equations, on the same points.
# Usage: bench/points.sh [points degree [ball|cylinder|cap]]     default 100000 20 ball
#        bench/points.sh stream [points degree [ball|cylinder|cap]]     default 10000000 20 ball: here alone, in a heap of 256 MB
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
timer=(-cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.fieldwright.bench.PointsTimer)
echo "load before: $(cut -d' ' -f1-3 /proc/loadavg)"
if [ "${1:-}" = stream ]; then
  java -Xmx256m "${timer[@]}" "${4:-ball}" "${2:-10000000}" "${3:-20}"
else
  work=$(mktemp -d)
  trap 'rm -rf "$work"' EXIT
  java "${timer[@]}" "${3:-ball}" "${1:-100000}" "${2:-20}" "$work/system"
  env -u OPENBLAS_CORETYPE OMP_NUM_THREADS=2 OPENBLAS_NUM_THREADS=2 python3 bench/points.py "$work/system"
fi
echo "load after: $(cut -d' ' -f1-3 /proc/loadavg)"
