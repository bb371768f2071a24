#!/usr/bin/env bash
# Simulated campaigns: rounds until a limit is met, on magnets of P1's family. A line per campaign, then how many met the limit within each number of rounds:
#   bench/campaigns.sh FIRST_BARE_FIELD LAST_BARE_FIELD FIRST_SET_OF_PIECES LAST_SET learning|plain|weighing:STRENGTH_WRONG_PERCENT:LIMIT_PPM:MOST_ROUNDS…
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
mvn -B -q -pl bench -am compile dependency:build-classpath -Dmdep.outputFile=target/classpath.txt >&2
java -cp "bench/target/classes:$(cat bench/target/classpath.txt)" org.fieldwright.bench.Campaigns "$@" | tee /dev/stderr |
  awk '{split($1, task, ":"); runs[$1]++; for (i = 5; i <= NF; i++) if ($i <= task[3]) met[$1, i - 4]++; if (NF - 4 > most[$1]) most[$1] = NF - 4}
    END {for (t in runs) {sum = 0; for (r = 1; r <= most[t]; r++) {sum += met[t, r]; printf "%s within %d rounds: %d of %d\n", t, r, sum, runs[t]}}}'
