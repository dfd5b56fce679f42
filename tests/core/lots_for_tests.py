"""Lots as they are stored, for the tests of what is worked out from them."""

from field_app.core.facts import LotFacts
from field_app.core.units import Measure

GATHERED = "2026-10-08T15:24:00-02:00"


def lot(**facts):
    """Facts of a lot; fresh hull of black walnut, 3 kg on the scale, unless told otherwise."""
    plain = {"site": "urn:uuid:00000000-0000-4000-8000-000000000001", "material": "black-walnut", "part": "hull",
             "basis": "weighed", "gathered": GATHERED}
    if facts.get("basis", "weighed") == "weighed" and "gross" not in facts:
        plain["gross"] = Measure("3", "kg")
    return LotFacts(**{**plain, **facts})


def fruit(**facts):
    """Facts of a lot of whole black walnuts."""
    return lot(part="whole-fruit", **facts)


def three(found):
    """Low, central and high."""
    return [found.low, found.central, found.high]
