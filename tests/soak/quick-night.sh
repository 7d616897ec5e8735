#!/usr/bin/env bash
# A long night in less: tests/soak/quick-night.sh [HOURS] [SPEED] (12 8), with a round of live-soak.mjs a minute.
# libfaketime (Debian's package) gives `live`, its drawing process, the sender and the viewer a clock that runs SPEED times as
# fast: their timers, waits and time stamps see HOURS pass in HOURS / SPEED. The machine does not run faster: at 8 a second of
# the night is an eighth of a second of its processor, so that rounds need a quiet machine.
set -eu
cd "$(dirname "$0")/../.."
hours=${1:-12} speed=${2:-8}
library=$(ls /usr/lib/*/faketime/libfaketimeMT.so.1 2>/dev/null | head -1) || true
[ -n "$library" ] || { echo "quick-night: libfaketime is missing: apt-get install libfaketime" >&2; exit 3; }
LD_PRELOAD=$library FAKETIME="+0 x$speed" FAKETIME_DONT_RESET=1 exec node tests/soak/live-soak.mjs "$(awk "BEGIN { print $hours * 3600 }")" 60
