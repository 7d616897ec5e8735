#!/usr/bin/env bash
# Debian's avahi on a bus of its own, on the loopback alone: avahi.sh COMMAND... runs the command beside it; says why and ends with 77 where it can't.
set -u
folder=$(mktemp -d)
bus="" daemon=""
end() { [ -n "$daemon" ] && kill "$daemon" 2>/dev/null; [ -n "$bus" ] && kill "$bus" 2>/dev/null; wait 2>/dev/null; rm -rf "$folder"; }
trap end EXIT
cat >"$folder/bus.conf" <<XML
<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-BUS Bus Configuration 1.0//EN" "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig><listen>unix:path=$folder/bus</listen><auth>EXTERNAL</auth>
<policy context="default"><allow send_destination="*" eavesdrop="true"/><allow eavesdrop="true"/><allow own="*"/></policy></busconfig>
XML
cat >"$folder/avahi.conf" <<CONF
[server]
allow-interfaces=lo
use-ipv6=no
host-name=avahi-peer
[publish]
publish-workstation=no
publish-hinfo=no
CONF
export DBUS_SYSTEM_BUS_ADDRESS="unix:path=$folder/bus"
dbus-daemon --config-file="$folder/bus.conf" --nofork >"$folder/bus.log" 2>&1 &
bus=$!
avahi-daemon -f "$folder/avahi.conf" --no-drop-root --no-chroot --no-rlimits >"$folder/avahi.log" 2>&1 &
daemon=$!
for _ in $(seq 50); do
  avahi-browse -t -p _none._tcp >/dev/null 2>&1 && break
  kill -0 "$daemon" 2>/dev/null || { tail -n 3 "$folder/avahi.log" "$folder/bus.log" >&2; exit 77; }
  sleep .1
done
avahi-browse -t -p _none._tcp >/dev/null 2>&1 || { tail -n 3 "$folder/avahi.log" >&2; exit 77; }
"$@"
