#!/usr/bin/env bash
# Writes docs/comparers.md: planted changes and planted noise beside other comparers at their defaults. Needs node, npm and the built tests.
set -eu
cd "$(dirname "$0")"
root=$(cd ../../.. && pwd)
[ -d node_modules/pixelmatch ] || npm install --no-save --no-audit --no-fund >/dev/null
tests=$(ls -t "$root"/tests/StageView.Snapshot.Tests/bin/*/net10.0/StageView.Snapshot.Tests.dll | head -1)
dir=$(mktemp -d); trap 'rm -rf "$dir"' EXIT
STAGEVIEW_PLANTED_DIR=$dir dotnet "$tests" -noLogo -noColor -method "StageView.Snapshot.Tests.Compare.PlantedTests.Pairs_can_be_written_for_the_table" >/dev/null
{
  cat <<'TXT'
# What the comparers see

Planted changes that a comparison must catch and planted noise that it must let pass, each comparer at its own defaults;
in brackets the pixels it counts. Made by `tests/StageView.Benchmarks/rivals/table.sh`; the pairs are drawn in
`tests/StageView.Snapshot.Tests/Planted`, whose tests assert the columns of StageView's
two modes, but for what an eye may or may not see (perceptual mode). "Another renderer" are the tolerances of `--renderer other`.
What fifty dark pairs of other seeds give: [dark](measurements/dark.md).

TXT
  node table.mjs "$dir"
} >"$root/docs/comparers.md.new"
mv "$root/docs/comparers.md.new" "$root/docs/comparers.md"
cat "$root/docs/comparers.md"
