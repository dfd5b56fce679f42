"""Swatches of one's own, as the tests need them."""

from field_app.core.swatches import Swatch, SwatchFacts, fault_of_swatch
from field_app.core.units import Measure

WHEN = "2026-10-08T15:24:00-02:00"
MILL, FORD = (f"urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa000{n}" for n in (1, 2))
LOT, OTHER_LOT = (f"urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb000{n}" for n in (1, 2))

#: A swatch of 10 g of cloth with 5 g of air-dry hull, an hour in the bath, that came out medium.
GOOD = {"test": "swatch", "at": WHEN, "stuff": {"value": "5", "unit": "g"}, "cloth": {"value": "10", "unit": "g"},
        "hours": "1", "material": "black-walnut", "state": "air-dry", "band": "medium"}


def facts_of(**more):
    told = {**GOOD, **more}
    if "lightness" in more or "colour" in more:
        del told["band"]
    return {name: member for name, member in told.items() if member is not None}


def grams(text):
    return Measure(text, "g").as_json()


def swatch(key="s1", *, site="", lot="", **more):
    facts = SwatchFacts.model_validate(facts_of(**more))
    assert fault_of_swatch(facts) is None
    return Swatch(key, facts, facts.material, facts.state, site, lot)
