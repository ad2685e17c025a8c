#!/bin/sh
# Makes the font subsets of this directory, which hold what texts.tsv needs,
# and HarfBuzz's answers to those texts in shaped.tsv. The tests do not need it.
# Usage: make.sh NOTO-DIRECTORY CANTARELL-DIRECTORY
#
# Made with fonttools 4.38.0 and hb-shape 6.0.0 from fonts-noto-core 20201225
# and fonts-cantarell 0.303.1.
set -eu
subset() { # name, source, further code points
	grep "^$1" texts.tsv >texts.tmp
	python3 -m fontTools.subset "$2" --text-file=texts.tmp --unicodes="$3" --output-file="$1" \
		--layout-features='*' --no-hinting --notdef-outline --drop-tables+=DSIG \
		--name-IDs=0,1,2,3,4,5,6,7,13,14
	rm texts.tmp
}
subset sans.ttf "$1/NotoSans-Regular.ttf" 20-7e
subset arabic.ttf "$1/NotoNaskhArabic-Regular.ttf" 660-669
subset devanagari.ttf "$1/NotoSansDevanagari-Regular.ttf" 966-96f
subset cantarell.otf "$2/Cantarell-Bold.otf" 20-7e
SOURCE_DATE_EPOCH=0 python3 ranges.py ranges.ttf

tab=$(printf '\t')
while IFS="$tab" read -r font text; do
	printf '%s\t%s\t%s\n' "$font" "$text" "$(hb-shape --no-glyph-names "$font" "$text")"
done <texts.tsv >shaped.tsv
