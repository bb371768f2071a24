#!/usr/bin/env bash
# Prints what the last test run found: tests per module, coverage of lines, every failed and skipped test by name.
# Status 1 when a test failed.
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
# $1: the element that marks the tests to name; $2: what to call them.
name_tests() {
  local reports
  reports=$(grep -lE "<($1)[ >/]" ./*/target/surefire-reports/TEST-*.xml 2>/dev/null) || return 1
  grep -hE "<testcase |<($1)[ >/]" $reports | awk -v what="$2" -v mark="<($1)[ >/]" '
    /<testcase / { match($0, /name="[^"]*"/); name = substr($0, RSTART + 6, RLENGTH - 7)
                   match($0, /classname="[^"]*"/); name = substr($0, RSTART + 11, RLENGTH - 12) " " name }
    $0 ~ mark { print what ": " name }'
}
name_tests skipped skipped || true
! name_tests 'failure|error' failed
