#!/usr/bin/env bash
# Detection and false alarms over random virtual surveys: table of docs/method/vetting.md on standard output, its plot in docs/method/detection.svg.
# Usage: bench/detection.sh [rounds surveys]     default 5 30: 5 × 30 surveys for each of 10 sizes of fault, in each of two regimes (an hour)
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
for regime in resolved misplaced; do
  java -cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.fieldwright.bench.DetectionStudy "$regime" "${1:-5}" "${2:-30}" 0 2 3 4 5 6 8 10 14 20
done | python3 bench/detection.py docs/method/detection.svg
