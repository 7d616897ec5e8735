#!/usr/bin/env bash
# Fuzzing with coverage, by AFL++ and SharpFuzz: afl.sh [SECONDS a target] [TARGET...] (120, all). Finds are in out/fuzz/found/TARGET/default/{crashes,hangs};
# exit code 1 when there are any. Needs Debian's afl++; what else is missing it gets from NuGet.
set -eu
cd "$(dirname "$0")/../.."
seconds=${1:-120}; [ $# -gt 0 ] && shift
[ $# -gt 0 ] || set -- packet stream capture index sound
command -v afl-fuzz >/dev/null || { echo "afl.sh: afl-fuzz is missing (Debian package afl++)"; exit 3; }
out=out/fuzz
mkdir -p $out/found
[ -x $out/tools/sharpfuzz ] || dotnet tool install --tool-path $out/tools SharpFuzz.CommandLine
rm -rf $out/bin
dotnet publish tests/StageView.Fuzz -c Release -o $out/bin -v q --nologo
# Seeds first: instrumented code runs only under the fuzzer.
for target; do rm -rf "$out/seeds/$target"; dotnet $out/bin/StageView.Fuzz.dll "$target" seeds "$out/seeds/$target"; done
$out/tools/sharpfuzz $out/bin/StageView.Wire.dll
export AFL_SKIP_BIN_CHECK=1 AFL_NO_UI=1 AFL_SKIP_CPUFREQ=1 AFL_I_DONT_CARE_ABOUT_MISSING_CRASHES=1 AFL_NO_AFFINITY=1
bad=0
for target; do
  rm -rf "$out/found/$target"
  afl-fuzz -V "$seconds" -i "$out/seeds/$target" -o "$out/found/$target" -t 5000 -m none -- dotnet $out/bin/StageView.Fuzz.dll "$target" >"$out/afl-$target.log" 2>&1 || { tail -5 "$out/afl-$target.log"; exit 3; }
  stat() { awk -F: -v k="$1" '$1 ~ "^" k " *$" { gsub(/ /, "", $2); print $2 }' "$out/found/$target/default/fuzzer_stats"; }
  echo "afl $target: $(stat execs_done) inputs in $(stat run_time) s, $(stat corpus_count) that reach something new, $(stat edges_found) edges, $(stat saved_crashes) crashes, $(stat saved_hangs) hangs"
  [ "$(stat saved_crashes)$(stat saved_hangs)" = 00 ] || bad=1
done
exit $bad
