"""From what a person typed to records of sites, leave and lots, or to the reasons why not."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from field_app.core.facts import FixFacts, LeaveFacts, LotFacts, SiteFacts
from field_app.core.fineness import read_sample, read_scale
from field_app.core.forms import (
    LONGEST_NAME,
    LONGEST_NOTE,
    Decision,
    LeaveForm,
    Reader,
    SiteForm,
    Situation,
    WindfallForm,
)
from field_app.core.load import amount_problems, net_mass
from field_app.core.materials import CONDITIONS, RIPENESS, Material, Part, material
from field_app.core.moments import read_day, read_moment
from field_app.core.positions import Fix, Position, read_position
from field_app.core.records import Draft, Thing
from field_app.core.sites import SiteNow, name_key
from field_app.core.units import Measure, read_measure, read_number, show_si, whose_gallons
from field_app.core.wood import read_wood
from field_app.words import tr

__all__ = [
    "Decision",
    "LeaveForm",
    "SiteForm",
    "Situation",
    "WindfallForm",
    "decide_leave",
    "decide_site",
    "decide_windfall",
    "fix_facts",
]

#: Above these, a slip of the finger or of the unit is more likely than the load.
MOST_KG, MOST_PIECES, MOST_PAILS, MOST_PAIL_L = 1500, 100_000, 500, 1000


def _fix(reader: Reader, position: str | Fix) -> Fix | None:
    if isinstance(position, Fix):
        return position
    return reader.read(lambda: read_position(position)) if position.strip() else None


def fix_facts(fix: Fix | None) -> FixFacts | None:
    """How a position came to be known, as it is stored; its radius to a tenth of a metre."""
    if fix is None:
        return None
    accuracy = None if fix.accuracy_m is None else format(Decimal(repr(round(fix.accuracy_m, 1))).normalize(), "f")
    return FixFacts(source=fix.source, accuracy=accuracy, meaning=fix.meaning)


def _pair(position: Position | None) -> tuple[float, float] | None:
    return None if position is None else (position.lat, position.lon)


def _leave_facts(reader: Reader, site: str, form: LeaveForm) -> LeaveFacts | None:
    if form.state not in ("given", "refused", "not-asked"):
        reader.wrong("leave", tr("{state!r} is none of given, refused, not-asked", state=form.state),
                     tr("Choose one of the three."))
        return None
    until = reader.read(lambda: read_day(form.until, where="leave until")) if form.until.strip() else None
    limit = None
    if form.limit.strip():
        limit = reader.read(lambda: read_measure(form.limit, kind="mass", where="leave limit",
                                                 default_unit=form.unit))
    return LeaveFacts.model_validate({
        "site": site, "state": form.state, "by": reader.text("leave from", form.by, LONGEST_NAME),
        "until": until, "limit": limit, "note": reader.text("leave note", form.note, LONGEST_NOTE)})


def _leave_draft(site: SiteNow | None, facts: LeaveFacts, situation: Situation) -> Draft:
    # Leave at one site is one thing whose versions follow each other, so that its history is one line.
    if site is not None and site.leave_id:
        return Draft(site.leave_id, "leave", facts.as_json(), parents=site.leave_heads)
    return Draft(situation.new_id(), "leave", facts.as_json())


def decide_leave(form: LeaveForm, site: SiteNow, situation: Situation) -> Decision:
    """Leave to gather at a site, told now; it takes the place of what was told before."""
    reader = Reader()
    facts = _leave_facts(reader, site.id, form)
    if reader.problems or facts is None:
        return Decision(problems=tuple(reader.problems))
    return Decision((_leave_draft(site, facts, situation),), site.id)


def decide_site(form: SiteForm, situation: Situation) -> Decision:
    """A new site, with its leave if that was told; refused if the name is taken or the position off the globe."""
    reader = Reader()
    name = reader.text("name", form.name, LONGEST_NAME)
    if not name:
        reader.wrong("name", tr("is empty"), tr("Give the place a name that you will know again."))
    elif any(name_key(site.name) == name_key(name) for site in situation.sites):
        reader.wrong("name", tr("there is a site named {name!r} already", name=name),
                     tr("Choose that site, or tell them apart in the name."))
    fix = _fix(reader, form.position)
    for key in form.materials:
        reader.read(lambda key=key: material(key))  # type: ignore[misc]  # mypy can't type a lambda's default
    note = reader.text("note", form.note, LONGEST_NOTE)
    main = situation.new_id()
    leave = None if form.leave is None else _leave_facts(reader, main, form.leave)
    if reader.problems:
        return Decision(problems=tuple(reader.problems))
    facts = SiteFacts(name=name, materials=tuple(form.materials), note=note, fix=fix_facts(fix))
    drafts = [Draft(main, "site", facts.as_json(), _pair(fix.position if fix else None))]
    if leave is not None:
        drafts.append(_leave_draft(None, leave, situation))
    return Decision(tuple(drafts), main)


def _find_site(reader: Reader, text: str, sites: Iterable[SiteNow]) -> SiteNow | None:
    found = [site for site in sites if site.id == text or name_key(site.name) == name_key(text)]
    if len(found) == 1:
        return found[0]
    if found:
        reader.wrong("site", tr("{count} sites are named {text!r}", count=len(found), text=text),
                     tr("Name it by its id."))
    else:
        reader.wrong("site", tr("no site is named {text!r}", text=text),
                     tr("Add the site first, or choose one that is known."))
    return None


def _part(reader: Reader, form: WindfallForm) -> tuple[Material, Part] | None:
    stuff = reader.read(lambda: material(form.material))
    if stuff is None:
        return None
    for part in stuff.parts:
        if part.key == form.part:
            return stuff, part
    has = ", ".join(part.key for part in stuff.parts)
    reader.wrong("part", tr("{name} has no part {part!r}", name=stuff.said, part=form.part),
                 tr("It has: {parts}.", parts=has))
    return None


def _mass(reader: Reader, where: str, text: str, unit: str) -> Measure | None:
    found = reader.read(lambda: read_measure(text, kind="mass", where=where, default_unit=unit))
    if found is not None and found.si > MOST_KG:
        reader.wrong(where, tr("{text} is {mass}, more than one lot can be", text=text.strip(),
                               mass=show_si(found.si, "kg")),
                     tr("Check the unit, or log it as several lots."))
        return None
    return found


def _whole(reader: Reader, text: str) -> int | None:
    number = reader.read(lambda: read_number(text, where="count"))
    if number is None:
        return None
    if number != number.to_integral_value() or not 0 < number <= MOST_PIECES:
        reader.wrong("count", tr("{text} is not a whole number from 1 to {most}", text=text.strip(),
                                 most=MOST_PIECES),
                     tr("Type how many you counted."))
        return None
    return int(number)


def _share(reader: Reader, text: str) -> str | None:
    body, percent = (text.strip().removesuffix("%"), 100) if text.strip().endswith("%") else (text, 1)
    number = reader.read(lambda: read_number(body, where="fill"))
    return None if number is None else format((number / percent).normalize(), "f")


def _poured(reader: Reader, form: WindfallForm) -> dict[str, object]:
    pails = reader.read(lambda: read_number(form.pails, where="pails"))
    if pails is not None and pails > MOST_PAILS:
        reader.wrong("pails", tr("{pails} pails are more than one lot can be", pails=form.pails.strip()),
                     tr("Log it as several lots."))
    pail = None
    if form.pail.strip():
        pail = reader.read(lambda: read_measure(form.pail, kind="volume", where="pail", default_unit="L",
                                                gallons=whose_gallons(form.gallons)))
        if pail is not None and pail.si > MOST_PAIL_L:
            reader.wrong("pail", tr("{pail} is not the size of a pail", pail=form.pail.strip()),
                         tr("Type what one pail holds."))
    return {"basis": "poured", "pails": None if pails is None else format(pails, "f"), "pail": pail,
            "fill": _share(reader, form.fill) if form.fill.strip() else None}


def _how_much(reader: Reader, form: WindfallForm) -> dict[str, object]:
    """The facts that say how much, as they were read; empty if that was not told, or told twice."""
    given = [name for name in ("gross", "count", "pails") if getattr(form, name).strip()]
    if len(given) > 1:
        reader.wrong(given[1], tr("both {one} and {other} are given", one=tr(given[0]), other=tr(given[1])),
                     tr("Give one of them; a weighing is best."))
        return {}
    if not given:
        reader.wrong("gross", tr("how much it was is not given"), tr("Weigh it, count it, or say how many pails."))
        return {}
    if given == ["gross"]:
        return {"basis": "weighed", "gross": _mass(reader, "gross", form.gross, form.unit),
                "tare": _mass(reader, "tare", form.tare, form.unit) if form.tare.strip() else None,
                **read_scale(reader, form)}
    if given == ["count"]:
        return {"basis": "counted", "count": _whole(reader, form.count), **read_sample(reader, form)}
    return _poured(reader, form)


def decide_windfall(form: WindfallForm, situation: Situation, corrects: Thing | None = None) -> Decision:
    """A load from a site, known or new in place, with the leave to gather there if that was told.

    corrects: the lot that is told anew, if it is one that is known.
    """
    reader = Reader()
    drafts: list[Draft] = []
    site_id, known = "", None
    if form.new_site is not None:
        decided = decide_site(form.new_site, situation)
        reader.problems.extend(decided.problems)
        drafts.extend(decided.drafts)
        site_id = decided.main
    elif form.site.strip():
        known = _find_site(reader, form.site, situation.sites)
        site_id = known.id if known else ""
    else:
        reader.wrong("site", tr("is not given"), tr("Choose where it was gathered, or add the place."))
    found = _part(reader, form)
    how_much = _how_much(reader, form)
    wood = read_wood(reader, form.wood, found[1].key) if found else None
    if form.ripeness and form.ripeness not in RIPENESS:
        reader.wrong("ripeness", tr("{word!r} is not known", word=form.ripeness),
                     tr("Choose one of: {choices}.", choices=", ".join(RIPENESS)))
    elif form.ripeness and found and not found[1].shows_ripeness:
        reader.wrong("ripeness", tr("{name} has no ripeness", name=found[1].said), tr("Leave it out."))
    if form.condition not in CONDITIONS:
        reader.wrong("condition", tr("{word!r} is not known", word=form.condition),
                     tr("Choose one of: {choices}.", choices=", ".join(CONDITIONS)))
    gathered = situation.now
    if form.gathered.strip():
        gathered = reader.read(lambda: read_moment(
            form.gathered, where="gathered", now=situation.now, localise=situation.localise)) or gathered
    fix = _fix(reader, form.position)
    note = reader.text("note", form.note, LONGEST_NOTE)
    leave = None
    if form.leave is not None:
        leave = _leave_facts(reader, site_id, form.leave)
    facts = None
    if how_much:
        facts = _lot_facts(reader, found is not None, {
            "site": site_id, "material": form.material, "part": form.part, "condition": form.condition,
            "ripeness": form.ripeness or None, "gathered": gathered.isoformat(timespec="seconds"),
            "fix": fix_facts(fix), "note": note, "wood": wood, **how_much})
    if reader.problems or facts is None:
        return Decision(problems=tuple(reader.problems))
    if leave is not None:
        drafts.append(_leave_draft(known, leave, situation))
    # The lot comes last, so that undoing the last thing done takes back the lot, and the place stays.
    main, parents = (corrects.id, corrects.heads) if corrects else (situation.new_id(), ())
    drafts.append(Draft(main, "lot", facts.as_json(), _pair(fix.position if fix else None), parents))
    return Decision(tuple(drafts), drafts[-1].thing)


def _lot_facts(reader: Reader, known: bool, facts: dict[str, object]) -> LotFacts | None:
    # An amount that could not be read has told its problem already; the rest can't be judged without it.
    amounts = ("gross", "tare", "count", "pails", "pail", "fill", "condition", "scale division", "scale class",
               "sample", "sample each")
    if any(problem.where in amounts for problem in reader.problems):
        return None
    lot = LotFacts.model_validate(facts)
    if not known:
        reader.problems.extend(amount_problems(lot))
        return None
    return lot if reader.read(lambda: net_mass(lot)) is not None else None
