"""Dye materials, how ripe and in what condition they are: one packaged table, checked when it is first used.

Every parameter carries low, central, high, a unit, a source and a mark; materials.toml says the rules.
What a person has measured always beats a parameter.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache, lru_cache
from importlib import resources
from types import MappingProxyType
from typing import Annotated, Any, Generic, Literal, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, model_validator

from field_app.core.estimate import Range, Reason
from field_app.core.habits import Measures, habits
from field_app.core.problems import refuse
from field_app.core.sources import cited, source_said
from field_app.core.units import show_ends
from field_app.words import either, language, later, tr

__all__ = ["CONDITIONS", "MATERIALS", "RIPENESS", "Condition", "Mark", "Material", "Parameter", "Part",
           "Ripeness", "Tables", "condition", "material", "read_tables", "ripeness", "scale_of"]

#: How far a figure is to be trusted; "own" is what a person set or measured, and never stands in the packaged table.
Mark = Literal["seen", "weak", "derived", "memory", "practice", "own"]
Unit = Literal["kg", "1", "kg/m³", "kg/kg", "L/kg", "L/(h·m²)", "min", "d"]
#: How a figure is shown: its factor and its unit; times by how long they are.
_SHOWN: Mapping[str, tuple[float, str]] = MappingProxyType({
    "kg": (1000.0, "g"), "1": (100.0, "%"), "kg/m³": (1.0, "kg/m³"), "kg/kg": (1.0, "kg/kg"), "L/kg": (1.0, "L/kg"),
    "L/(h·m²)": (1.0, "L/(h·m²)"), "d": (1.0, later("days"))})
_V = TypeVar("_V")


class _Row(BaseModel):
    """What all rows share: they can't be changed, and a member that nobody reads is a fault."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class Parameter(_Row):
    """A default of the trade: low, central and high [unit], where they come from, and the mark of that.

    unit: kg (mass of one piece), 1 (share of mass, or stuff on the weight of cloth), kg/m³ (as poured),
    kg/kg and L/kg (of dry mass), L/(h·m²) (off an open pot), min or d (times).
    Raises ValueError if the three are not above zero and in order, a share of mass is above 1,
    or source or mark is missing.
    """

    low: float
    central: float
    high: float
    unit: Unit
    source: str
    mark: Mark

    @model_validator(mode="after")
    def _checked(self) -> Parameter:
        if not 0 < self.low <= self.central <= self.high < float("inf"):
            raise ValueError(f"must be above zero and in order: {self.low}, {self.central}, {self.high}")
        if not self.source:
            raise ValueError("needs a source; where there is none, say so")
        return self

    @property
    def shown(self) -> str:
        """The three for people, masses in [g], shares in [%], times as they are long: "70 g (45–100)"."""
        used = habits()
        return _shown(self.low, self.central, self.high, self.unit, used.decimal, used.measures, language())

    def range(self, text: str) -> Range:
        """The parameter as a range [unit] with its reason; text: what it is, in a dyer's words."""
        own = self.mark == "own"
        reason = Reason(text, self.shown, "own" if own else "default", source_said(self.source),
                        "" if own else self.mark)
        return Range(self.low, self.central, self.high, self.unit, (reason,))


def scale_of(unit: str, central: float) -> tuple[float, str]:
    """By what a figure is multiplied to be shown, and the unit that it then has.

    >>> scale_of("1", 0.62), scale_of("min", 30.0)
    ((100.0, '%'), (1.0, 'min'))
    """
    if unit == "kg" and central >= 1:
        return 1.0, "kg"
    if unit != "min":
        return _SHOWN[unit]
    return (1.0, "min") if central < 120 else (1 / 60, "h") if central < 1440 else (1 / 1440, "days")


@lru_cache(maxsize=1024)  # the same few hundred rows are told again with every estimate
def _shown(low: float, central: float, high: float, unit: str, decimal: str, measures: Measures, _: str) -> str:
    # The language is asked for last: a time is told in words of it.
    scale, name = scale_of(unit, central)
    return show_ends(low * scale, central * scale, high * scale, tr(name), decimal=decimal, measures=measures)


class Part(_Row):
    """What of a material is brought in, and how that can be measured.

    one: a single piece of it, in words.
    countable, pourable: whether it may be counted, or poured into pails, in place of a weighing.
    shows_ripeness: whether it has a ripeness that one can see.
    """

    key: str
    name: str
    one: str
    countable: bool
    pourable: bool
    shows_ripeness: bool

    @property
    def said(self) -> str:
        """Its name, for people."""
        return tr(self.name)

    @property
    def one_said(self) -> str:
        """A single piece of it, for people."""
        return tr(self.one)


class Condition(_Row):
    """In what state stuff is when it is measured: fresh, soaked or air-dry."""

    key: str
    name: str
    words: str

    @property
    def said(self) -> str:
        """Its name, for people."""
        return tr(self.name)


class Ripeness(_Row):
    """How ripe a hull is, how to tell at the tree, and what it may be worth as dye.

    bbch: the general BBCH code nearest to it, by our own reading, or None.
    strength_low, strength_high: worth of its dry matter beside firm green hull [1].
    """

    key: str
    words: str
    test: str
    bbch: int | None = None
    strength_low: float
    strength_high: float
    source: str
    mark: Mark

    @model_validator(mode="after")
    def _checked(self) -> Ripeness:
        if not 0 < self.strength_low <= self.strength_high <= 1:
            raise ValueError("strength must be two ends in order, above 0 and up to 1")
        return self

    @property
    def said(self) -> str:
        """Its words, for people."""
        return tr(self.words)


class Material(_Row):
    """A dye material: what it is, the parts that are brought in, and its parameters by name."""

    key: str
    name: str
    botanical: str
    group: str
    parts: tuple[Part, ...]
    parameters: Annotated[Mapping[str, Parameter], AfterValidator(MappingProxyType)]

    @model_validator(mode="after")
    def _checked(self) -> Material:
        for name, row in self.parameters.items():
            if row.unit == "1" and row.high > 1 and not name.startswith("wof-"):
                raise ValueError(f"{name} is a share of mass and can't be above 1: {row.high}")
        return self

    @property
    def said(self) -> str:
        """Its name, for people."""
        return tr(self.name)

    def part(self, key: str) -> Part:
        """The part of that key; Refused if this material doesn't have it."""
        for part in self.parts:
            if part.key == key:
                return part
        raise refuse("part", tr("{name} has no part {part!r:.60}", name=self.said, part=key),
                     tr("Choose one of: {choices}.", choices=", ".join(part.key for part in self.parts)))

    def parameter(self, quantity: str, condition: str = "fresh") -> Parameter | None:
        """The parameter of a quantity in a condition, or None if the table has none.

        Soaked stuff without a row of its own is taken as fresh; air-dry stuff never is.
        """
        row = self.parameters.get(f"{quantity}-{condition}")
        return row if row is not None or condition == "air-dry" else self.parameters.get(quantity)


class Tables(_Row):
    """The whole packaged table."""

    materials: dict[str, Material]
    ripeness: dict[str, Ripeness]
    conditions: dict[str, Condition]


def read_tables(text: str) -> Tables:
    """The tables of a TOML text.

    Raises ValueError (pydantic's names the path of the row, tomllib's the line) if something is amiss.
    """
    raw = tomllib.loads(text)
    sources: dict[str, str] = raw["sources"]

    def sourced(row: Mapping[str, Any]) -> dict[str, Any]:
        row = dict(row)
        if "source" in row:
            source, note = row["source"], row.pop("note", "")
            if not sources.get(source):
                raise ValueError(f"{source!r} is not one of the sources, or says nothing")
            row["source"] = cited(sources[source], note)
        if row.get("mark") == "own":
            raise ValueError("a mark of the packaged table can't be 'own': that is for what a person measured")
        return row

    def ripe(key: str, row: Mapping[str, Any]) -> dict[str, Any]:
        low, high = row["strength"]
        plain = {name: value for name, value in sourced(row).items() if name != "strength"}
        return {**plain, "key": key, "strength_low": low, "strength_high": high}

    def stuff(key: str, row: Mapping[str, Any]) -> dict[str, Any]:
        rows = {**raw["common"], **raw["groups"][row["group"]], **row.get("parameters", {})}
        return {**row, "key": key,
                "parts": tuple({"key": part, **raw["parts"][part]} for part in row["parts"]),
                "parameters": {name: sourced(parameter) for name, parameter in rows.items()}}

    return Tables.model_validate({
        "materials": {key: stuff(key, row) for key, row in raw["materials"].items()},
        "ripeness": {key: ripe(key, row) for key, row in raw["ripeness"].items()},
        "conditions": {key: {"key": key, **row} for key, row in raw["conditions"].items()},
    })


@cache
def _tables() -> Tables:
    packaged = resources.files("field_app.core").joinpath("materials.toml")
    return read_tables(packaged.read_text(encoding="utf-8"))


class _Lazy(Mapping[str, _V], Generic[_V]):
    """One of the tables, read when somebody first looks into it, so that starting up costs nothing."""

    def __init__(self, name: str) -> None:
        self._name = name

    def _rows(self) -> Mapping[str, _V]:
        return MappingProxyType(getattr(_tables(), self._name))

    def __getitem__(self, key: str) -> _V:
        return self._rows()[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows())

    def __len__(self) -> int:
        return len(self._rows())


#: Every material by its key, in the order of a menu.
MATERIALS: Mapping[str, Material] = _Lazy("materials")
#: Every ripeness by its key, from green to black.
RIPENESS: Mapping[str, Ripeness] = _Lazy("ripeness")
#: Every condition by its key.
CONDITIONS: Mapping[str, Condition] = _Lazy("conditions")


def _known(table: Mapping[str, _V], where: str, key: str) -> _V:
    if key in table:
        return table[key]
    close = difflib.get_close_matches(key.strip().lower().replace(" ", "-"), table, 3, 0.5)
    offer = (tr("Did you mean {close}?", close=either(close)) if close
             else tr("Choose one of: {choices}.", choices=", ".join(table)))
    raise refuse(where, tr("{word!r:.60} is not known", word=key), offer, kind="unknown")


def material(key: str) -> Material:
    """The material of that key; Refused if unknown, naming close ones.

    >>> material("black-walnut").parameters["hull-share"].shown
    '62 % (55–75)'
    """
    return _known(MATERIALS, "material", key)


def ripeness(key: str) -> Ripeness:
    """The ripeness of that key; Refused if unknown, naming close ones.

    >>> ripeness("browned").words
    'browned, soft'
    """
    return _known(RIPENESS, "ripeness", key)


def condition(key: str) -> Condition:
    """The condition of that key; Refused if unknown, naming close ones.

    >>> condition("air-dry").words
    'dried in the shade until it snaps'
    """
    return _known(CONDITIONS, "condition", key)
