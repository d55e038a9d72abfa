#!/bin/sh
# packages.sh PACKAGE…: installs those Debian packages that are missing; without the right to do so
# prints the line that would, and fails.
set -eu

missing=
for package in "$@"; do
	[ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null || true)" = installed ] ||
		missing="$missing $package"
done
[ -n "$missing" ] || exit 0

line="apt-get install -y --no-install-recommends$missing"
if [ "$(id -u)" = 0 ]; then
	as_root=
elif command -v sudo >/dev/null && { sudo -n true 2>/dev/null || [ -t 0 ]; }; then
	as_root=sudo
else
	echo "Packages are missing and need root to install. Run this, then try again:" >&2
	echo "  $line" >&2
	exit 1
fi

echo "Installing:$missing"
apt() {
	$as_root env DEBIAN_FRONTEND=noninteractive "$@"
}
if ! ls /var/lib/apt/lists/*_Packages* >/dev/null 2>&1; then
	apt apt-get update -q
fi
# Lists may be too old to find anything by them.
# shellcheck disable=SC2086
apt $line -q || { apt apt-get update -q && apt $line -q; }
