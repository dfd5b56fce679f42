"""Bark comes from felled, pruned or wind-thrown wood: a ring taken off a standing tree kills it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from field_app.core.forms import Reader

__all__ = ["STANDING", "WOODS", "read_wood"]

#: The wood that bark may come from, as key and words (common practice, no source).
WOODS: Mapping[str, str] = MappingProxyType({
    "felled": "a felled tree", "pruned": "pruned boughs", "wind-thrown": "wind-thrown wood"})
#: What can be said too, and is refused.
STANDING = "standing"


def read_wood(reader: Reader, text: str, part: str) -> str | None:
    """The wood that a part came from, or None with a problem noted, or where the question has no meaning."""
    key = text.strip()
    if part != "bark":
        if key:
            reader.wrong("wood", "is asked of bark alone", "Leave it out.")
        return None
    if key == STANDING:
        reader.wrong("wood", "bark of a standing tree's trunk is not taken: it kills the tree",
                     "Take it from felled, pruned or wind-thrown wood.")
    elif not key:
        reader.wrong("wood", "which wood the bark came from is not told", f"Say one of: {', '.join(WOODS)}.")
    elif key not in WOODS:
        reader.wrong("wood", f"{key!r:.40} is not known", f"Say one of: {', '.join(WOODS)}.")
    else:
        return key
    return None
