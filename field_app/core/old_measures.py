"""An old recipe in pails, yards, gallons and ounces, turned into today's amounts for the dyer's own cloth.

The law of this file:

1. What counts is the proportion: so much on the weight of the old recipe's cloth is so much on that of today's.
2. Whose gallon, quart, pint, bushel or fluid ounce is meant has to be told, by the word itself or once for all;
   nothing is guessed, for a gallon of London holds a fifth more than one of Boston.
3. A pail is what it held: its size has to be told. An ounce of weight is not a fluid ounce.
4. Dye stuff by the pail is weighed by the table, and counted as air-dry stuff, so that custom can name its shade.
5. Chrome and tin are refused, copper is warned of; the label on a packet stands above an old book.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from field_app.core.amounts import row_of
from field_app.core.bands import Band, band_by_wof
from field_app.core.cloths import ClothItem, mass_of
from field_app.core.estimate import Range, exact, product, quotient
from field_app.core.helpers import LABEL
from field_app.core.lots import LotNow
from field_app.core.materials import CONDITIONS
from field_app.core.old_text import PAILS, TAKING_RULE, Gallons, Taking, read_taking
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.stock import in_store
from field_app.core.units import Measure, show_measure, show_range, show_si, to_si
from field_app.words import mid, tr

__all__ = ["Converted", "OldRecipe", "Reach", "converted", "reach", "read_recipe", "show_amount"]


@dataclass(frozen=True, slots=True)
class OldRecipe:
    """An old recipe: its cloth, what was taken, and what its measures were taken for."""

    cloth: tuple[ClothItem, ...]
    taken: tuple[Taking, ...]
    stated: tuple[str, ...]

    @property
    def water(self) -> Range | None:
        """The water in it [L], or None if it tells of none."""
        return next((one.amount for one in self.taken if one.kind == "water"), None)


@dataclass(frozen=True, slots=True)
class Converted:
    """One line in today's measures.

    old: what it was [kg or L]; share: on the weight of the old cloth [1], or litres to the kilogram [L/kg];
    strength: in the old recipe's water [g/L], or None; today: for the dyer's own cloth [kg or L], or None;
    air_dry: of dye stuff, on the weight of cloth [1]; band: the shade custom gives that; words: what else to say.
    """

    taking: Taking
    old: Range
    share: Range
    strength: Range | None
    today: Range | None
    air_dry: Range | None = None
    band: Band | None = None
    words: str = ""

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; masses in [kg], volumes in [L]."""
        def told(one: Range | None) -> dict[str, Any] | None:
            return one.as_json() if one else None

        return {"taken": self.taking.text, "what": self.taking.name, "kind": self.taking.kind, "then": told(self.old),
                "share": told(self.share), "strength": told(self.strength), "today": told(self.today),
                "wof_air_dry": told(self.air_dry), "shade": self.band.as_json() if self.band else None,
                "words": self.words}


def read_recipe(cloth: Sequence[ClothItem], taken: Iterable[str], *, gallons: Gallons = "", pail: float | None = None,
                key: str = "black-walnut") -> OldRecipe:
    """A whole recipe; Refused with every line that is not understood.

    >>> from field_app.core.cloth_text import read_cloth
    >>> found = read_recipe([read_cloth("wool 1 lb")], ["1 lb alder bark", "½ oz copperas"])
    >>> [one.kind for one in found.taken]
    ['stuff', 'helper']
    """
    found: list[Taking] = []
    problems: list[Problem] = []
    for place, text in enumerate(taken, 1):
        try:
            found.append(read_taking(text, gallons=gallons, pail=pail, key=key, where=f"take {place}"))
        except Refused as refused:
            problems.extend(refused.problems)
    if problems:
        raise Refused(problems)
    if not found:
        raise refuse("take", tr("nothing was taken"), TAKING_RULE)
    return OldRecipe(tuple(cloth), tuple(found), _stated(found, gallons, pail))


def _stated(taken: Iterable[Taking], gallons: Gallons, pail: float | None) -> tuple[str, ...]:
    words = []
    if gallons:
        gallon = show_si(to_si(1, "gal-us" if gallons == "us" else "gal-imp"), "L")
        words.append(tr("Gallons, quarts, pints, bushels and fluid ounces are taken as US ones: a gallon is "
                        "{gallon}.", gallon=gallon) if gallons == "us"
                     else tr("Gallons, quarts, pints, bushels and fluid ounces are taken as imperial ones: a gallon is "
                             "{gallon}.", gallon=gallon))
    if pail is not None and any(text.casefold() in PAILS for one in taken for text in one.text.split()):
        words.append(tr("A pail is taken as {amount}.", amount=show_si(pail, "L")))
    words.append(tr("An ounce is one of weight, {grams}, unless it says fluid.",
                    grams=show_measure(Measure("28.35", "g"))))
    return tuple(words)


def converted(recipe: OldRecipe, today: Sequence[ClothItem] = ()) -> tuple[Converted, ...]:
    """Each line of a recipe in today's measures, for the dyer's own cloth if it is told.

    >>> from field_app.core.cloth_text import read_cloth
    >>> recipe = read_recipe([read_cloth("wool 1 lb")], ["½ oz copperas"])
    >>> line, = converted(recipe, [read_cloth("wool 2 kg")])
    >>> f"{line.share.central:.3%}", f"{line.today.central * 1000:.1f} g"
    ('3.125%', '62.5 g')
    """
    then = mass_of(recipe.cloth)
    now = mass_of(today) if today else None
    return tuple(_one(taking, then, now, recipe.water) for taking in recipe.taken)


def _one(taking: Taking, then: Range, now: Range | None, water: Range | None) -> Converted:
    old = taking.amount
    if taking.kind == "stuff":
        return _dye_stuff(taking, then, now)
    share = quotient(old, then, unit="1" if old.unit == "kg" else "L/kg")
    today = product(now, share, unit=old.unit) if now else None
    strength = None
    if water is not None and old.unit == "kg":
        strength = quotient(product(old, exact(1000.0, "g/kg"), unit="g"), water, unit="g/L")
    return Converted(taking, old, share, strength, today, words=_cautions(taking))


def _cautions(taking: Taking) -> str:
    if taking.helper is None:
        return ""
    return " ".join((*(caution.short for caution in taking.helper.told()), tr(LABEL)))


def _dye_stuff(taking: Taking, then: Range, now: Range | None) -> Converted:
    stuff = taking.stuff
    assert stuff is not None  # its kind says so
    mass = taking.amount
    if mass.unit == "L":
        part = stuff.part(taking.part)
        poured = row_of(stuff, f"pour-{part.key}", taking.condition)
        density = poured.range(tr("{name} as poured, {condition}", name=part.said,
                                  condition=CONDITIONS[taking.condition].said))
        mass = product(mass, exact(0.001, "m³/L"), density, unit="kg")
    share = quotient(mass, then, unit="1")
    worth = mass
    if taking.part == "whole-fruit":
        hull = row_of(stuff, "hull-share", taking.condition).range(tr("hull share of the fruit"))
        worth = product(worth, hull, unit="kg")
    dry = row_of(stuff, "dry", taking.condition).range(tr("dry matter of the {name}", name=stuff.parts[-1].said))
    basis = exact(row_of(stuff, "dry", "air-dry").central, "1")
    air_dry = quotient(product(worth, dry, unit="kg"), basis, then, unit="1")
    band = band_by_wof(air_dry, stuff)
    return Converted(taking, mass, share, None, product(now, share, unit="kg") if now else None, air_dry, band,
                     band.dark_words)


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a load of today reaches for an old recipe.

    there: what is there of its dye stuff, air-dry and of full worth [kg]; times: beside what the dyer's cloth takes,
    or the old cloth's weight where none was told [1]; words: the same.
    """

    there: Range
    times: Range
    words: str

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; there in [kg], times in [1]."""
        return {"there": self.there.as_json(), "times": self.times.as_json(), "words": self.words}


def reach(lines: Sequence[Converted], lots: Sequence[LotNow], today: Sequence[ClothItem]) -> Reach | None:
    """How far some lots reach for the dye stuff of a recipe; None without lots, without cloth or without dye stuff.

    Raises Refused if the lots hold none of the recipe's dye stuff.
    """
    stuff = [line for line in lines if line.air_dry is not None and line.taking.stuff is not None]
    if not lots or not stuff or not today:
        return None
    line = stuff[0]
    assert line.air_dry is not None
    assert line.taking.stuff is not None
    key = line.taking.stuff.key
    there = in_store(lots, key)
    if there.high <= 0:
        raise refuse("lot", tr("holds no {name}", name=mid(line.taking.stuff.said)),
                     tr("Name a lot of what the recipe takes."))
    needed = product(mass_of(today), line.air_dry, unit="kg")
    if there.low <= 0:
        times = Range(0.0, there.central / needed.central, there.high / needed.low, "1")
    else:
        times = quotient(there, needed, unit="1")
    shown = show_range(times)
    words = (tr("Your load is enough: {times} times what your cloth takes by this recipe.", times=shown)
             if times.central >= 1
             else tr("Your load is not enough: {times} times what your cloth takes by this recipe.", times=shown))
    return Reach(there, times, words)


def show_amount(amount: Range) -> str:
    """A mass [kg] or a volume [L] in the unit a person would weigh it in.

    >>> show_amount(exact(0.0625, "kg")), show_amount(exact(12.0, "L"))
    ('62.5 g', '12 L')
    """
    if amount.unit == "kg":
        return show_range(amount, unit="g" if amount.central < 1 else "kg")
    return show_range(amount, unit="mL" if amount.central < 1 else "L")
