#!/usr/bin/env bash
# Side by side on two threads each: the fit of a complete turn here and by numpy and scipy (python3).
# Usage: bench/surveys.sh [probes angles degree]     default 24 24 12
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
probes=${1:-24} angles=${2:-24} degree=${3:-12}
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
here() { java -cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.fieldwright.bench.SurveyTimer "$@"; }
echo "load before: $(cut -d' ' -f1-3 /proc/loadavg); ms: median, quartiles"
{
  here "$probes" "$angles" "$degree" "$work/system"
  env -u OPENBLAS_CORETYPE OMP_NUM_THREADS=2 OPENBLAS_NUM_THREADS=2 python3 bench/surveys.py "$work/system"
} | tee "$work/times"
awk '/^one survey/ { one = $3 } /^one of many/ { many = $4 }
  /^numpy|^scipy/ { printf "%s %s: %.0f times as long as one survey here, %.0f times one of many\n", $1, $2, $3 / one, $3 / many }' "$work/times"
echo "load after: $(cut -d' ' -f1-3 /proc/loadavg)"
