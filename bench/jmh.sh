#!/usr/bin/env bash
# Runs the micro-benchmarks whose name matches, e.g. bench/jmh.sh SurfaceExtremes -p degree=20
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
echo "load before: $(cut -d' ' -f1-3 /proc/loadavg)"
java -cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.openjdk.jmh.Main "$@"
echo "load after: $(cut -d' ' -f1-3 /proc/loadavg)"
