"""Which side the thumb is on: what is tapped most lies there, and the rest beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from field_app.core.habits import habits

__all__ = ["at_thumb"]

T = TypeVar("T")


def at_thumb(beside: Sequence[T]) -> list[T]:
    """Things beside each other, told as for the right hand: what is tapped most comes last; mirrored for the left.

    >>> at_thumb(["text", "button"])
    ['text', 'button']
    """
    return list(beside) if habits().hand == "right" else list(reversed(beside))
