"""What the spread of a liquor comes from, and what a person can do about it, as shares of the variance.

Two inputs that only come as a product, such as the load and the share of hull in it, share what their product has
by the variance of their logarithms.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from field_app.core.estimate import Range
from field_app.core.load import LotEstimate
from field_app.core.spread import log_variance
from field_app.words import later, tr

__all__ = ["Part", "parts_of", "parts_of_reading"]

#: Each input in a dyer's words, and what would settle it; empty where nothing on the spot does.
_WORDS = MappingProxyType({
    "net": (later("how much was brought in"), later("Weigh the load.")),
    "hull share": (later("how much of the fruit is hull"),
                   later("Take the hulls off and weigh them without the nuts.")),
    "dry matter": (later("how much of it is dry matter"), later("Do the dry test: weigh, dry, weigh again.")),
    "extract": (later("how much the stuff can give"), later("Read the liquor with a refractometer.")),
    "washed": (later("how much comes out at once"), later("Read the liquor with a refractometer.")),
    "slow": (later("how fast the rest comes out"), later("Read the liquor with a refractometer, or boil it longer.")),
    "kept": (later("how much the spent stuff keeps back"), later("Measure what was strained off.")),
    "boil-off": (later("how much boils away"), later("Measure what was strained off, or put a lid on.")),
    "volume": (later("how much was strained off"), later("Measure it in a pail with marks.")),
    "reading": (later("the refractometer's reading"), later("Read it again, cold and without sediment.")),
})


@dataclass(frozen=True, slots=True)
class Part:
    """One input's share of the variance of a result [1], what it is in a dyer's words, and what would settle it."""

    key: str
    words: str
    deed: str
    share: float

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {"input": self.key, "words": self.words, "deed": self.deed, "share": self.share}


def parts_of(load: LotEstimate, names: Sequence[str], shares: Sequence[float]) -> tuple[Part, ...]:
    """The parts of a result from the shares of its inputs, largest first, those without any left out."""
    found: dict[str, float] = {}
    for name, share in zip(names, shares, strict=True):
        if name != "fresh":
            found[name] = share
            continue
        net, hull = load.factors["net"], load.factors.get("hull share")
        of_net = 1.0
        if hull is not None and net.low > 0:
            both = log_variance(net) + log_variance(hull)
            of_net = log_variance(net) / both if both else 1.0
        found["net"] = share * of_net
        if hull is not None:
            found["hull share"] = share * (1 - of_net)
    return _sorted(found, weighed=load.weighed)


def parts_of_reading(reading: Range, volume: Range, of_volume: Sequence[Part]) -> Mapping[str, tuple[Part, ...]]:
    """The parts of extract and strength where the liquor was read: its volume's parts play a part in the extract."""
    if volume.low <= 0:
        return {"strength": _sorted({"reading": 1.0}), "extract": tuple(of_volume)}
    one, other = log_variance(reading), log_variance(volume)
    extract = {part.key: part.share * other / (one + other) for part in of_volume}
    return {"strength": _sorted({"reading": 1.0}), "extract": _sorted({"reading": one / (one + other), **extract})}


def _sorted(shares: Mapping[str, float], *, weighed: bool = False) -> tuple[Part, ...]:
    parts = []
    for key, share in shares.items():
        words, deed = _WORDS[key]
        # Who has weighed it need not be told so.
        parts.append(Part(key, tr(words), "" if weighed and key == "net" else tr(deed), share))
    return tuple(sorted((part for part in parts if part.share > 0), key=lambda part: -part.share))
