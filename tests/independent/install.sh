#!/usr/bin/env bash
# Installs the independent senders and the readers of CI files (npm) into out/independent and prints that folder. Done once; nothing is run on install.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
to=${1:-$here/../../out/independent}
mkdir -p "$to"
to=$(cd "$to" && pwd)
exec 9>"$to/.lock"
flock 9 # tests of several rooms may ask at once
if ! cmp -s "$here/package-lock.json" "$to/.installed" ; then
  command -v npm >/dev/null || { echo "npm is missing (Debian package npm)" >&2; exit 3; }
  cp "$here/package.json" "$here/package-lock.json" "$to/"
  (cd "$to" && npm ci --no-audit --no-fund --ignore-scripts >"$to/npm.log" 2>&1) || { echo "npm could not install them: $(tail -1 "$to/npm.log")" >&2; exit 3; }
  cp "$here/package-lock.json" "$to/.installed"
fi
cp "$here"/*.js "$here"/*.mjs "$to/"
echo "$to"
