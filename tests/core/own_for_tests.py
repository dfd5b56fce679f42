"""Values and tests of one's own, as the tests need them."""

from field_app.core.own import OwnRecords, OwnTest, OwnValue
from field_app.core.own_facts import OwnTestFacts, ValueFacts
from field_app.core.units import Measure

WHEN = "2026-10-08T15:24:00-02:00"
MILL, FORD = (f"urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa000{n}" for n in (1, 2))
LOT, OTHER_LOT = (f"urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb000{n}" for n in (1, 2))


def grams(text):
    return Measure(text, "g")


def dry_test(before="200", after="40", *, material="black-walnut", state="fresh", site=MILL, lot="", key="t1", **more):
    facts = OwnTestFacts.model_validate({"test": "dry", "at": WHEN, "lot": lot or None, "before": grams(before),
                                         "after": grams(after), "material": None if lot else material,
                                         "state": state, **more})
    return OwnTest(key, facts, material, state, site, lot)


def spent_test(before="100", after="72", *, material="black-walnut", site=MILL, lot="", key="s1", **more):
    facts = OwnTestFacts.model_validate({"test": "spent", "at": WHEN, "before": grams(before), "after": grams(after),
                                         "material": material, "state": "air-dry", **more})
    return OwnTest(key, facts, material, "air-dry", site, lot)


def reading(before="1000", liquor="12", brix="1.8", *, material="black-walnut", state="air-dry", site=MILL, lot="",
            key="r1", **more):
    facts = OwnTestFacts.model_validate({"test": "reading", "at": WHEN, "before": grams(before),
                                         "liquor": Measure(liquor, "L"), "brix": brix, "material": material,
                                         "state": state, **more})
    return OwnTest(key, facts, material, state, site, lot)


def value(text="18", unit="%", parameter="dry-fresh", *, material="black-walnut", site=None, key="v1", **more):
    return OwnValue(key, ValueFacts.model_validate({"material": material, "parameter": parameter, "value": text,
                                                    "unit": unit, "at": WHEN, "site": site, **more}))


def records(*own):
    return OwnRecords(tuple(one for one in own if isinstance(one, OwnValue)),
                      tuple(one for one in own if isinstance(one, OwnTest)))
