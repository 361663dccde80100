#!/bin/bash
# Proves the README's two commands on a machine that has nothing: a minimal
# Debian in a folder, with git and make and no more. Needs root. What is
# tested is the last commit of this checkout, not the working files.
#   scripts/fresh-machine.sh [--keep] [--base-only]
# --keep leaves the folder (unmounted) for a look; --base-only stops before
# the tests. The way to the packages (sources, keys, proxy) is this machine's
# own, read from its /etc/apt now and written nowhere but in that folder.
set -euo pipefail
cd "$(dirname "$0")/.."
checkout=$PWD
suite=${SUITE:-bookworm}
keep=no
base_only=no
for option in "$@"; do
    case $option in
    --keep) keep=yes ;;
    --base-only) base_only=yes ;;
    *) echo "usage: fresh-machine.sh [--keep] [--base-only]" >&2; exit 2 ;;
    esac
done
if [ "$(id -u)" != 0 ]; then
    echo "fresh-machine.sh: needs root for chroot and mounts; run it with sudo" >&2
    exit 4
fi
scripts/install_deps.sh chroot

machine=$(mktemp -d /var/tmp/fresh-machine.XXXXXX)
chmod 755 "$machine" # apt fetches as a user of its own
mounted=()
clean_up() {
    local status=$? at
    for ((at = ${#mounted[@]} - 1; at >= 0; at--)); do
        umount "${mounted[at]}" 2>/dev/null || umount --lazy "${mounted[at]}" || true
    done
    # Never across a mount that would not go.
    if grep -q " $machine/" /proc/self/mounts; then
        echo "fresh-machine.sh: something is still mounted below $machine" >&2
    elif [ $keep = yes ]; then
        echo "kept: $machine" >&2
    else
        rm -rf --one-file-system "$machine"
    fi
    exit $status
}
trap clean_up EXIT
trap 'exit 130' INT TERM HUP

mount_in() { # options source place
    mkdir -p "$machine/$3"
    # shellcheck disable=SC2086 # $1 is a list of options
    mount $1 "$2" "$machine/$3"
    mounted+=("$machine/$3")
}
inside() {
    env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LANG=C.UTF-8 \
        ${http_proxy:+http_proxy="$http_proxy"} \
        ${https_proxy:+https_proxy="$https_proxy"} \
        ${no_proxy:+no_proxy="$no_proxy"} \
        chroot "$machine" "$@" </dev/null
}
timed() { # name command...
    local name=$1 start=$SECONDS
    shift
    if "$@" >"$machine.log" 2>&1; then
        tail -n 4 "$machine.log"
        echo "PASS  $name  $((SECONDS - start)) s"
    else
        tail -n 60 "$machine.log"
        echo "FAIL  $name  $((SECONDS - start)) s"
        rm -f "$machine.log"
        exit 1
    fi
    rm -f "$machine.log"
}

# This machine's own mirror, if it is a Debian of this suite.
mirror=$(apt-get indextargets --format '$(CODENAME) $(REPO_URI)' \
    'Created-By: Packages' 2>/dev/null |
    sed -n "s/^$suite //p" | head -n 1)
mirror=${mirror:-http://deb.debian.org/debian}
if [ -z "${http_proxy:-}" ]; then
    eval "$(apt-config shell http_proxy Acquire::http::Proxy)"
    export http_proxy
fi
timed "bare $suite" debootstrap --variant=minbase "$suite" "$machine" "$mirror"

for part in apt.conf apt.conf.d preferences preferences.d sources.list \
    sources.list.d trusted.gpg trusted.gpg.d keyrings; do
    [ ! -e "/etc/apt/$part" ] || cp -a "/etc/apt/$part" "$machine/etc/apt/"
done
[ -s /etc/apt/sources.list ] || rm -f "$machine/etc/apt/sources.list"
mkdir -p "$machine/usr/share/keyrings" "$machine/srv"
cp -a /usr/share/keyrings/. "$machine/usr/share/keyrings/"
cp -L /etc/resolv.conf "$machine/etc/" 2>/dev/null || true
mount_in '-t proc' proc proc
mount_in --bind /dev dev
mount_in --bind /dev/pts dev/pts
apt_inside() {
    inside apt-get -qq update &&
        inside env DEBIAN_FRONTEND=noninteractive apt-get -qq install -y \
            --no-install-recommends git make
}
timed 'git and make' apt_inside
[ $base_only = no ] || exit 0

[ -z "$(git status --porcelain)" ] ||
    echo "fresh-machine.sh: the working files differ from the commit tested" >&2
git clone -q --bare "$checkout" "$machine/srv/pannage.git"
timed 'git clone' inside git clone -q /srv/pannage.git /root/pannage
timed 'make test' inside make -C /root/pannage --no-print-directory test
timed 'make demo' inside make -C /root/pannage --no-print-directory demo
timed 'make demo, again' inside make -C /root/pannage --no-print-directory demo
