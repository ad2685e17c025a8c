#!/usr/bin/python3
"""Times general libraries on the page that the benchmarks trace.

Needs the Debian packages python3-opencv and python3-skimage. From the
package's folder:

    go test -run WritePage -args -write-page page.pgm
    /usr/bin/python3 testdata/yardstick.py page.pgm
    go test -run XXX -bench 'Page|Thin|Simplify' -cpu 1,2 .

Prints the best CPU time in ms of several rounds, on one core, buffers warm.
"""
import sys
import time

import cv2
import numpy

ROUNDS = 30


def best(name, f, rounds=ROUNDS):
    times = []
    for _ in range(rounds):
        start = time.process_time()
        result = f()
        times.append((time.process_time() - start) * 1000)
    times.sort()
    print(f"{name:44s} best {times[0]:9.1f}  median {times[len(times) // 2]:9.1f}")
    return result


def main():
    cv2.setNumThreads(1)
    page = cv2.imread(sys.argv[1], cv2.IMREAD_GRAYSCALE)
    print(f"OpenCV {cv2.__version__}, {page.shape[1]} x {page.shape[0]} pixels")
    hard = best("cv2.threshold", lambda: cv2.threshold(page, 127, 255, cv2.THRESH_BINARY_INV)[1])
    contours, _ = best(
        "cv2.findContours, nested, every vertex",
        lambda: cv2.findContours(hard, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE))
    print(f"    {len(contours)} outlines, {sum(map(len, contours))} vertices")
    try:
        from skimage import __version__, measure
    except ImportError:
        return
    rings = best(f"skimage {__version__} find_contours",
                 lambda: measure.find_contours(page.astype(numpy.float32), 127.5), 2)
    print(f"    {len(rings)} outlines, {sum(map(len, rings))} vertices")
    flat = [numpy.ascontiguousarray(r, dtype=numpy.float32).reshape(-1, 1, 2) for r in rings]
    few = best("cv2.approxPolyDP of those at half a pixel",
               lambda: [cv2.approxPolyDP(r, 0.5, True) for r in flat])
    print(f"    {sum(map(len, few))} nodes")


main()
