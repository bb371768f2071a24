#!/usr/bin/env bash
# Side by side on two threads each: least squares over free points, from points to coefficients, here and by numpy and scipy (python3).
# Usage: bench/points.sh [points degree]     default 100000 20; bench/points.sh growth: here alone, over points and degrees
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
here() { java -Xmx64m -cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.fieldwright.bench.PointTimer "$@"; }
echo "load before: $(cut -d' ' -f1-3 /proc/loadavg)"
if [ "${1:-}" = growth ]; then
  here growth
else
  here solve "${1:-100000}" "${2:-20}" "$work/points"
  env -u OPENBLAS_CORETYPE OMP_NUM_THREADS=2 OPENBLAS_NUM_THREADS=2 python3 bench/points.py "$work/points"
fi
echo "load after: $(cut -d' ' -f1-3 /proc/loadavg)"
