#!/usr/bin/env bash
# Debian's olad as an sACN receiver of universes 1 to N, as an unprivileged user in a network namespace of its own (it refuses root and loopback).
# ola_receive.sh N: prints "ready PID NAMESPACE ADDRESS"; the end of standard input takes all of it away.
set -eu
universes=$1 ns=svr$((RANDOM % 9000 + 1000)) at=10.78.0.1
conf=$(mktemp -d); olad=
cleanup() {
  [ -z "$olad" ] || { kill "$olad" 2>/dev/null; wait "$olad" 2>/dev/null; } || true
  ip netns del "$ns" 2>/dev/null || true
  rm -rf "$conf"
}
trap cleanup EXIT
ip netns add "$ns"
in_ns() { ip netns exec "$ns" "$@"; }
in_ns ip link set lo up
in_ns ip link add name veth0 type veth peer name veth1
in_ns ip addr add $at/24 dev veth0
in_ns ip link set veth0 up
in_ns ip link set veth1 up
in_ns ip route add default dev veth0
for p in artnet dummy e133 espnet ftdidmx gpio karate kinet milinst nanoleaf opendmx openpixelcontrol osc pathport renard sandnet shownet spi stageprofi uartdmx usbdmx usbpro usbserial; do
  echo "enabled = false" >"$conf/ola-$p.conf"
done
printf '%s\n' "cid = 11111111-2222-3333-4444-555555555556" "dscp = 0" "draft_discovery = false" "enabled = true" "ignore_preview = true" "input_ports = $universes" \
  "ip = $at" "output_ports = 0" "prepend_hostname = false" "revision = 0.46" >"$conf/ola-e131.conf"
chmod 777 "$conf"; chmod 666 "$conf"/*
ip netns exec "$ns" setpriv --reuid=65534 --regid=65534 --clear-groups olad --no-http --no-register-with-dns-sd -c "$conf" -l 1 >/dev/null 2>&1 &
olad=$!
device=
for _ in $(seq 40); do
  device=$(in_ns ola_dev_info 2>/dev/null | sed -n 's/^Device \([0-9]*\): E1.31.*/\1/p')
  [ -z "$device" ] || break
  sleep 0.25
done
[ -n "$device" ] || { echo "olad did not start" >&2; exit 3; }
for ((u = 1; u <= universes; u++)); do in_ns ola_patch -i -d "$device" -p $((u - 1)) -u "$u" >/dev/null; done
# ip netns exec and setpriv replace themselves, so this is olad's own number.
echo "ready $olad $ns $at"
while read -r _; do :; done
