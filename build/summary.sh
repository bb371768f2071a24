#!/usr/bin/env bash
# Prints what the last test run found: tests per module, every skipped test by name, coverage of lines.
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/.."
echo
printf '%-10s %7s %7s %7s %9s   %s\n' module tests failed skipped seconds 'lines covered'
for module in core adapters app bench; do
  reports=("$module"/target/surefire-reports/TEST-*.xml)
  [ -e "${reports[0]}" ] || continue
  covered=-
  csv=$module/target/site/jacoco/jacoco.csv
  [ ! -r "$csv" ] || covered=$(awk -F, 'NR > 1 { missed += $8; hit += $9 }
    END { if (hit + missed) printf "%.1f %% of %d", 100 * hit / (hit + missed), hit + missed }' "$csv")
  cat "${reports[@]}" | awk -v module="$module" -v covered="$covered" '
    function value(name) { return match($0, " " name "=\"[^\"]*\"") ? substr($0, RSTART + length(name) + 3, RLENGTH - length(name) - 4) : 0 }
    /<testsuite / { tests += value("tests"); failed += value("failures") + value("errors"); skipped += value("skipped"); seconds += value("time") }
    END { printf "%-10s %7d %7d %7d %9.1f   %s\n", module, tests, failed, skipped, seconds, covered }'
done
skipped=$(grep -l '<skipped' ./*/target/surefire-reports/TEST-*.xml 2>/dev/null || true)
[ -z "$skipped" ] || grep -h -B 1 '<skipped' $skipped | sed -n 's/.*<testcase name="\([^"]*\)" classname="\([^"]*\)".*/skipped: \2 \1/p'
