"""What tests read back from a PDF: its pages, words, and letters that lie on each other."""

import io
import math
from functools import lru_cache

import pdfplumber
from shapely import STRtree, box

POINT = 25.4 / 72
"""Millimetres in a PDF point (ISO 32000-1, 8.3.2.3)."""
CAPITAL = 0.729
"""Height of a capital in the bundled font, in its size (OS/2 table of the font: 1493 of 2048)."""


@lru_cache(maxsize=4)
def pages(content: bytes):
    """Open a PDF; a test that asks again gets the same pages, which know what they have read."""
    return pdfplumber.open(io.BytesIO(content)).pages


def text(content: bytes) -> str:
    return "\n".join(page.extract_text() or "" for page in pages(content))


def em(char) -> float:
    """Return a letter's font size in points, also of a turned one."""
    return char["height"] if char["upright"] else char["width"]


def ink(char):
    """Return what a letter covers: its advance by the height of capitals, turned as it is (points)."""
    a, b, *_, x, y = char["matrix"]
    scale = math.hypot(a, b)
    along = (a / scale, b / scale)
    ends = [
        (x + along[0] * u - along[1] * v, y + along[1] * u + along[0] * v)
        for u in (0.0, char["adv"] * scale)
        for v in (0.0, CAPITAL * em(char))
    ]
    xs, ys = zip(*ends, strict=True)
    return box(min(xs), min(ys), max(xs), max(ys))


def collisions(page):
    """List pairs of letters that lie on each other, neighbours within a word left out."""
    letters = [char for char in page.chars if char["text"].strip()]
    boxes = [ink(char).buffer(-0.3) for char in letters]
    tree = STRtree(boxes)
    found = []
    for i, j in zip(*tree.query(boxes, predicate="intersects"), strict=True):
        if i + 3 < j:
            found.append((letters[i]["text"], letters[j]["text"], letters[i]["x0"], letters[i]["top"]))
    return found
