#!/bin/sh
# with-proc.sh COMMAND…: runs it; in a bare chroot, where /proc is empty, with /proc mounted meanwhile:
# Java and the sanitizers cannot do without.
if [ -e /proc/self ] || [ "$(id -u)" != 0 ]; then
	exec "$@"
fi
echo "Mounting /proc for: $*" | cut -c1-100
if mount -t proc proc /proc; then
	trap 'umount /proc || umount -l /proc' EXIT
	trap 'exit 130' INT TERM
fi
"$@"
