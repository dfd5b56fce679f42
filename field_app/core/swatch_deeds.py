"""Noting a swatch of one's own: from what was typed to a record, or to the reasons why not.

As in :mod:`field_app.core.gather`, a form holds text as it was typed, and a decision has drafts or problems.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import get_args

from field_app.core.bands import SHADES
from field_app.core.colour import read_hex
from field_app.core.durations import read_hours
from field_app.core.facts import LotFacts
from field_app.core.forms import LONGEST_NAME, LONGEST_NOTE, Decision, Reader, Situation
from field_app.core.materials import material
from field_app.core.moments import read_moment
from field_app.core.own_facts import STATES
from field_app.core.palette import GROUNDS, Ground
from field_app.core.preview import UNDYED
from field_app.core.problems import refuse
from field_app.core.records import Draft, Thing
from field_app.core.swatches import SwatchFacts, fault_of_swatch
from field_app.core.units import Kind, Measure, read_measure, read_number, show_round
from field_app.words import later, tr

__all__ = ["SwatchForm", "decide_swatch"]


@dataclass(frozen=True, slots=True)
class SwatchForm:
    """A swatch as typed.

    stuff, cloth: masses; time: in the bath; mordant: none, alum or iron; base: the cloth before, empty for undyed wool;
    result: a band, a lightness L* that was measured (a number), or a colour in hexadecimal;
    bath, heat: of the bath, empty for 30 L to the kilogram and 85 °C;
    lot: the id of a lot, or else material, state and, if known, site (an id); unit: of a bare mass.
    """

    stuff: str
    cloth: str
    time: str
    result: str
    mordant: str = "none"
    base: str = ""
    bath: str = ""
    heat: str = ""
    lot: str = ""
    material: str = ""
    state: str = ""
    site: str = ""
    at: str = ""
    by: str = ""
    note: str = ""
    unit: str = "g"


def decide_swatch(form: SwatchForm, situation: Situation, lot: LotFacts | None = None,
                  corrects: Thing | None = None) -> Decision:
    """A swatch; lot: the facts of the lot that it names; corrects: the swatch that it tells anew."""
    reader = Reader()
    facts: dict[str, object] = {"test": "swatch", "by": reader.text("by", form.by, LONGEST_NAME),
                                "note": reader.text("note", form.note, LONGEST_NOTE)}
    facts |= _subject(reader, form, situation, lot)
    for name, kind, unit, needed in (("stuff", "mass", form.unit, True), ("cloth", "mass", form.unit, True),
                                     ("bath", "volume", "L", False), ("heat", "temperature", "degC", False)):
        facts[name] = _amount(reader, name, getattr(form, name), kind, unit,  # type: ignore[arg-type]  # the table's
                              needed=needed)
    hours = reader.read(lambda: read_hours(form.time))
    facts["hours"] = None if hours is None else f"{hours:.6f}".rstrip("0").rstrip(".")
    if form.mordant not in GROUNDS:
        reader.wrong("mordant", tr("{word!r:.30} is not known", word=form.mordant),
                     tr("Choose one of: {choices}.", choices=", ".join(get_args(Ground))))
    facts["mordant"] = form.mordant
    facts["base"] = reader.read(lambda: read_hex(form.base, where="base")) if form.base.strip() else UNDYED
    facts |= reader.read(lambda: _result(form.result)) or {}
    moment = situation.now
    if form.at.strip():
        moment = reader.read(lambda: read_moment(
            form.at, where="at", now=situation.now, localise=situation.localise)) or moment
    facts["at"] = moment.isoformat(timespec="seconds")
    if not reader.problems:
        made = SwatchFacts.model_validate(facts)
        fault = fault_of_swatch(made)
        if fault is None:
            thing, parents = (corrects.id, corrects.heads) if corrects else (situation.new_id(), ())
            return Decision((Draft(thing, "test", made.as_json(), parents=parents),), thing)
        reader.wrong(fault.where, fault.what, fault.fix)
    return Decision(problems=tuple(reader.problems))


def _subject(reader: Reader, form: SwatchForm, situation: Situation, lot: LotFacts | None) -> dict[str, object]:
    if (not form.lot or form.state) and form.state not in STATES:
        reader.wrong("condition", tr("{word!r:.30} is not known", word=form.state),
                     tr("Choose one of: {choices}.", choices=", ".join(STATES)))
    if form.lot:
        if lot is None:
            reader.wrong("lot", tr("{word!r:.60} is not known", word=form.lot), tr("List the lots to see their codes."))
        return {"lot": form.lot, "state": form.state or None}
    reader.read(lambda: material(form.material))
    if form.site and not any(site.id == form.site for site in situation.sites):
        reader.wrong("place", tr("{word!r:.60} is not known", word=form.site),
                     tr("List the places to see their names."))
    return {"material": form.material, "state": form.state, "site": form.site or None}


def _amount(reader: Reader, name: str, text: str, kind: Kind, unit: str, *, needed: bool) -> Measure | None:
    if not text.strip():
        if needed:
            reader.wrong(name, tr("is not given"),
                         tr("Type what the scale shows, as in {example}.", example=show_round(0.005, "g")))
        return None
    return reader.read(lambda: read_measure(text, kind=kind, where=name, default_unit=unit))


def _result(text: str) -> dict[str, str]:
    """What came out, as a fact: a band, a lightness or a colour.

    >>> _result("Medium"), _result("L* 42,5"), _result("#7F5A38")
    ({'band': 'medium'}, {'lightness': '42.5'}, {'colour': '#7f5a38'})
    """
    body = text.strip()
    if not body:
        raise refuse("result", tr("what came out is not told"), _RESULT_FIX)
    if body.lower() in SHADES:
        return {"band": body.lower()}
    # A colour is told by its sign, so that the lightness 40 is not read as one.
    if body.startswith("#"):
        return {"colour": read_hex(body, where="result")}
    number = body[1:].lstrip("*= ") if body[:1] in "Ll" else body
    if not number[:1].isdigit():
        raise refuse("result", tr("{text!r:.40} is neither a shade, a lightness nor a colour", text=text), _RESULT_FIX)
    return {"lightness": f"{read_number(number, where='result'):f}"}


_RESULT_FIX = later("Give pale, light, medium or dark, a measured lightness such as L* 42, or a colour such as "
                    "#7f5a38.")
