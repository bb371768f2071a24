#!/usr/bin/env bash
# Processor time of vetting and field model for one large survey of each kind, from a cold start.
# Usage: bench/assess.sh [readings bad]     default 10000 20
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
echo "load before: $(cut -d' ' -f1-3 /proc/loadavg)"
for kind in cloud sphere turn; do
  java -cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.fieldwright.bench.AssessTimer $kind "${1:-10000}" "${2:-20}"
done
echo "load after: $(cut -d' ' -f1-3 /proc/loadavg)"
