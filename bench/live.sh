#!/usr/bin/env bash
# Processor time of the vetting after each angle of a live survey: median and 99th percentile, ms.
# Usage: bench/live.sh [probes angles]     default 24 36
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
exec java -cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.fieldwright.bench.LiveTimer "${1:-24}" "${2:-36}"
