#!/usr/bin/env bash
# Debian's ola as an independent sender: ola.sh UNIVERSE LEVEL [artnet]; sACN when no other is named. olad runs as an unprivileged user in a network
# namespace of its own, joined to this one by a veth pair. Sends LEVEL on all addresses of UNIVERSE. Prints "ready LOCAL-ADDRESS INTERFACE"; the line
# "stop" on standard input unpatches the universe (which terminates the stream), "nodes" lists who takes it, and the end of input takes all of it away.
set -eu
universe=$1 level=$2 kind=${3:-e131} id=$((RANDOM % 200 + 20))
ns=svw$id here=10.77.$id.1 there=10.77.$id.2
conf=$(mktemp -d); olad= feed=
cleanup() {
  [ -z "$feed" ] || kill "$feed" 2>/dev/null || true
  [ -z "$olad" ] || { kill "$olad" 2>/dev/null; wait "$olad" 2>/dev/null; } || true
  ip netns del "$ns" 2>/dev/null || true
  ip link del "${ns}a" 2>/dev/null || true
  rm -rf "$conf"
}
trap cleanup EXIT
ip netns add "$ns"
ip link add "${ns}a" type veth peer name "${ns}b"
ip link set "${ns}b" netns "$ns"
ip addr add $here/24 brd + dev "${ns}a"; ip link set "${ns}a" up
in_ns() { ip netns exec "$ns" "$@"; }
in_ns ip addr add $there/24 brd + dev "${ns}b"; in_ns ip link set "${ns}b" up; in_ns ip link set lo up; in_ns ip route add default dev "${ns}b"
for p in artnet dummy e133 espnet ftdidmx gpio karate kinet milinst nanoleaf opendmx openpixelcontrol osc pathport renard sandnet shownet spi stageprofi uartdmx usbdmx usbpro usbserial; do
  echo "enabled = false" >"$conf/ola-$p.conf"
done
if [ "$kind" = artnet ]; then
  # Unicast alone, to the nodes that answered its polls.
  name=ArtNet
  printf '%s\n' "always_broadcast = false" "enabled = true" "ip = $there" "long_name = an independent controller" "net = 0" "output_ports = 4" "short_name = controller" \
    "subnet = 0" "use_limited_broadcast = false" "use_loopback = false" >"$conf/ola-artnet.conf"
  echo "enabled = false" >"$conf/ola-e131.conf"
else
  name=E1.31
  printf '%s\n' "cid = 11111111-2222-3333-4444-555555555555" "dscp = 0" "draft_discovery = true" "enabled = true" "ignore_preview = true" "input_ports = 1" \
    "ip = $there" "output_ports = 1" "prepend_hostname = false" "revision = 0.46" >"$conf/ola-e131.conf"
fi
chmod 777 "$conf"; chmod 666 "$conf"/*
ip netns exec "$ns" setpriv --reuid=65534 --regid=65534 --clear-groups olad --no-http --no-register-with-dns-sd -c "$conf" -l 1 >/dev/null 2>&1 &
olad=$!
device=
for _ in $(seq 40); do
  device=$(in_ns ola_dev_info 2>/dev/null | sed -n 's/^Device \([0-9]*\): '$name'.*/\1/p')
  [ -z "$device" ] || break
  sleep 0.25
done
[ "$kind" = artnet ] && port=$(in_ns ola_dev_info | sed -n 's/^  port \([0-9]*\), OUT.*/\1/p' | head -1) || port=0
[ -n "$device" ] || { echo "olad did not start" >&2; exit 3; }
in_ns ola_patch -d "$device" -p "$port" -u "$universe" >/dev/null
levels=$(printf "$level%.0s," $(seq 511))$level
(while sleep 0.5; do in_ns ola_set_dmx -u "$universe" -d "$levels" >/dev/null 2>&1; done) &
feed=$!
echo "ready $here ${ns}a"
while read -r line; do
  if [ "$line" = stop ]; then
    kill $feed 2>/dev/null || true; feed=
    in_ns ola_patch -d "$device" -p "$port" -u "$universe" --unpatch >/dev/null
  elif [ "$line" = nodes ]; then
    # Hosts of the nodes that take this universe, as the controller knows them.
    echo "nodes $(in_ns ola_artnet -d "$device" --universe "$universe" 2>&1 | tr '\n' ' ')"
  fi
done
