#!/usr/bin/env bash
# Whole-piece plans of generated magnets, here and by general solvers, one after the other on one thread each:
#   bench/whole_pieces.sh ours 10 0 1 2 3     bench/whole_pieces.sh scip|cbc|highs 60 0 1 2 3     bench/whole_pieces.sh grown 30 24 15 31 32 48 60
# Seed 0 is the published yardstick P1. HiGHS needs python3 with scipy.
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
echo "load before: $(cut -d' ' -f1-3 /proc/loadavg)"
java -cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.fieldwright.bench.WholePieceRivals "$@"
echo "load after: $(cut -d' ' -f1-3 /proc/loadavg)"
