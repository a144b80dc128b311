#!/usr/bin/env python3
"""Counts the pixels in which a picture of the moved design differs from the rolled picture.

    differ.py STILL.png MOVED.png X Y
"""

import sys

import numpy
from PIL import Image

Image.MAX_IMAGE_PIXELS = None
still, moved = (numpy.asarray(Image.open(path).convert("RGB")) for path in sys.argv[1:3])
x, y = int(sys.argv[3]), int(sys.argv[4])
# Piece by piece, so that a picture of 30 000 px a side fits beside itself.
rolled = (numpy.roll(still[(row - y) % len(still)], x, axis=0) for row in range(len(still)))
print(sum(int((a != b).any(axis=1).sum()) for a, b in zip(moved, rolled)))
