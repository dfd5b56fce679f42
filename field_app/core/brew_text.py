"""Reads how liquor is made, as people type it: water, soak, boil, strainings, pots, and what was read or measured."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from field_app.core.brew import Brew
from field_app.core.durations import read_hours
from field_app.core.estimate import Range, Reason
from field_app.core.extraction import Bath
from field_app.core.forms import Reader
from field_app.core.pots import Pot
from field_app.core.problems import Problem, Refused
from field_app.core.sites import name_key
from field_app.core.units import Measure, read_measure, read_number, show_round, whose_gallons
from field_app.words import tr

__all__ = ["BrewForm", "read_brew", "read_pot"]

# A volume read off a pot or a pail with marks is good to this share either way [1] (common practice, no source).
_POT_READING = 0.05
_TEMPERATURE = re.compile(r"(?:°|º|\u2103|\u2109|\bdeg\b|[0-9 ][cf]\s*\Z)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class BrewForm:
    """How liquor is made, as typed; what is empty goes by custom.

    soak, boil: a time, a temperature, or both as in ``2 h at 90 °C``; ``no`` for none at all;
    pots: each as ``40 L, 38 cm``; gallons: "us" or "imperial", empty for
    the person's own; bare: the units of bare numbers that say how large and how wide a pot is.
    """

    water: str = ""
    liquor: str = ""
    soak: str = ""
    boil: str = ""
    strainings: str = ""
    further: str = ""
    squeezed: bool = False
    pots: tuple[str, ...] = ()
    brix: str = ""
    strained: str = ""
    gallons: str = ""
    bare: tuple[str, str] = ("L", "cm")

    @property
    def told(self) -> bool:
        """Whether anything is told."""
        return self != BrewForm(gallons=self.gallons, bare=self.bare)


def read_brew(form: BrewForm, owned: Mapping[str, Pot] = MappingProxyType({})) -> Brew:
    """The brew that a form tells; raises Refused with every problem, each at its field.

    owned: own pots by name, any of which may stand in place of a size.

    >>> brew = read_brew(BrewForm(water="30", boil="90 min at 95 °C", pots=("40 L, 38 cm",)))
    >>> brew.water, brew.boil, brew.pots[0].diameter
    (30.0, Bath(hours=1.5, celsius=95.0), 0.38)
    """
    reader, usual = Reader(), Brew()
    litres = {name: reader.read(lambda name=name, where=where: _litres(form, name, where))  # type: ignore[misc]
              for name, where in (("water", "water"), ("liquor", "liquor"), ("further", "further water"),
                                  ("strained", "strained"))}
    baths = {where: reader.read(lambda where=where, text=text,
                                bath=bath: _bath(text, bath, where))  # type: ignore[misc]
             for where, text, bath in (("soak", form.soak, usual.soak), ("boil", form.boil, usual.boil))}
    times = reader.read(lambda: _whole(form.strainings)) if form.strainings.strip() else usual.strainings
    brix = reader.read(lambda: read_number(form.brix, where="brix")) if form.brix.strip() else None
    pots = [reader.read(lambda text=text: _pot(text, form, owned))  # type: ignore[misc]
            for text in form.pots if text.strip()]
    if reader.problems:
        raise Refused(reader.problems)
    strained = litres["strained"]
    return Brew(
        water=litres["water"], liquor=litres["liquor"], soak=baths["soak"] or usual.soak,
        boil=baths["boil"] or usual.boil, strainings=times or usual.strainings, further=litres["further"],
        squeezed=form.squeezed, pots=tuple(pot for pot in pots if pot), brix=None if brix is None else float(brix),
        strained=None if not strained else _measured(strained, form.strained))


def _litres(form: BrewForm, name: str, where: str) -> float | None:
    text = getattr(form, name)
    if not text.strip():
        return None
    return read_measure(text, kind="volume", where=where, default_unit="L", gallons=whose_gallons(form.gallons)).si


def _measured(litres: float, typed: str) -> Range:
    reason = Reason(tr("strained"), typed.strip(), "said",
                    f"{tr('read within 5 %')}; {tr('common practice, no source')}", "practice")
    return Range(litres * (1 - _POT_READING), litres, litres * (1 + _POT_READING), "L", (reason,))


def _whole(text: str) -> int:
    number = read_number(text, where="strainings")
    if number != number.to_integral_value():
        raise Refused([Problem("strainings", tr("{text} is no whole number", text=text.strip()),
                               tr("Give how often, as in 2."))])
    return int(number)


def _bath(text: str, usual: Bath, where: str) -> Bath:
    """A time and a temperature; what is not told stays as it is usual."""
    body = text.strip()
    if not body:
        return usual
    if body.lower() in ("no", "none", "0"):
        return Bath(0.0, usual.celsius)
    hours, celsius = usual.hours, usual.celsius
    for part in re.split(r"\s+at\s+|\s*[@,]\s+|\s*@\s*", body):
        if _TEMPERATURE.search(part):
            celsius = read_measure(part, kind="temperature", where=where).si
        else:
            hours = read_hours(part, where=where)
    return _named(where, lambda: Bath(hours, celsius))


def _named(where: str, make: Callable[[], Bath]) -> Bath:
    try:
        return make()
    except Refused as refused:
        raise Refused(replace(problem, where=where) for problem in refused.problems) from None


def _pot(text: str, form: BrewForm, owned: Mapping[str, Pot]) -> Pot:
    by_name = {name_key(name): pot for name, pot in owned.items()}
    if (pot := by_name.get(name_key(text))) is not None:
        return pot
    try:
        return read_pot(text, gallons=form.gallons, bare=form.bare)
    except Refused as refused:
        if not owned:
            raise
        names = tr("Or name one of yours: {owned}.", owned=", ".join(owned))
        raise Refused(replace(one, fix=f"{one.fix} {names}") for one in refused.problems) from None


def read_pot(text: str, *, gallons: str = "", where: str = "pot", bare: tuple[str, str] = ("L", "cm")) -> Pot:
    """A pot by what it holds and how wide it is, as in ``40 L, 38 cm``; Refused with what to type instead.

    >>> read_pot("10 gal, 16 in").volume
    37.85411784
    """
    volume, _, width = text.replace(";", ",").replace(" x ", ", ").rpartition(", ")
    if not volume.strip():
        raise Refused([Problem(where, tr("“{text}” lacks what it holds or how wide it is", text=text.strip()),
                               tr("Type both, as in {example}.",
                                  example=f"{show_round(40, 'L')}, {show_round(0.38, 'cm')}"))])
    holds: Measure = read_measure(volume, kind="volume", where=where, default_unit=bare[0],
                                  gallons=whose_gallons(gallons))
    across = read_measure(width, kind="length", where=where, default_unit=bare[1])
    return Pot(holds.si, across.si)
