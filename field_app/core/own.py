"""The values in force: the table of materials, with a person's own values and tests in place of its defaults.

The law of this file:

1. A value that was set for the site beats one set for the material, and both beat the table.
2. Where no value was set, own tests narrow the table's band (:mod:`field_app.core.learning`): most for the lot that
   was tested, less for its site, least for the same material elsewhere.
3. A test of the very lot goes on top of a value that was set, as it is nearer.
4. Swatches teach how much stuff each shade takes (:mod:`field_app.core.swatch_learning`), by the same rules.
5. What is replaced says so in its source, and carries the mark ``own``.

Functions of the core take a :class:`Material`, so what is in force simply comes as one with other parameters.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType

from field_app.core.bands import SHADES
from field_app.core.estimate import Z90, Range
from field_app.core.facts import LotFacts
from field_app.core.habits import Habits, habits
from field_app.core.learning import Known, Seen, known_of, learn, range_of, spread_of, updated
from field_app.core.materials import MATERIALS, Material, Parameter, material
from field_app.core.own_facts import OwnTestFacts, StuffState, ValueFacts, parameter_of
from field_app.core.palette import Palette
from field_app.core.problems import Refused
from field_app.core.sources import source_said
from field_app.core.surer import SCALE
from field_app.core.swatch_learning import Taught, taught
from field_app.core.swatches import Swatch
from field_app.core.units import Measure, read_number
from field_app.words import tr, tr_n

__all__ = ["NOTHING_OWN", "OWN_VALUE", "InForce", "Learnt", "OwnRecords", "OwnTest", "OwnValue", "default_of",
           "in_force", "learnt", "observed", "state_of", "table"]

#: How far a value set without ends may be off, as a factor either way [1] (common practice, no source).
OWN_VALUE = 1.10
#: How far a sample of a lot may be off the whole lot, as a factor either way [1] (common practice, no source).
_SAMPLE = 1.06
#: How far a refractometer may be off [°Brix], either way (common practice, no source).
_BRIX = 0.2
#: How far a volume read off a pot may be off, as a factor either way [1] (common practice, no source).
_POT = 1.05

#: The least share that two weighings can tell apart [1]: below it a logarithm would say more than the scale.
_LEAST = 1e-4

#: Gives the material in force: by its key, the id of a site and the id of a lot, empty where there is none.
Lookup = Callable[[str, str, str], Material]


@dataclass(frozen=True, slots=True)
class OwnValue:
    """A value that a person set: the id of its record, its facts, and whether people say different things of it."""

    id: str
    facts: ValueFacts
    disputed: bool = False


@dataclass(frozen=True, slots=True)
class OwnTest:
    """A test as it stands: what it was made of, and where.

    material, site, lot: a key and two ids, the ids empty where they are not known; state: of the stuff.
    """

    id: str
    facts: OwnTestFacts
    material: str
    state: StuffState
    site: str = ""
    lot: str = ""

    @property
    def parameter(self) -> str:
        """The name of the parameter that it teaches."""
        return f"dry-{self.state}" if self.facts.test == "dry" else "extract"


@dataclass(frozen=True, slots=True)
class OwnRecords:
    """Everything of a person's own that stands: values set, tests, and swatches."""

    values: tuple[OwnValue, ...] = ()
    tests: tuple[OwnTest, ...] = ()
    swatches: tuple[Swatch, ...] = ()

    def of(self, material_key: str) -> OwnRecords:
        """Those of one material."""
        return OwnRecords(tuple(one for one in self.values if one.facts.material == material_key),
                          tuple(one for one in self.tests if one.material == material_key),
                          tuple(one for one in self.swatches if one.material == material_key))


NOTHING_OWN = OwnRecords()


@dataclass(frozen=True, slots=True)
class Learnt:
    """How a parameter came to be what it is in force.

    default: the table's row; row: the one in force; value: the value set that holds, if any;
    tests: those that taught it, nearest first; swatches: how many taught it [1].
    """

    name: str
    default: Parameter
    row: Parameter
    value: OwnValue | None = None
    tests: tuple[OwnTest, ...] = ()
    swatches: int = 0

    @property
    def overridden(self) -> bool:
        """Whether it is not the table's."""
        return self.row is not self.default


def state_of(facts: LotFacts) -> StuffState:
    """In what state the stuff of a lot is put to a test: browned is a state of its own."""
    turned = facts.ripeness in ("browned", "black") and facts.condition == "fresh"
    stuff = MATERIALS.get(facts.material)
    shows = stuff is not None and any(part.key == facts.part and part.shows_ripeness for part in stuff.parts)
    return "browned" if turned and shows else facts.condition


def table(material_key: str, _site: str = "", _lot: str = "") -> Material:
    """The material as the packaged table has it: what is in force where nothing is of one's own."""
    return material(material_key)


def default_of(name: str, stuff: Material) -> Parameter | None:
    """The row that a test of this name teaches; stuff without a row of its own for a state has that of fresh stuff."""
    row = stuff.parameters.get(name)
    return stuff.parameters.get("dry-fresh") if row is None and name.startswith("dry-") else row


def observed(test: OwnTest, stuff: Material) -> Seen:
    """What a test says of its parameter, as an observation of the logarithm [1].

    stuff: the material in force for it, whose dry matter turns what was put into a kettle into dry mass.
    """
    facts = test.facts
    assert facts.before is not None  # fault_of_test has seen to it
    before, before_sd = _net(facts.before, facts)
    if facts.test == "reading":
        assert facts.liquor is not None
        brix = float(read_number(facts.brix or "", where="brix"))
        # A litre of thin liquor is taken as a kilogram: up to 5 °Brix that is within 2 %.
        dry = known_of(_dry(test, stuff).range(tr("dry matter")))
        value = brix / 100 * facts.liquor.si / (before * math.exp(dry.mid))
        sd = math.hypot(before_sd, dry.sd, spread_of(1 + _BRIX / brix), spread_of(_POT))
    else:
        assert facts.after is not None
        after, after_sd = _net(facts.after, facts)
        left = after / before
        value = left if facts.test == "dry" else 1 - left
        sd = math.hypot(before_sd, after_sd)
        if facts.test == "spent":
            # Of a difference, the spread counts on what is left over of the two weighings.
            value = max(value, _LEAST)
            sd *= left / value
    return Seen(math.log(min(value, 1.0)), math.hypot(sd, spread_of(_SAMPLE)), test.site, test.lot)


def _net(gross: Measure, facts: OwnTestFacts) -> tuple[float, float]:
    """Net mass [kg], and the spread of its logarithm [1]."""
    net = gross.si - (facts.dish.si if facts.dish is not None else 0.0)
    if facts.division is None:
        return net, spread_of(SCALE)
    # A division either way, as a scale without a class may show (common practice, no source).
    return net, facts.division.si / net / Z90


def _dry(test: OwnTest, stuff: Material) -> Parameter:
    row = default_of(f"dry-{test.state}", stuff)
    assert row is not None  # every material has one, which a test of the table proves
    return row


def in_force(material_key: str, site: str = "", records: OwnRecords = NOTHING_OWN, *, lot: str = "") -> Material:
    """The material with everything of one's own in it, for a site and a lot, empty where there is none.

    Raises Refused if the material is not known. Without anything of one's own it is the table's, the same object.

    >>> in_force("black-walnut") is material("black-walnut")
    True
    """
    stuff = material(material_key)
    own = records.of(material_key)
    if own == NOTHING_OWN:
        return stuff
    return _with(stuff, learnt(stuff, own, site=site, lot=lot))


def _with(stuff: Material, told: Mapping[str, Learnt]) -> Material:
    return stuff.model_copy(update={"parameters": MappingProxyType(
        {**stuff.parameters, **{name: one.row for name, one in told.items()}})})


def learnt(stuff: Material, records: OwnRecords, *, site: str = "", lot: str = "") -> Mapping[str, Learnt]:
    """How each parameter that is not the table's came about, by name; stuff as the table has it.

    Dry matter comes first, since a reading rests on it.
    """
    own = records.of(stuff.key)
    found: dict[str, Learnt] = {}
    taught = sorted({test.parameter for test in own.tests}, key=lambda name: not name.startswith("dry-"))
    values = _nearest(own.values, site)
    for name in dict.fromkeys([*taught, *values]):
        default = default_of(name, stuff)
        if default is None:
            continue  # a figure that only a newer program has
        known = _with(stuff, found)
        tests = [test for test in own.tests if test.parameter == name]
        one = _learnt(name, default, values.get(name), tests, known, site=site, lot=lot)
        if one is not None:
            found[name] = one
    found |= _by_swatches(_with(stuff, found), found, own.swatches, site, lot)
    return MappingProxyType(found)


def _by_swatches(stuff: Material, found: Mapping[str, Learnt], swatches: Sequence[Swatch], site: str,
                 lot: str) -> dict[str, Learnt]:
    """The stuff that each shade takes, as swatches have taught; stuff: with all that is known without them."""
    made: dict[str, Learnt] = {}
    for of_lot in (False, True):
        told = [one for one in swatches if not of_lot or (lot and one.lot == lot)]
        if not told:
            continue
        after = taught(stuff, told, site=site, lot=lot)
        for name, row in stuff.parameters.items():
            was_set = name in found
            # On a value that was set, only a swatch of the very lot goes on top.
            if name.removeprefix("wof-") in SHADES and was_set is of_lot and row.low < row.high:
                before = found[name] if was_set else Learnt(name, row, row)
                made[name] = replace(before, row=_swatched(row, after), swatches=after.count)
    return made


def _swatched(row: Parameter, after: Taught) -> Parameter:
    return _row(row, after.amount(row.range("")), tr_n(
        "your own swatch, on top of {shown} ({source})", "your own {n} swatches, on top of {shown} ({source})",
        after.count, shown=row.shown, source=source_said(row.source)))


def _nearest(values: Iterable[OwnValue], site: str) -> dict[str, OwnValue]:
    found: dict[str, OwnValue] = {}
    for value in sorted(values, key=lambda one: one.id):
        if value.facts.site is None:
            found.setdefault(value.facts.parameter, value)
        elif site and value.facts.site == site:
            found[value.facts.parameter] = value
    return found


def _learnt(name: str, default: Parameter, value: OwnValue | None, tests: list[OwnTest], stuff: Material, *,
            site: str, lot: str) -> Learnt | None:
    if default.low == default.high:
        tests = []
    own = [test for test in tests if lot and test.lot == lot]
    if value is None:
        if not tests:
            return None
        prior = known_of(default.range(name))
        after = learn(prior, [observed(test, stuff) for test in tests], site=site, lot=lot)
        near = sorted(tests, key=lambda test: (not (lot and test.lot == lot), not (site and test.site == site),
                                               test.facts.at, test.id))
        return Learnt(name, default, _taught(default, after, near, site, lot), None, tuple(near))
    row = _set(default, value)
    if own and row.low < row.high:
        after = updated(known_of(row.range(name)), [observed(test, stuff) for test in own])
        row = _taught(row, after, own, site, lot)
    return Learnt(name, default, row, value, tuple(own))


def _most(row: Parameter) -> float:
    return 1.0 if row.unit == "1" and row.high <= 1 else math.inf


def _row(default: Parameter, made: Range, source: str) -> Parameter:
    return Parameter(low=made.low, central=made.central, high=made.high, unit=default.unit, source=source, mark="own")


def _taught(default: Parameter, after: Known, tests: list[OwnTest], site: str, lot: str) -> Parameter:
    here = sum(bool(lot) and test.lot == lot for test in tests)
    near = sum(bool(site) and test.site == site for test in tests) - here
    told = (_tests_said(here, near, len(tests) - here - near) if site or lot
            else tr_n("your own test", "your own {n} tests", len(tests)))
    source = (tr("{tests} on top of {source}", tests=told, source=default.source) if default.mark == "own"
              else tr_n("{tests}; it narrows the table's band: {shown}",
                        "{tests}; they narrow the table's band: {shown}", len(tests), tests=told, shown=default.shown))
    return _row(default, range_of(after, default.unit, most=_most(default)), source)


def _tests_said(here: int, near: int, far: int) -> str:
    """How many tests of one's own there are of this lot, of this place and elsewhere [1], in words."""
    count = here + near + far
    if count == 1:
        return (tr("your own test of this lot") if here else tr("your own test of this place") if near
                else tr("your own test elsewhere"))
    places = [words for number, words in ((here, tr("{count} of this lot", count=here)),
                                          (near, tr("{count} of this place", count=near)),
                                          (far, tr("{count} elsewhere", count=far))) if number]
    return tr("your own {count} tests ({places})", count=count, places=", ".join(places))


def _set(default: Parameter, value: OwnValue) -> Parameter:
    _, _, (central, low, high) = parameter_of(value.facts)
    # Without ends of its own it is no surer than the table for being narrow, and no wider than the table.
    off = min(OWN_VALUE, math.sqrt(default.high / default.low))
    most = _most(default)
    ends = Range(low if low is not None else central / off, central,
                 high if high is not None else max(central, min(central * off, most)), default.unit)
    by, shown = value.facts.by, default.shown
    if value.facts.site:
        source = (tr("your own value for this place, set by {by}; the table has {shown}", by=by, shown=shown) if by
                  else tr("your own value for this place; the table has {shown}", shown=shown))
    else:
        source = (tr("your own value, set by {by}; the table has {shown}", by=by, shown=shown) if by
                  else tr("your own value; the table has {shown}", shown=shown))
    return _row(default, ends, source)


@dataclass(frozen=True)
class InForce:
    """The lookup of a book: gives the material in force, worked out once for each material, site and lot."""

    records: OwnRecords = NOTHING_OWN
    _known: dict[tuple[str, str, str, Habits], Material] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def _told(self) -> tuple[frozenset[str | None], frozenset[str]]:
        values = self.records.values
        tests: tuple[OwnTest | Swatch, ...] = (*self.records.tests, *self.records.swatches)
        return (frozenset([*(value.facts.site for value in values), *(test.site for test in tests)]),
                frozenset(test.lot for test in tests))

    def __call__(self, material_key: str, site: str = "", lot: str = "") -> Material:
        """The material in force; Refused if it is not known."""
        places, lots = self._told
        # Whatever was never measured by itself is like any other of its kind.
        # Where a figure comes from is told in the language and the measures of who reads it.
        key = (material_key, site if site in places else "", lot if lot in lots else "", habits())
        if key not in self._known:
            self._known[key] = in_force(key[0], key[1], self.records, lot=key[2])
        return self._known[key]

    def palette(self, material_key: str, site: str = "", lot: str = "") -> Palette:
        """What colour a material gives, as swatches have taught; Refused if it is not known."""
        own = self.records.of(material_key)
        # What swatches teach of the amount must not be counted on them a second time.
        stuff = in_force(material_key, site, replace(own, swatches=()), lot=lot)
        return taught(stuff, own.swatches, site=site, lot=lot).palette

    def for_lot(self, facts: LotFacts, lot: str = "") -> Material | None:
        """The material in force for a lot, or None if this program doesn't know it."""
        try:
            return self(facts.material, facts.site, lot)
        except Refused:
            return None
