#!/usr/bin/env bash
# Detection and false alarms over random virtual surveys: table of docs/method/vetting.md on standard output, its plot in docs/method/detection.svg.
# Usage: bench/detection.sh [rounds]     default 4: 1,000 surveys with readings of noise alone, 560 with places and angles off (ten minutes of a processor)
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
study() { java -cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.fieldwright.bench.DetectionStudy "$@"; }
{
  study resolved "${1:-4}" 25 0 2 3 4 5 6 8 10 14 20
  study misplaced "${1:-4}" 20 0 4 6 8 10 14 20
} | python3 bench/detection.py docs/method/detection.svg
