#!/bin/sh
# Cuts the six faces out of Debian's fonts-noto-extra. Usage: cut.sh FOLDER-WITH-NOTO-TTF OUTPUT-FOLDER
set -eu
from=$1
to=$2
# Basic Latin; Latin-1 and Extended-A; Romanian comma letters; Greek; Cyrillic; dashes, quotes, daggers, bullet, ellipsis,
# per mille, primes, thin and narrow no-break space, no-break hyphen; fractions; euro, numero, estimated and trade mark signs.
unicodes=20-7E,A0-AC,AE-17F,218-21B,384-3CE,400-45F,490,491,2009,2010,2011,2013,2014,2018-201A,201C-201E,2020,2022,2026,202F,2030,2032,2033,2039,203A,2044,20AC,2116,2122,212E,2153,2154,215B-215E
for face in SemiCondensed SemiCondensedBold Condensed CondensedBold ExtraCondensed ExtraCondensedBold; do
  SOURCE_DATE_EPOCH=0 pyftsubset "$from/NotoSans-$face.ttf" --unicodes=$unicodes --layout-features=kern --drop-tables+=GSUB --no-hinting \
    --name-IDs='*' --name-legacy --notdef-outline --no-recalc-timestamp --output-file="$to/NotoSans-$face.ttf"
done
