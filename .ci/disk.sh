#!/bin/bash
# The ledger on a disk that is full, on one that is read-only, with a byte turned over, and with many writers at once: each
# time a clear message and the right exit code, and nothing lost that was told to be recorded.
#   .ci/disk.sh WAXBILL
# Mounts small file systems of its own in memory, so it needs root. Exit: 0 all fine, 1 something failed, 77 where mounting
# is not allowed: then the parts that need no mount were run all the same, and the rest is told as skipped.
set -uo pipefail
export LC_ALL=C.UTF-8
waxbill=$(realpath "$1")
samples=$(realpath "$(dirname "$0")/../samples/quillmere")
work=$(mktemp -d)
disk=$work/disk
trap 'umount "$disk" 2>/dev/null; rm -rf "$work"' EXIT
mkdir "$disk"
passed=0 failed=0
ok() {
    if [ "$1" = 0 ]; then passed=$((passed + 1)); else failed=$((failed + 1)); echo "FAILED: $2"; cat "$work/said" 2>/dev/null; fi
}
# says CODE WORDS COMMAND...: the exit code and the words of its answer.
says() {
    local code=$1 words=$2 got=0
    shift 2
    "$@" >"$work/said" 2>&1 </dev/null || got=$?
    [ "$got" = "$code" ] && grep -qF "$words" "$work/said"
    ok $? "exit $got, wanted $code with \`$words\`: $*"
}
workshop() { mkdir -p "$1" && tar -C "$samples" --exclude=./lots --exclude='./ledger*' -cf - . | tar -C "$1" -xf -; }
entries() { "$waxbill" ledger verify --workshop "$1" --json | sed -n 's/.*"entries": \([0-9]*\).*/\1/p'; }
receive() { "$waxbill" receive harbour-soy-blend --lot "$2" --amount "1 kg" --date 2026-11-01 --workshop "$1"; }

# Twenty writers at once: each one's delivery is there.
many=$work/many
workshop "$many"
receive "$many" first >/dev/null
for n in $(seq 20); do receive "$many" "T-$n" >"$work/out-$n" 2>&1 & done
wait
told=$(grep -l "(entry " "$work"/out-* | wc -l)
[ "$(entries "$many")" = $((told + 1)) ] && [ "$told" = 20 ]
ok $? "twenty writers at once: $told were told that it is recorded, $(entries "$many") entries are there"

# A byte turned over, at a hundred places of the file: verify tells, or the place holds nothing.
size=$(stat -c %s "$many/ledger.sqlite")
noticed=0 unnoticed=0
sound=$("$waxbill" ledger export --workshop "$many" | sha256sum)
for n in $(seq 100); do
    rm -rf "$work/bent"
    mkdir "$work/bent"
    cp "$many/ledger.sqlite" "$work/bent/"
    at=$((size * n / 101))
    byte=$(od -An -tu1 -j "$at" -N 1 "$work/bent/ledger.sqlite")
    printf "\\x$(printf %x $((byte ^ 255)))" | dd of="$work/bent/ledger.sqlite" bs=1 seek="$at" conv=notrunc status=none
    if "$waxbill" ledger verify --workshop "$work/bent" >"$work/said" 2>&1; then
        # what is not noticed must be a place that says nothing
        [ "$("$waxbill" ledger export --workshop "$work/bent" | sha256sum)" = "$sound" ] || { unnoticed=$((unnoticed + 1)); }
    else
        noticed=$((noticed + 1))
    fi
done
[ "$unnoticed" = 0 ] && [ "$noticed" -gt 0 ]
ok $? "a byte turned over: $noticed of 100 noticed, $unnoticed changed what is told and were not"
echo "a byte turned over at 100 places: $noticed noticed, the others changed nothing that is told"

if ! mount -t tmpfs -o size=1536k waxbill-test "$disk" 2>"$work/said"; then
    echo "$passed passed, $failed failed, 11 skipped: no file system can be mounted here ($(cat "$work/said"))"
    [ "$failed" = 0 ] && exit 77
    exit 1
fi
# Full: pours until there is no room, then every lot that was told is there and the ledger is sound.
workshop "$disk/shop"
told=0 code=0
for day in $(seq -w 1 28); do
    "$waxbill" pour "$disk/shop/products/low-tide.yaml" --count 2 --date "2026-11-$day" >"$work/said" 2>&1 </dev/null
    code=$?
    [ "$code" = 0 ] || break
    told=$((told + 1))
done
[ "$code" = 3 ] && grep -qE "space|full|room" "$work/said"
ok $? "a full disk: exit $code after $told lots"
echo "a full disk of 1.5 MB took $told lots, then said: $(head -n 1 "$work/said")"
rm -f "$disk/shop/lots"/*/*.pdf # room for the log that reading needs
says 0 "sound: $told entries, $told lots" "$waxbill" ledger verify --workshop "$disk/shop"
[ "$(find "$disk/shop/lots" -mindepth 1 -maxdepth 1 -name '2*' | wc -l)" = "$told" ]
ok $? "folders of lots that were not recorded are left"
# Not a block left, not even for the log of one entry.
dd if=/dev/zero of="$disk/filler" bs=4096 status=none 2>/dev/null
says 3 "nothing was recorded" receive "$disk/shop" T-0
rm "$disk/filler"
says 0 "sound: $told entries" "$waxbill" ledger verify --workshop "$disk/shop"
says 0 "(entry $((told + 1)))" receive "$disk/shop" T-1
says 0 "sound" "$waxbill" ledger verify --workshop "$disk/shop"
# Read-only.
before=$(sha256sum "$disk/shop/ledger.sqlite")
if mount -o remount,ro "$disk" 2>"$work/said"; then
    says 3 "cannot be opened or written" receive "$disk/shop" T-2
    says 3 "cannot be" "$waxbill" pour "$disk/shop/products/low-tide.yaml" --count 2 --date 2026-12-01
    [ "$(sha256sum "$disk/shop/ledger.sqlite")" = "$before" ]
    ok $? "a read-only disk: the file changed"
    mount -o remount,rw "$disk"
    says 0 "sound" "$waxbill" ledger verify --workshop "$disk/shop"
fi
echo "$passed passed, $failed failed, 0 skipped"
[ "$failed" = 0 ]
