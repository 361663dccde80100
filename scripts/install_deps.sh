#!/bin/sh
# Installs what the named groups need and this machine lacks; a complete
# machine is left alone and needs no network.
#   scripts/install_deps.sh build|test|lint|bench|chroot ...
set -eu

packages_of() {
    case $1 in
    build) echo "gcc libc6-dev make cmake ninja-build pkg-config" \
        "libsqlite3-dev libjansson-dev libnlopt-dev libyaml-dev" ;;
    test) echo "libcmocka-dev sqlite3 libxml2-utils jq" ;;
    lint) echo "clang clang-format clang-tidy libclang-rt-14-dev" ;;
    bench) echo "python3 python3-numpy python3-sklearn" ;;
    chroot) echo "debootstrap" ;;
    *) echo "install_deps.sh: no group '$1'; expected build, test, lint," \
        "bench or chroot" >&2
        return 2 ;;
    esac
}

# Is the group usable, however it came here? For machines without apt.
works() {
    case $1 in
    build) { command -v gcc && command -v cmake && command -v ninja &&
        pkg-config --exists sqlite3 jansson nlopt yaml-0.1; } >/dev/null 2>&1 ;;
    test) { command -v sqlite3 && command -v xmllint && command -v jq &&
        pkg-config --exists cmocka; } >/dev/null 2>&1 ;;
    lint) { command -v clang && command -v clang-format &&
        command -v clang-tidy; } >/dev/null 2>&1 ;;
    bench) python3 -c 'import numpy, sklearn' >/dev/null 2>&1 ;;
    chroot) command -v debootstrap >/dev/null 2>&1 ;;
    esac
}

is_installed() {
    [ "$(dpkg-query -W -f='${db:Status-Status}' "$1" 2>/dev/null)" = installed ]
}

# Without apt-get, or without the right to use it: say once what is needed,
# and go on only if the tools are there.
by_hand() {
    echo "install_deps.sh: $1; please install what these Debian packages" \
        "hold: $wanted" >&2
    for group in $groups; do
        works "$group" || exit 1
    done
    exit 0
}

groups="$*"
[ $# -gt 0 ] || groups=build
wanted=
for group in $groups; do
    wanted="$wanted${wanted:+ }$(packages_of "$group")"
done

if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
    all_work=yes
    for group in $groups; do
        works "$group" || all_work=no
    done
    [ $all_work = yes ] && exit 0
    by_hand "this system has no apt-get"
fi

missing=
for package in $wanted; do
    is_installed "$package" || missing="$missing${missing:+ }$package"
done
[ -n "$missing" ] || exit 0

if [ "$(id -u)" = 0 ]; then
    as_root=
elif command -v sudo >/dev/null; then
    as_root=sudo
else
    by_hand "neither root nor sudo"
fi

log=$(mktemp)
trap 'rm -f "$log"' EXIT
apt() {
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq \
        -o DPkg::Lock::Timeout=300 -o Acquire::Retries=3 "$@" >>"$log" 2>&1 </dev/null
}
echo "installing: $missing" >&2
# $missing is a list of words. An update that fails for one of many sources
# may still be good enough: the install decides.
if ! { apt update || true; } ||
    ! apt install -y --no-install-recommends $missing; then
    tail -n 20 "$log" >&2
    by_hand "apt-get could not install everything"
fi
