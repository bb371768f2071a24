#!/usr/bin/env bash
# Side by side: the fit of many free points here (one thread) and by numpy (two), QR and normal equations.
# Usage: bench/points.sh [points degree]     default 100000 20
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
echo "load before: $(cut -d' ' -f1-3 /proc/loadavg)"
java -cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.fieldwright.bench.PointsTimer "${1:-100000}" "${2:-20}" "$work/system"
env -u OPENBLAS_CORETYPE OMP_NUM_THREADS=2 OPENBLAS_NUM_THREADS=2 python3 bench/points.py "$work/system"
echo "load after: $(cut -d' ' -f1-3 /proc/loadavg)"
