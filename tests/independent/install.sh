#!/usr/bin/env bash
# Installs the independent senders (npm) into out/independent and prints that folder. Done once; nothing is run on install.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
to=${1:-$here/../../out/independent}
mkdir -p "$to"
to=$(cd "$to" && pwd)
if ! cmp -s "$here/package-lock.json" "$to/.installed" ; then
  command -v npm >/dev/null || { echo "npm is missing (Debian package npm)" >&2; exit 3; }
  cp "$here/package.json" "$here/package-lock.json" "$to/"
  (cd "$to" && npm ci --no-audit --no-fund --ignore-scripts >"$to/npm.log" 2>&1) || { echo "npm could not install the independent senders: $(tail -1 "$to/npm.log")" >&2; exit 3; }
  cp "$here/package-lock.json" "$to/.installed"
fi
cp "$here/send.js" "$here/receive.js" "$here/levels.js" "$to/"
echo "$to"
