"""Words on a canvas: whether they lie within it, each in a place of its own."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import flet as ft
import flet.canvas as cv

__all__ = ["words_apart"]

#: How wide a sign is, and how high a line, for a font of size 1: an average of the shipped font, rather small, so that
#: what fails here is seen [1].
_SIGN, _LINE = 0.48, 1.2


def words_apart(shapes: Sequence[cv.Shape], width: float, height: float) -> None:
    """Fail if words run out of their canvas of this size [logical px], or into other words."""
    boxes: list[tuple[float, float, float, float, str]] = []
    for shape in shapes:
        if isinstance(shape, cv.Text) and shape.style is not None and shape.value is not None:
            size = float(shape.style.size or 0)
            wide, tall = _SIGN * size * len(shape.value), _LINE * size
            alignment = shape.alignment or ft.Alignment.TOP_LEFT
            across, down = (alignment.x + 1) / 2, (alignment.y + 1) / 2
            left, top = shape.x - across * wide, shape.y - down * tall
            assert left >= -1, shape.value
            assert left + wide <= width + 1, shape.value
            assert top >= -1, shape.value
            assert top + tall <= height + 1, shape.value
            boxes.append((left, top, left + wide, top + tall, shape.value))
    for one, other in itertools.combinations(boxes, 2):
        assert one[0] >= other[2] or other[0] >= one[2] or one[1] >= other[3] or other[1] >= one[3], (one, other)
