"""The commands for what is a person's own: values in place of the table's, tests, pots and pails."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import click

from field_app.cli_base import Call, Group, as_json, json_option, told
from field_app.core.figures import figure_words
from field_app.core.materials import Material, material
from field_app.core.own import OwnTest, OwnValue, default_of, in_force
from field_app.core.own_deeds import OwnTestForm, ValueForm, parameter_named
from field_app.core.own_facts import STATES
from field_app.core.problems import Refused, refuse
from field_app.core.records import code_of
from field_app.core.units import show_measure, show_value
from field_app.core.vessels import MADE_OF, VESSELS, VesselForm, VesselNow
from field_app.store import (
    FieldBook,
    add_vessel,
    change_vessel,
    note_test,
    set_value,
    take_back_value,
    vessel,
    vessels,
)
from field_app.words import later, mid, state_words, tr, tr_n

__all__ = ["COMMANDS"]

_CODE = 4
_Option = Callable[[Callable[..., Any]], Callable[..., Any]]
_VESSELS = {"pot": later("pot"), "pail": later("pail")}
_KINDS = {"dry": later("dry test"), "spent": later("spent test"), "reading": later("reading")}


def _site_id(book: FieldBook, site: str) -> str:
    return book.site(site).id if site else ""


def _place(book: FieldBook, site: str) -> str:
    try:
        return book.site(site).name
    except Refused:
        return tr("a place not known here")


# Figures of one's own


@click.group(cls=Group)
def figure() -> None:
    """Your own values in place of those of the table of materials."""


@figure.command("set")
@click.argument("name", metavar="MATERIAL")
@click.argument("parameter", metavar="FIGURE")
@click.argument("value", metavar="VALUE")
@click.option("--low", default="", metavar="VALUE", help="One in ten is below it; default: 10 % less.")
@click.option("--high", default="", metavar="VALUE", help="One in ten is above it; default: 10 % more.")
@click.option("--site", default="", metavar="SITE", help="For this place alone.")
@click.option("--by", default="", metavar="WHO", help="Who says so.")
@click.option("--note", default="", help="Anything worth knowing.")
@json_option
@click.pass_obj
@told
def figure_set(call: Call, /, name: str, parameter: str, value: str, site: str, for_programs: bool,
               **given: str) -> None:
    """Put a value of your own in place of the table's; names of figures are told by materials.

    \b
    Example:
      field-app figure set black-walnut dry-fresh "18 %" --low "16 %" --high "20 %"
      field-app figure set black-walnut piece-whole-fruit "62 g" --site "Mill lane"
    """
    book = call.book()
    where = _site_id(book, site)
    set_value(book, ValueForm(name, parameter, value, site=where, **given))
    _tell_figure(book, name, parameter, where, for_programs)


@figure.command("back")
@click.argument("name", metavar="MATERIAL")
@click.argument("parameter", metavar="FIGURE")
@click.option("--site", default="", metavar="SITE", help="The one that was set for this place.")
@json_option
@click.pass_obj
@told
def figure_back(call: Call, /, name: str, parameter: str, site: str, for_programs: bool) -> None:
    """Take back a value of your own; what you tested yourself goes on counting.

    \b
    Example:
      field-app figure back black-walnut dry-fresh
    """
    book = call.book()
    where = _site_id(book, site)
    take_back_value(book, material(name).key, parameter_named(material(name), parameter)[0], where)
    _tell_figure(book, name, parameter, where, for_programs)


def _tell_figure(book: FieldBook, name: str, parameter: str, site: str, for_programs: bool) -> None:
    stuff = material(name)
    key, _ = parameter_named(stuff, parameter)
    row = book.in_force()(name, site).parameters[key]
    if for_programs:
        as_json({"material": name, "figure": key, "site_id": site or None, **row.model_dump()})
    else:
        click.echo(f"{_stuff_at(book, stuff, site)}, {figure_words(key, stuff)}: {row.shown} ({tr(row.source)}).")


def _stuff_at(book: FieldBook, stuff: Material, site: str) -> str:
    if not site:
        return tr(stuff.name)
    return tr("{stuff} at {place}", stuff=tr(stuff.name), place=_place(book, site))


@figure.command("list")
@click.argument("name", metavar="[MATERIAL]", default="")
@json_option
@click.pass_obj
@told
def figure_list(call: Call, /, name: str, for_programs: bool) -> None:
    """List the values that you set.

    \b
    Example:
      field-app figure list
    """
    book = call.book()
    found = [one for one in book.in_force().records.values if not name or one.facts.material == material(name).key]
    if for_programs:
        as_json([{"id": one.id, **one.facts.as_json()} for one in found])
        return
    for one in found:
        click.echo(_value_line(book, one))
    if not found:
        click.echo(tr("No value of your own is set."))


def _value_line(book: FieldBook, one: OwnValue) -> str:
    facts, stuff = one.facts, material(one.facts.material)
    ends = [*([tr("low {value}", value=facts.low)] if facts.low else []),
            *([tr("high {value}", value=facts.high)] if facts.high else [])]
    spread = f" ({', '.join(ends)})" if ends else ""
    day = facts.at[:10]
    was_set = tr("set {day}, by {who}", day=day, who=facts.by) if facts.by else tr("set {day}", day=day)
    apart = f"; {tr('people say different things of it, set it anew to settle it')}" if one.disputed else ""
    return (f"{_stuff_at(book, stuff, facts.site or '')}, {figure_words(facts.parameter, stuff)} [{facts.parameter}]: "
            f"{facts.value} {facts.unit}{spread}, {was_set}{apart}")


# Tests


@click.group("test", cls=Group)
def own_test() -> None:
    """Tests of your own stuff, from which the figures learn."""


def _of_what(command: Callable[..., Any]) -> Callable[..., Any]:
    options: list[_Option] = [
        click.option("--lot", default="", metavar="LOT", help="The lot that it was made of, by code."),
        click.option("--material", default="", metavar="M", help="What it was made of, if no lot."),
        click.option("--condition", "state", type=click.Choice(STATES), help="In what condition; a lot tells it."),
        click.option("--site", default="", metavar="SITE", help="Where it came from, if no lot."),
        click.option("--division", default="", metavar="MASS", help='Smallest step of the scale, such as "1 g".'),
        click.option("--when", "at", default="", metavar="TIME", help="Local time; default: now."),
        click.option("--by", default="", metavar="WHO", help="Who did it."),
        click.option("--note", default="", help="Anything worth knowing."),
        json_option, click.pass_obj,
    ]
    for option in reversed(options):
        command = option(command)
    return command


def _note(call: Call, test: str, *, lot: str, state: str | None, site: str, for_programs: bool, **given: str) -> None:
    book = call.book()
    if not lot and not given["material"]:
        raise refuse("--lot", tr("neither a lot nor a material is told"),
                     tr("Say --lot, or --material and --condition."))
    form = OwnTestForm(test, lot=book.lot(lot).id if lot else "", state=state or "", site=_site_id(book, site), **given)
    made = note_test(book, form)
    one = next(found for found in book.in_force().records.tests if found.id == made)
    if for_programs:
        as_json({"id": made, "code": code_of(made, _CODE), "material": one.material, "figure": one.parameter,
                 "learnt": {words: row.model_dump() for words, row in _learnt(book, one)}})
        return
    stuff = material(one.material)
    click.echo(tr("Noted as {code}. {stuff}, {figure}:", code=code_of(made, _CODE), stuff=tr(stuff.name),
                  figure=figure_words(one.parameter, stuff)))
    for words, row in _learnt(book, one):
        click.echo(f"  {words}: {row.shown}")


def _learnt(book: FieldBook, test: OwnTest) -> Iterator[tuple[str, Any]]:
    """What the figure is now, from the table to the lot, for as much as is known of the test."""
    records = book.in_force().records
    asked = [(tr("in the table"), in_force(test.material)), (tr("in general"), in_force(test.material, "", records))]
    if test.site:
        asked.append((tr("at {place}", place=_place(book, test.site)), in_force(test.material, test.site, records)))
    if test.lot:
        asked.append((tr("of lot {code}", code=book.lot(test.lot).code),
                      in_force(test.material, test.site, records, lot=test.lot)))
    for words, stuff in asked:
        row = default_of(test.parameter, stuff)
        if row is not None:
            yield words, row


@own_test.command("dry")
@click.option("--before", required=True, metavar="MASS", help="The sample as it is, with its dish.")
@click.option("--after", required=True, metavar="MASS", help="The same, dried until it loses no more.")
@click.option("--dish", default="", metavar="MASS", help="The empty dish.")
@_of_what
@told
def test_dry(call: Call, /, **given: Any) -> None:
    """Weigh, dry, weigh: how much dry matter is in it.

    \b
    Example:
      field-app test dry --lot K7QF --before "212 g" --after "52 g" --dish "12 g"
    """
    _note(call, "dry", **given)


@own_test.command("spent")
@click.option("--before", required=True, metavar="MASS", help="Air-dry stuff, before it was extracted.")
@click.option("--after", required=True, metavar="MASS", help="The same, extracted and air-dry again.")
@click.option("--dish", default="", metavar="MASS", help="The empty dish.")
@_of_what
@told
def test_spent(call: Call, /, **given: Any) -> None:
    """Weigh air-dry stuff before and after the kettle: how much of it went into the liquor.

    \b
    Example:
      field-app test spent --material black-walnut --condition air-dry --before "100 g" --after "72 g"
    """
    _note(call, "spent", **given)


@own_test.command("reading")
@click.option("--before", "before", required=True, metavar="MASS", help="The stuff that was put into the kettle.")
@click.option("--liquor", required=True, metavar="VOLUME", help="The liquor on it, all of it.")
@click.option("--brix", required=True, metavar="DEGREES", help="What the refractometer shows, cooled to 20 °C.")
@click.option("--dish", default="", metavar="MASS", help="The empty dish or pail.")
@_of_what
@told
def test_reading(call: Call, /, **given: Any) -> None:
    """Read the liquor with a refractometer: how much of the stuff is in it.

    \b
    Example:
      field-app test reading --lot K7QF --condition air-dry --before "1 kg" --liquor "12 L" --brix 1.8
    """
    _note(call, "reading", **given)


@own_test.command("list")
@json_option
@click.pass_obj
@told
def test_list(call: Call, /, for_programs: bool) -> None:
    """List your tests, newest last.

    \b
    Example:
      field-app test list
    """
    book = call.book()
    found = sorted(book.in_force().records.tests, key=lambda one: (one.facts.at, one.id))
    if for_programs:
        as_json([{"id": one.id, "code": code_of(one.id, _CODE), "material": one.material, "state": one.state,
                  "figure": one.parameter, **one.facts.as_json()} for one in found])
        return
    for one in found:
        what = tr("{test} of {stuff}", test=tr(_KINDS[one.facts.test]), stuff=mid(tr(material(one.material).name)))
        of = [what, state_words(one.state), *([_place(book, one.site)] if one.site else []),
              *([tr("lot {code}", code=book.lot(one.lot).code)] if one.lot else [])]
        click.echo(f"{code_of(one.id, _CODE)} · {one.facts.at[:10]} · {', '.join(of)}")
    if not found:
        click.echo(tr("No test was noted yet."))


@own_test.command("back")
@click.argument("code", metavar="TEST")
@click.pass_obj
@told
def test_back(call: Call, /, code: str) -> None:
    """Take back a test, by its code in the list; the figures are as if it had never been made.

    \b
    Example:
      field-app test back T26E
    """
    book = call.book()
    found = book.log_book.by_code(code.strip().upper().translate(str.maketrans("OIL", "011")), "test")
    if len(found) != 1:
        raise refuse("test", tr_n("{n} test has the code {code!r:.20}", "{n} tests have the code {code!r:.20}",
                                  len(found), code=code) if found
                     else tr("no test has the code {code!r:.20}", code=code),
                     tr("List the tests to see their codes."))
    book.withdraw(found[0].id)
    click.echo(tr("Test {code} is taken back.", code=code_of(found[0].id, _CODE)))


# Pots and pails


@click.group(cls=Group)
def pots() -> None:
    """The pots and pails that you own."""


def _vessel_json(one: VesselNow) -> dict[str, Any]:
    return {"id": one.id, **one.facts.as_json(), "litres": round(one.litres, 4), "cautions": list(one.cautions),
            "diameter_m": None if one.diameter is None else round(one.diameter, 4)}


def _vessel_line(one: VesselNow) -> str:
    facts, more = one.facts, []
    if one.diameter is not None:
        more.append(tr("{width} wide", width=show_value(round(one.diameter * 100), "cm")))
    if facts.tare is not None:
        more.append(tr("{mass} empty", mass=show_measure(facts.tare)))
    if facts.made_of != "other":
        more.append(tr(MADE_OF[facts.made_of].words))
    return f"{one.name}: {tr(_VESSELS[facts.vessel])}, {', '.join([show_measure(facts.volume), *more])}"


def _vessel_options(command: Callable[..., Any]) -> Callable[..., Any]:
    options: list[_Option] = [
        click.option("--kind", "vessel", type=click.Choice(VESSELS), help="A pot for the fire, or a pail."),
        click.option("--volume", metavar="VOLUME", help='What it holds to the rim, such as "40 L".'),
        click.option("--diameter", metavar="LENGTH", help='How wide it is inside, such as "38 cm".'),
        click.option("--surface", metavar="AREA", help='Of one that is not round, such as "0.12 m²".'),
        click.option("--tare", metavar="MASS", help='What it weighs empty, such as "1.1 kg".'),
        click.option("--made-of", type=click.Choice(list(MADE_OF)), help="What it is made of."),
        click.option("--note", help="Anything worth knowing."),
        json_option, click.pass_obj,
    ]
    for option in reversed(options):
        command = option(command)
    return command


def _tell_vessel(one: VesselNow, deed: str, for_programs: bool) -> None:
    if for_programs:
        as_json(_vessel_json(one))
        return
    click.echo(f"{deed} {_vessel_line(one)}")
    for words in one.cautions:
        click.echo(tr(words))


@pots.command("add")
@click.argument("name")
@_vessel_options
@told
def pots_add(call: Call, /, name: str, for_programs: bool, **given: str | None) -> None:
    """Note a pot or a pail: what it holds, how wide it is, what it weighs empty.

    \b
    Example:
      field-app pots add "big enamel" --volume "40 L" --diameter "38 cm" --made-of enamel
      field-app pots add "grey pail" --kind pail --volume "12 L" --tare "1.1 kg" --made-of plastic
    """
    told_now = {key: text for key, text in given.items() if text is not None}
    _tell_vessel(add_vessel(call.book(), VesselForm(name, **told_now)), tr("Noted:"), for_programs)


@pots.command("change")
@click.argument("name")
@click.option("--name", "new_name", metavar="NAME", help="A new name.")
@_vessel_options
@told
def pots_change(call: Call, /, name: str, new_name: str | None, for_programs: bool, **given: str | None) -> None:
    """Tell anew what is wrong or has changed; what is not told stays as it was.

    \b
    Example:
      field-app pots change "grey pail" --tare "1.2 kg"
    """
    book = call.book()
    facts = vessel(book, name).facts
    before: dict[str, str] = {
        "vessel": facts.vessel, "made_of": facts.made_of, "note": facts.note, "surface": facts.surface or ""}
    for member, measure in (("volume", facts.volume), ("diameter", facts.diameter), ("tare", facts.tare)):
        before[member] = "" if measure is None else measure.typed or str(measure)
    now = {key: text for key, text in given.items() if text is not None}
    for one, other in (("surface", "diameter"), ("diameter", "surface")):
        if one in now and other not in now:
            before[other] = ""
    changed = change_vessel(book, name, VesselForm(new_name or facts.name, **{**before, **now}))
    _tell_vessel(changed, tr("Changed:"), for_programs)


@pots.command("back")
@click.argument("name")
@click.pass_obj
@told
def pots_back(call: Call, /, name: str) -> None:
    """Take back a pot or pail that is gone.

    \b
    Example:
      field-app pots back "grey pail"
    """
    book = call.book()
    one = vessel(book, name)
    book.withdraw(one.id)
    click.echo(tr("{name} is taken back.", name=one.name))


@pots.command("list")
@json_option
@click.pass_obj
@told
def pots_list(call: Call, /, for_programs: bool) -> None:
    """List your pots and pails.

    \b
    Example:
      field-app pots list
    """
    found = vessels(call.book())
    if for_programs:
        as_json([_vessel_json(one) for one in found])
        return
    for one in found:
        click.echo(_vessel_line(one))
    if not found:
        click.echo(tr("No pot or pail is noted yet."))


COMMANDS: tuple[click.Command, ...] = (figure, own_test, pots)
