"""What the walks through "What fell" share: a known tree, the keypad, and what stands below a field."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import flet as ft

from field_app.ui.parts.unbroken import apart
from tests.ui.driver import Driver, walk
from tests.ui.fieldwork import GIVEN

__all__ = ["MILL", "weigh", "words_below"]

MILL: Mapping[str, Any] = {"position": "44.01234, -28.00567", "materials": ("black-walnut",), "leave": GIVEN}


async def weigh(d: Driver, text: str) -> None:
    """Type a number on the keypad of the screen."""
    for sign in text:
        await d.tap("key-decimal" if sign in ".," else f"key-{sign}")


def words_below(d: Driver, key: str) -> list[str]:
    """The problems told below a field, or below the row of narrow fields in which it stands."""
    columns = [c for c in walk(d.top()) if isinstance(c, ft.Column) and c.controls]
    column = next(c for c in columns if getattr(c.controls[0], "key", None) == key)
    own = [apart(c.value) for c in walk(column) if isinstance(c, ft.Text)]
    if own:
        return own
    row = [c for c in columns if any(isinstance(one, ft.Row) and column in one.controls for one in c.controls)]
    # Texts inside a live region are problems; labels and units are not.
    return [apart(text.value) for c in row[-1:] for live in walk(c)
            if isinstance(live, ft.Semantics) and live.live_region
            for text in walk(live) if isinstance(text, ft.Text)]
