#!/bin/bash
# Compares rules/hazard/statements.csv with an independent release of the same open data: the LaTeX package hpstatement in
# Debian's texlive-science, in all 24 languages. Downloads the package and unpacks it without installing it.
#   .ci/outside-statements.sh [PACKAGE.deb]
# Differences known and explained stand in .ci/outside-statements.txt: a line that is no longer needed fails too.
# Needs dpkg-deb, awk and sed, and apt-get where no package is given. Exit: 0 as expected, 1 something differs, 2 cannot judge.
set -euo pipefail
export LC_ALL=C.UTF-8
cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
stop() {
    echo "outside-statements: $1" >&2
    exit 2
}

if [ $# -gt 0 ]; then
    package=$(realpath "$1")
else
    chmod 755 "$work"
    (cd "$work" && { apt-get download -qq texlive-science || { apt-get update -qq && apt-get download -qq texlive-science; }; }) \
        >"$work/apt" 2>&1 || { cat "$work/apt" >&2; stop "texlive-science cannot be downloaded"; }
    package=$(find "$work" -name 'texlive-science_*.deb' | head -n 1)
fi
dpkg-deb -x "$package" "$work/unpacked" || stop "the package cannot be unpacked"
phrases=$(find "$work/unpacked" -type d -name hpstatement.inc | head -n 1)
[ -n "$phrases" ] || stop "no hpstatement in the package"

# The shape of apostrophes and of blanks before degrees is no matter of wording.
even() { sed -E "s/\xc2\xa0/ /g; s/ °/°/g; s/… (kg|lb)/…\1/g; s/’/'/g"; }

# Theirs, as CODE<tab>LANG<tab>TEXT: the newest wording of each code, `.0` being the form with its places left open.
for file in "$phrases"/hpstatement-??.inc.sty; do
    lang=$(basename "$file" .inc.sty)
    lang=${lang#hpstatement-}
    sed -E 's/\\noexpand//g; s/\\hskip\\z@skip\{\}//g; s/\\textellipsis\{\}/…/g; s/\\textless\{\}/</g; s/\\textgreater\{\}/>/g
            s/\\textdegree\{\}/°/g; s/\\oe\{\}/œ/g; s/\\ss\{\}/ß/g; s/\\c\{c\}/ç/g; s/\\[,-]//g; s/\\ / /g
            s/\\"A/Ä/g; s/\\"O/Ö/g; s/\\"U/Ü/g; s/\\"a/ä/g; s/\\"o/ö/g; s/\\"u/ü/g; s/\\'\''E/É/g; s/\\'\''e/é/g
            s/\\\^E/Ê/g; s/\\\^I/Î/g; s/\\\^a/â/g; s/\\\^e/ê/g; s/\\\^i/î/g; s/\\\^o/ô/g; s/\\\^u/û/g
            s/\\`A/À/g; s/\\`a/à/g; s/\\`e/è/g; s/\\`u/ù/g' "$file" |
        awk -v lang="$lang" '
            /tl_gset:cn/ {
                code = $0
                sub(/^.*hp_[a-z][a-z]_/, "", code)
                wanted = sub(/-0_tl}.*$/, "", code)
                sub(/\.0$/, "", code)
                next
            }
            wanted && /mhchem_hp_s:nnn/ {
                text = $0
                sub(/^.*nnn{[0-9]*}{/, "", text)
                sub(/}.*$/, "", text)
                if (text != "" && text !~ /\\/) print code "\t" lang "\t" text
                wanted = 0 # further lines are older
            }'
done | even | sort -u >"$work/theirs"

# Ours in the same form; no field holds a quotation mark of its own.
awk '
    function next_field(    field) {
        if (substr(rest, 1, 1) == "\"") {
            rest = substr(rest, 2)
            field = substr(rest, 1, index(rest, "\"") - 1)
            rest = substr(rest, length(field) + 3)
        } else {
            field = rest
            sub(/,.*/, "", field)
            rest = substr(rest, length(field) + 2)
        }
        return field
    }
    { rest = $0; code = next_field(); n = 0 }
    NR == 1 { while (rest != "") langs[++n] = next_field(); next }
    { while (rest != "") { text = next_field(); n++; if (text != "") print code "\t" langs[n] "\t" text } }
' rules/hazard/statements.csv | even | sort -u >"$work/ours"

[ "$(wc -l <"$work/theirs")" -gt 4000 ] || stop "only $(wc -l <"$work/theirs") of their statements could be read"
# CODE LANG of every pair in both that differs, and of every one of ours they lack.
awk -F '\t' '
    FNR == NR { theirs[$1 " " $2] = $3; next }
    { key = $1 " " $2; if (!(key in theirs)) print key "\tmissing\t" $3; else if (theirs[key] != $3) print key "\t" theirs[key] "\t" $3 }
' "$work/theirs" "$work/ours" | sort >"$work/differ"

awk -F '\t' -v pairs="$(wc -l <"$work/ours")" '
    FNR == NR {
        if ($0 ~ /^#/ || $0 == "") next
        split($0, part, / +/)
        allowed[part[1] " " part[2]] = 1 # the reason follows
        next
    }
    { split($1, part, " "); all = part[1] " *"; any = 0
      if ($1 in allowed) { used[$1] = 1; any = 1 }
      if (all in allowed) { used[all] = 1; any = 1 }
      if (any) { known++; next }
      bad++; print "DIFFERS " $1 "\n  theirs: " $2 "\n  ours:   " $3 }
    END {
        for (pair in allowed) if (!(pair in used)) { print "NOT NEEDED any more: " pair; bad++ }
        printf "%d statements compared, %d differ as listed, %d otherwise\n", pairs, known, bad
        exit bad > 0
    }
' .ci/outside-statements.txt "$work/differ"
