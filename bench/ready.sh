#!/usr/bin/env bash
# Time from `./fieldwright serve` until it listens, on a new store and on one that is there, beside an empty java main and, if named,
# beside another checkout: wall and processor time, medians of alternating runs.
# Usage: bench/ready.sh [--runs N] [OTHER_CHECKOUT]
set -euo pipefail
root=$(readlink -f "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/..")
. "$root/build/jdk.sh"
find_jdk
runs=7
if [ "${1:-}" = --runs ]; then
  runs=$2
  shift 2
fi
checkouts=("$root" "$@")

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
echo 'final class Empty { public static void main(String[] args) {} }' >"$work/Empty.java"
"$JAVA_HOME/bin/javac" -d "$work" "$work/Empty.java"
for checkout in "${checkouts[@]}"; do
  "$checkout/fieldwright" --help >/dev/null # builds
done

# Hundredths of a second of processor time that process $1 has taken.
taken() {
  local fields
  read -r -a fields <"/proc/$1/stat"
  echo $((fields[13] + fields[14]))
}

# serve CHECKOUT DATA NAME: notes wall and processor time until it listens.
serve() {
  local before=$EPOCHREALTIME after server
  "$1/fieldwright" serve --port 0 --data "$2" >/dev/null 2>"$work/said" &
  server=$!
  until grep -q Listening "$work/said"; do
    kill -0 "$server" || { cat "$work/said"; exit 1; }
    sleep 0.01
  done
  after=$EPOCHREALTIME
  echo "$(((${after/./} - ${before/./}) / 1000)) $(($(taken "$server") * 10))" >>"$work/$3"
  kill "$server"
  wait "$server" || true
}

# row NAME: medians of what was noted.
row() {
  local column middle=() count
  count=$(wc -l <"$work/$1")
  for column in 1 2; do
    middle+=("$(cut -d ' ' -f $column "$work/$1" | sort -n | sed -n "$(((count + 1) / 2))p")")
  done
  printf '%-46s %6s ms   processor %6s ms\n' "$2" "${middle[0]}" "${middle[1]}"
}

for ((i = 0; i < runs; i++)); do
  before=$EPOCHREALTIME
  "$JAVA_HOME/bin/java" -cp "$work" Empty
  after=$EPOCHREALTIME
  echo "$(((${after/./} - ${before/./}) / 1000)) 0" >>"$work/empty"
  for k in "${!checkouts[@]}"; do
    rm -rf "$work/data$k"
    serve "${checkouts[$k]}" "$work/data$k" "new$k"
    serve "${checkouts[$k]}" "$work/data$k" "there$k"
  done
done
row empty "empty java main (processor not taken)"
for k in "${!checkouts[@]}"; do
  row "new$k" "${checkouts[$k]}: new store"
  row "there$k" "${checkouts[$k]}: store that is there"
done
echo "medians of $runs; load average $(cut -d ' ' -f 1-3 /proc/loadavg), $(nproc) cores"
