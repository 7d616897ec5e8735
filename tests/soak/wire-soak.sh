#!/usr/bin/env bash
# Soak on loopback: wire-soak.sh [SECONDS] [UNIVERSES] [HZ] (3600 256 44). A C sender bursts every universe at that rate; `stageview watch --json` counts.
# Passes when every packet sent was taken, each universe holds exactly its own number with none missing, late or doubled, the kernel dropped none, and
# the watcher's memory is flat: the largest of the last tenth is within 8 MB of the largest of the second tenth.
# Runs in a network namespace of its own where the system allows one, so that nobody else's packets are counted. APP=FILE takes another stageview.dll.
set -eu
cd "$(dirname "$0")/../.."
if [ -z "${SOAK_INSIDE:-}" ]; then
  for way in "unshare -n" "unshare -rn"; do
    if $way true 2>/dev/null; then SOAK_INSIDE=1 exec $way "$0" "$@"; fi
  done
  echo "soak: no network namespace to be had; running on this machine's own loopback" >&2
else
  ip link set lo up
fi
seconds=${1:-3600} universes=${2:-256} hz=${3:-44}
command -v gcc >/dev/null || { echo "soak: gcc is missing (Debian package gcc)"; exit 3; }
out=out/soak
mkdir -p $out
gcc -O2 -o $out/burst_send tests/independent/burst_send.c
app=${APP:-src/StageView.App/bin/${CONFIG:-Release}/net10.0/stageview.dll}
[ -e "$app" ] || { echo "soak: build first: ./dev stageview --help"; exit 3; }
# Only the last line counts, and a pipe must not fill the disk for an hour.
mkfifo $out/lines.$$
trap 'rm -f $out/lines.$$; kill $watch 2>/dev/null || true' EXIT
tail -n 1 <$out/lines.$$ >$out/summary.json &
last=$!
dotnet "$app" watch scenes/foundry/foundry.rig.jsonc --for $((seconds + 8))s --json >$out/lines.$$ 2>$out/watch.err &
watch=$!
sleep 4
$out/burst_send 5568 "$universes" "$hz" "$seconds" >$out/sent &
sender=$!
every=$((seconds / 60)); [ $every -ge 1 ] || every=1
echo "second,rss_kb,cpu_ticks" >$out/memory.csv
start=$(date +%s)
while kill -0 $sender 2>/dev/null; do
  echo "$(($(date +%s) - start)),$(awk '/VmRSS/ {print $2}' /proc/$watch/status),$(awk '{print $14 + $15}' /proc/$watch/stat)" >>$out/memory.csv
  sleep $every
done
wait $sender
wait $watch || true
wait $last
read -r sent _ <$out/sent
frames=$((sent / universes))
field() { sed -E "s/.*\"$1\":([0-9]+).*/\1/" $out/summary.json; }
taken=$(field taken) drops=$(field kernelDrops) malformed=$(field malformed)
exact=$(grep -oE '"packets":[0-9]+,"packetsPerSecond":[^,]+,"missing":0,"outOfOrder":0,"duplicates":0' $out/summary.json | grep -c "\"packets\":$frames," || true)
read -r early late <<<"$(awk -F, -v s="$seconds" 'NR > 1 && $1 >= s / 10 && $1 < s / 5 && $2 > a { a = $2 } NR > 1 && $1 >= s * 9 / 10 && $2 > b { b = $2 } END { print a + 0, b + 0 }' $out/memory.csv)"
cores=$(awk -F, -v t="$(getconf CLK_TCK)" 'NR == 2 { c = $3; s = $1 } END { if ($1 > s) printf "%.3f", ($3 - c) / t / ($1 - s) }' $out/memory.csv)
echo "soak: $seconds s of $universes universes at $hz Hz: sent $sent, taken $taken, dropped by the kernel $drops, malformed $malformed; $exact of $universes universes hold exactly $frames each; memory $early kB early, $late kB late; $cores of a core"
[ "$sent" = "$taken" ] && [ "$drops" = 0 ] && [ "$malformed" = 0 ] && [ "$exact" = "$universes" ] && [ $((late - early)) -lt 8192 ]
