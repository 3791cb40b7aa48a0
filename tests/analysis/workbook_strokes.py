"""The straight lines that a page of a PDF strokes, in millimetres from its top left corner."""

from typing import NamedTuple

import numpy as np
from pypdf.generic import ContentStream

MM_PER_POINT = 25.4 / 72


class Stroke(NamedTuple):
    x1: float
    y1: float
    x2: float
    y2: float
    width: float


def _matrix(numbers):
    a, b, c, d, e, f = map(float, numbers)
    return np.array([[a, b, 0], [c, d, 0], [e, f, 1]])


class _Pen:
    """What a page's drawing operators leave behind: matrix, line width, path, strokes."""

    def __init__(self, page):
        self.page, self.height = page, float(page.mediabox.height)
        self.matrix, self.width, self.stack = np.eye(3), 1.0, []
        self.here, self.path, self.found = None, [], []

    def save(self):
        self.stack.append((self.matrix, self.width))

    def restore(self):
        self.matrix, self.width = self.stack.pop()

    def transform(self, *numbers):
        self.matrix = _matrix(numbers) @ self.matrix

    def thicken(self, width):
        self.width = float(width)

    def style(self, name):
        state = self.page["/Resources"]["/ExtGState"][name].get_object()
        self.width = float(state.get("/LW", self.width))

    def move(self, x, y):
        self.here = (float(x), float(y))

    def line(self, x, y):
        there = (float(x), float(y))
        self.path.append((self.here, there))
        self.here = there

    def stroke(self):
        self.found += [_stroke(piece, self.matrix, self.width, self.height) for piece in self.path]
        self.path = []

    def drop(self):
        self.path = []


_OPERATORS = {
    b"q": _Pen.save,
    b"Q": _Pen.restore,
    b"cm": _Pen.transform,
    b"w": _Pen.thicken,
    b"gs": _Pen.style,
    b"m": _Pen.move,
    b"l": _Pen.line,
    b"S": _Pen.stroke,
    **dict.fromkeys((b"n", b"f", b"f*", b"B", b"B*", b"s", b"b"), _Pen.drop),
}


def strokes(page):
    """Follow the drawing operators and give every straight stroke."""
    pen = _Pen(page)
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        if operator in _OPERATORS:
            _OPERATORS[operator](pen, *operands)
    return pen.found


def _stroke(piece, matrix, width, height):
    ends = [np.array([*end, 1]) @ matrix for end in piece]
    scale = abs(np.linalg.det(matrix[:2, :2])) ** 0.5
    (x1, y1, _), (x2, y2, _) = ends
    points = np.array([x1, height - y1, x2, height - y2, width * scale])
    return Stroke(*(points * MM_PER_POINT))


def upright(found):
    """Places of the upright strokes, from left to right."""
    return np.sort([s.x1 for s in found if abs(s.x1 - s.x2) < 1e-3])


def level(found):
    """Places of the level strokes, from the top down."""
    return np.sort([s.y1 for s in found if abs(s.y1 - s.y2) < 1e-3])
