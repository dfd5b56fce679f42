"""What the walks through "What fell" share: a known tree, the keypad, and what stands below a field."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import flet as ft

from tests.ui.driver import Driver, walk
from tests.ui.fieldwork import GIVEN

__all__ = ["MILL", "weigh", "words_below"]

MILL: Mapping[str, Any] = {"position": "44.01234, -28.00567", "materials": ("black-walnut",), "leave": GIVEN}


async def weigh(d: Driver, text: str) -> None:
    """Type a number on the keypad of the screen."""
    for sign in text:
        await d.tap("key-decimal" if sign in ".," else f"key-{sign}")


def words_below(d: Driver, key: str) -> list[str]:
    """The words in the column of a field, which are its problems."""
    column = next(c for c in walk(d.top()) if isinstance(c, ft.Column) and c.controls
                  and getattr(c.controls[0], "key", None) == key)
    return [c.value for c in walk(column) if isinstance(c, ft.Text)]
