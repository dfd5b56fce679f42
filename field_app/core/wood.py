"""Bark comes from felled, pruned or wind-thrown wood: a ring taken off a standing tree kills it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from field_app.core.forms import Reader
from field_app.words import later, tr

__all__ = ["STANDING", "WOODS", "read_wood"]

#: The wood that bark may come from, as key and words (common practice, no source).
WOODS: Mapping[str, str] = MappingProxyType({
    "felled": later("a felled tree"), "pruned": later("pruned boughs"), "wind-thrown": later("wind-thrown wood")})
#: What can be said too, and is refused.
STANDING = "standing"


def read_wood(reader: Reader, text: str, part: str) -> str | None:
    """The wood that a part came from, or None with a problem noted, or where the question has no meaning."""
    key = text.strip()
    if part != "bark":
        if key:
            reader.wrong("wood", tr("is asked of bark alone"), tr("Leave it out."))
        return None
    if key == STANDING:
        reader.wrong("wood", tr("bark of a standing tree's trunk is not taken: it kills the tree"),
                     tr("Take it from felled, pruned or wind-thrown wood."))
    elif not key:
        reader.wrong("wood", tr("which wood the bark came from is not told"),
                     tr("Say one of: {choices}.", choices=", ".join(WOODS)))
    elif key not in WOODS:
        reader.wrong("wood", tr("{word!r:.40} is not known", word=key),
                     tr("Say one of: {choices}.", choices=", ".join(WOODS)))
    else:
        return key
    return None
