#!/bin/sh
# Judges written PDF files with tools that share nothing with waxbill:
#   .ci/outside-pdf.sh [--qr] FILE.pdf...
# qpdf --check finds the file sound; pdffonts finds every face embedded, cut down and mapped to Unicode; pdftotext
# finds words; with --qr, zbarimg decodes a code on the pages drawn by pdftoppm at 600 dpi.
# Needs qpdf, poppler-utils and, with --qr, zbar-tools. Exit: 0 all fine, 1 something found, 2 cannot judge.
set -u

qr=no
files=0
for word do
    case $word in
        --qr) qr=yes ;;
        -*) echo "outside-pdf: unknown option $word" >&2; exit 2 ;;
        *) files=$((files + 1)) ;;
    esac
done
[ "$files" -gt 0 ] || { echo "usage: outside-pdf.sh [--qr] FILE.pdf..." >&2; exit 2; }
tools="qpdf pdffonts pdfinfo pdftotext"
[ "$qr" = no ] || tools="$tools pdftoppm zbarimg"
for tool in $tools; do
    command -v "$tool" >/dev/null || { echo "outside-pdf: $tool is not installed" >&2; exit 2; }
done
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' HUP INT TERM

bad=0
fail() {
    echo "FAIL $file: $1" >&2
    bad=1
}

for file do
    [ "$file" != --qr ] || continue
    case $file in
        /*) ;;
        *) file=./$file ;;
    esac
    [ -r "$file" ] || { fail "cannot be read"; continue; }
    echo "== $file"

    # Exit 3 is a warning; a file made a moment ago has no excuse for one.
    qpdf --check "$file" >"$work/qpdf" 2>&1 || { fail "qpdf --check:"; cat "$work/qpdf" >&2; }

    if pdffonts "$file" >"$work/fonts" 2>"$work/fonts.err" && [ ! -s "$work/fonts.err" ]; then
        cat "$work/fonts"
        # From the right, since names of types hold blanks: emb sub uni object generation.
        awk 'NR > 2 { n++; if ($(NF-4) != "yes" || $(NF-3) != "yes" || $(NF-2) != "yes") { print "  " $0; bad = 1 } }
             END { if (!n) { print "  no font at all"; bad = 1 } exit bad }' "$work/fonts" >"$work/loose" ||
            { fail "pdffonts: a face is not embedded, not cut down or has no Unicode map:"; cat "$work/loose" >&2; }
    else
        fail "pdffonts:"; cat "$work/fonts.err" >&2
    fi

    pdfinfo -box "$file" 2>"$work/info.err" || fail "pdfinfo cannot read it"
    [ ! -s "$work/info.err" ] || { fail "pdfinfo:"; cat "$work/info.err" >&2; }

    pdftotext -layout "$file" "$work/text" 2>"$work/text.err" || fail "pdftotext cannot read it"
    [ ! -s "$work/text.err" ] || { fail "pdftotext:"; cat "$work/text.err" >&2; }
    grep -q '[[:alnum:]]' "$work/text" 2>/dev/null || fail "pdftotext finds no words"

    if [ "$qr" = yes ]; then
        rm -f "$work"/page*
        if pdftoppm -r 600 -gray "$file" "$work/page" 2>"$work/raster.err"; then
            : >"$work/codes"
            for raster in "$work"/page*.pgm; do
                zbarimg --quiet --raw -Sdisable -Sqrcode.enable "$raster" >>"$work/codes" 2>/dev/null
            done
            if [ -s "$work/codes" ]; then
                sed 's/^/QR: /' "$work/codes"
            else
                fail "zbarimg decodes no QR code at 600 dpi"
            fi
        else
            fail "pdftoppm:"; cat "$work/raster.err" >&2
        fi
    fi
done
exit "$bad"
