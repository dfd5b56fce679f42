"""Setting a value of one's own, and noting a test: from what was typed to records, or to the reasons why not.

As in :mod:`field_app.core.gather`, a form holds text as it was typed, and a decision has drafts or problems.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from pydantic import ValidationError

from field_app.core.facts import LotFacts
from field_app.core.forms import LONGEST_NAME, LONGEST_NOTE, Decision, Reader, Situation
from field_app.core.materials import Material, Parameter, material
from field_app.core.moments import read_moment
from field_app.core.own_facts import (
    STATES,
    TESTS,
    OwnTestFacts,
    ValueFacts,
    fault_of_test,
    fault_of_value,
    units_for,
    value_id,
)
from field_app.core.problems import refuse
from field_app.core.records import Draft, Thing
from field_app.core.units import Measure, read_measure, read_number, whose_gallons
from field_app.words import either, tr

__all__ = ["OwnTestForm", "ValueForm", "decide_own_test", "decide_value", "parameter_named"]

_NUMBER_AND_UNIT = re.compile(r"([^A-Za-z%]*?)\s*([A-Za-z%].*?)?\s*\Z", re.DOTALL)


@dataclass(frozen=True, slots=True)
class ValueForm:
    """A value of one's own as typed.

    parameter: its name in the table, or its words; value: a number, with its unit or in ``unit``;
    low, high: its ends, empty if only one figure is known; site: id of a site, empty for all;
    unit: of a bare number, empty for the one that is offered first.
    """

    material: str
    parameter: str
    value: str
    low: str = ""
    high: str = ""
    site: str = ""
    unit: str = ""
    by: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class OwnTestForm:
    """A test of one's own as typed.

    test: dry, spent or reading; what it asks for is told by :class:`field_app.core.own_facts.OwnTestFacts`.
    lot: the id of a lot, or else material, state and, if known, site (an id); unit: of a bare mass.
    """

    test: str
    before: str
    after: str = ""
    dish: str = ""
    liquor: str = ""
    brix: str = ""
    division: str = ""
    lot: str = ""
    material: str = ""
    state: str = ""
    site: str = ""
    at: str = ""
    by: str = ""
    note: str = ""
    unit: str = "g"
    gallons: str = ""


def parameter_named(stuff: Material, name: str) -> tuple[str, Parameter]:
    """The name and the row of a parameter, by its name or with spaces for its hyphens; Refused with close ones.

    >>> parameter_named(material("black-walnut"), "Dry fresh")[0]
    'dry-fresh'
    """
    key = "-".join(name.casefold().replace("-", " ").split())
    row = stuff.parameters.get(key)
    if row is None:
        close = difflib.get_close_matches(key, stuff.parameters, 3, 0.5)
        offer = (tr("Did you mean {close}?", close=either(close)) if close
                 else tr("Choose one of: {choices}.", choices=", ".join(stuff.parameters)))
        raise refuse("figure", tr("{figure!r:.60} is no figure of {name}", figure=name, name=stuff.said), offer)
    return key, row


def _split(text: str, unit: str, units: Mapping[str, object], where: str) -> tuple[str, str]:
    """Number and unit of a typed value; the unit is one of ``units``, or ``unit`` for a bare number."""
    found = _NUMBER_AND_UNIT.match(text)
    if found is None or not found[1].strip():
        raise refuse(where, tr("{text!r:.40} is no number", text=text.strip()),
                     tr("Type a number such as 22 {unit}.", unit=tr(unit)))
    number, named = found[1], found[2] or unit
    spelled = {one.casefold(): one for one in units} | {tr(one).casefold(): one for one in units} | {
        "minutes": "min", "minute": "min", "hours": "h", "hour": "h", "day": "days", "d": "days", "week": "weeks",
        "percent": "%", "kg/m3": "kg/m³", "l/(h m2)": "L/(h·m²)", "l/(h·m2)": "L/(h·m²)"}
    key = spelled.get(named.casefold())
    if key is None or key not in units:
        raise refuse(where, tr("{unit!r:.20} is no unit for it", unit=named),
                     tr("Give it in one of: {units}.", units=", ".join(map(tr, units))))
    return f"{read_number(number, where=where):f}", key


def decide_value(form: ValueForm, situation: Situation, held: Thing | None = None) -> Decision:
    """A value that takes the place of the table's; held: what holds of the same value, set before or taken back."""
    reader = Reader()
    stuff = reader.read(lambda: material(form.material))
    named = reader.read(lambda: parameter_named(stuff, form.parameter)) if stuff else None
    if form.site and not any(site.id == form.site for site in situation.sites):
        reader.wrong("place", tr("{word!r} is not known", word=form.site), tr("List the places to see their names."))
    by, note = reader.text("by", form.by, LONGEST_NAME), reader.text("note", form.note, LONGEST_NOTE)
    if named is None or stuff is None:
        return Decision(problems=tuple(reader.problems))
    units = units_for(named[1])
    facts = {"material": stuff.key, "parameter": named[0], "site": form.site or None, "by": by, "note": note,
             "at": situation.now.isoformat(timespec="seconds")}
    unit = form.unit or next(iter(units))
    for where, text in (("value", form.value), ("low", form.low), ("high", form.high)):
        if where != "value" and not text.strip():
            continue
        split = reader.read(partial(_split, text, unit, units, where))
        if split is not None:
            facts[where] = split[0]
            if where == "value":
                unit = facts["unit"] = split[1]
            elif split[1] != unit:
                reader.wrong(where, tr("is in {unit}, the value in {other}", unit=tr(split[1]), other=tr(unit)),
                             tr("Give all of them in one unit."))
    if not reader.problems:
        made = ValueFacts.model_validate(facts)
        fault = fault_of_value(made)
        if fault is None:
            thing = value_id(stuff.key, named[0], made.site)
            return Decision((Draft(thing, "value", made.as_json(), parents=held.heads if held else ()),), thing)
        reader.wrong(fault.where, fault.what, fault.fix)
    return Decision(problems=tuple(reader.problems))


def decide_own_test(form: OwnTestForm, situation: Situation, lot: LotFacts | None = None,
                    corrects: Thing | None = None) -> Decision:
    """A test of one's own stuff; lot: the facts of the lot that it names; corrects: the test that it tells anew."""
    reader = Reader()
    if form.test not in TESTS:
        reader.wrong("test", tr("{word!r:.40} is not known", word=form.test),
                     tr("Choose one of: {choices}.", choices=", ".join(TESTS)))
    facts: dict[str, object] = {"test": form.test, "by": reader.text("by", form.by, LONGEST_NAME),
                                "note": reader.text("note", form.note, LONGEST_NOTE)}
    facts |= _subject(reader, form, situation, lot)
    for name in ("before", "after", "dish", "division"):
        facts[name] = _amount(reader, name, getattr(form, name), "mass", form)
    if form.test == "reading":
        facts["liquor"] = _amount(reader, "liquor", form.liquor, "volume", form)
        if form.brix.strip():
            number = form.brix.casefold().replace("°brix", "").replace("brix", "").replace("°bx", "")
            brix = reader.read(lambda: read_number(number, where="brix"))
            facts["brix"] = None if brix is None else f"{brix:f}"
    moment = situation.now
    if form.at.strip():
        moment = reader.read(lambda: read_moment(
            form.at, where="at", now=situation.now, localise=situation.localise)) or moment
    facts["at"] = moment.isoformat(timespec="seconds")
    if not reader.problems:
        made = _made(facts)
        fault = fault_of_test(made)
        if fault is None:
            thing, parents = (corrects.id, corrects.heads) if corrects else (situation.new_id(), ())
            return Decision((Draft(thing, "test", made.as_json(), parents=parents),), thing)
        reader.wrong(fault.where, fault.what, fault.fix)
    return Decision(problems=tuple(reader.problems))


def _made(facts: Mapping[str, object]) -> OwnTestFacts:
    try:
        return OwnTestFacts.model_validate(facts)
    except ValidationError as error:  # every member was read above, so this is a fault of ours
        raise AssertionError(f"a test that was read could not be made: {error}") from error


def _subject(reader: Reader, form: OwnTestForm, situation: Situation, lot: LotFacts | None) -> dict[str, object]:
    if form.lot:
        if lot is None:
            reader.wrong("lot", tr("{word!r:.60} is not known", word=form.lot), tr("List the lots to see their codes."))
        elif form.state and form.state not in STATES:
            reader.wrong("condition", tr("{word!r:.30} is not known", word=form.state),
                         tr("Choose one of: {choices}.", choices=", ".join(STATES)))
        return {"lot": form.lot, "state": form.state or None}
    reader.read(lambda: material(form.material))
    if form.state not in STATES:
        reader.wrong("condition", tr("{word!r:.30} is not known", word=form.state),
                     tr("Choose one of: {choices}.", choices=", ".join(STATES)))
    if form.site and not any(site.id == form.site for site in situation.sites):
        reader.wrong("place", tr("{word!r:.60} is not known", word=form.site),
                     tr("List the places to see their names."))
    return {"material": form.material, "state": form.state, "site": form.site or None}


def _amount(reader: Reader, name: str, text: str, kind: str, form: OwnTestForm) -> Measure | None:
    if not text.strip():
        return None
    return reader.read(lambda: read_measure(
        text, kind="volume" if kind == "volume" else "mass", where=name,
        default_unit="L" if kind == "volume" else form.unit, gallons=whose_gallons(form.gallons)))
