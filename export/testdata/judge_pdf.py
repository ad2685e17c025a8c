#!/usr/bin/env python3
"""Looks at a print pattern with poppler's pdfinfo and pdftoppm, a general reader and rasteriser.

    python3 judge_pdf.py FILE.pdf        (poppler 22.12.0 when this was written)

Prints the page size in points and, for every page drawn at 10 pixels to the mm, the two longest level lines of its lower third
that are no longer than 55 mm: the bars of 50 mm and 2 in. Exit 1 if a bar is off by more than 0.2 mm.
"""
import re
import subprocess
import sys

info = subprocess.run(["pdfinfo", sys.argv[1]], capture_output=True, text=True, check=True).stdout
print(re.search(r"Page size: +(.*)", info).group(1), "pages", re.search(r"Pages: +(.*)", info).group(1))
data = subprocess.run(["pdftoppm", "-gray", "-r", "254", sys.argv[1]], capture_output=True, check=True).stdout
wrong = False
page = 0
while data:
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    w, h = int(head.group(1)), int(head.group(2))
    pixels, data = data[head.end():head.end() + w * h], data[head.end() + w * h:]
    page += 1
    runs = set()
    for y in range(h * 2 // 3, h):
        row = pixels[y * w:(y + 1) * w]
        for m in re.finditer(rb"[\x00-\x7f]{400,550}", row):
            runs.add((m.start(), m.end() - m.start()))
    lengths = sorted({n / 10 for _, n in runs})
    # A bar is as long as the middles of its outer marks are apart; a mark is 0.25 mm wide.
    bars = [n - 0.25 for n in lengths]
    ok = any(abs(n - 50) <= 0.2 for n in bars) and any(abs(n - 50.8) <= 0.2 for n in bars)
    wrong = wrong or not ok
    print("page", page, "bars", ", ".join(f"{n:.2f} mm" for n in bars), "as they should be" if ok else "WRONG")
sys.exit(wrong)
