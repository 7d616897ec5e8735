#!/usr/bin/env bash
# Soak on loopback: wire-soak.sh [SECONDS] (3600). A C sender bursts 256 universes at 44 Hz; `stageview watch --json` counts. Passes when every
# packet sent was taken, none was dropped, and the memory of the watcher at the end is within 20 MB of that after the first tenth.
set -eu
cd "$(dirname "$0")/../.."
seconds=${1:-3600} universes=256 hz=44
command -v gcc >/dev/null || { echo "soak: gcc is missing (Debian package gcc)"; exit 3; }
mkdir -p out/soak
gcc -O2 -o out/soak/burst_send tests/independent/burst_send.c
app=src/StageView.App/bin/${CONFIG:-Release}/net10.0/stageview.dll
[ -e "$app" ] || { echo "soak: build first: ./dev stageview --help"; exit 3; }
dotnet "$app" watch scenes/one-beam/one-beam.rig.jsonc --for $((seconds + 6))s --json >out/soak/watch.jsonl 2>out/soak/watch.err &
watch=$!
trap 'kill $watch 2>/dev/null || true' EXIT
sleep 3
out/soak/burst_send 5568 $universes $hz "$seconds" >out/soak/sent &
sender=$!
rss() { awk '/VmRSS/ {print $2}' /proc/$watch/status 2>/dev/null || echo 0; }
sleep $((seconds / 10 + 1)); early=$(rss)
wait $sender; late=$(rss)
wait $watch || true
sent=$(cat out/soak/sent)
taken=$(tail -1 out/soak/watch.jsonl | sed -E 's/.*"taken":([0-9]+).*/\1/')
drops=$(tail -1 out/soak/watch.jsonl | sed -E 's/.*"kernelDrops":([0-9]+).*/\1/')
echo "soak: $seconds s, sent $sent, taken $taken, dropped by the kernel $drops, memory ${early} kB early and ${late} kB late"
[ "$sent" = "$taken" ] && [ "$drops" = 0 ] && [ $((late - early)) -lt 20000 ]
