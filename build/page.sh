#!/usr/bin/env bash
# Builds the page from web/ into web/dist, unless it is there already and no source is newer.
set -euo pipefail
cd "$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")/../web"
exec 8>.build.lock
flock 8 # two builds at once would tread on each other's files
if [ -f dist/index.html ] && [ -z "$(find src public index.html package.json package-lock.json vite.config.ts tsconfig.json -newer dist/index.html -print -quit)" ]; then
  exit 0
fi
[ node_modules/.package-lock.json -nt package-lock.json ] || npm ci --no-audit --no-fund
npm run build
