"""The command that says what a load is worth: hull, dry matter, liquor and cloth, of a lot or of what one tells it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any, ParamSpec, TypeVar

import click

from field_app.cli_base import Call, Command, as_json, gallons_option, json_option, told
from field_app.cli_dyes import ClothAsked, dye_options, read_cloth_asked
from field_app.cli_words import lot_heading, lot_keeps, reason_lines, row
from field_app.core.brew import Brew
from field_app.core.brew_text import BrewForm, read_brew
from field_app.core.day_text import plain_day
from field_app.core.estimate import exact
from field_app.core.estimated import Estimated, estimated, estimated_lot
from field_app.core.facts import LotFacts
from field_app.core.forms import SiteForm, WindfallForm
from field_app.core.gather import decide_windfall
from field_app.core.lots import LotNow
from field_app.core.materials import material as find_material
from field_app.core.pots import Pot
from field_app.core.problems import Refused, refuse
from field_app.core.topping import read_strength, topping
from field_app.core.units import read_measure, show_range, show_si, whose_gallons
from field_app.core.units_told import units_told
from field_app.store import own_pots
from field_app.words import mid, shade_words, state_words, tr, tr_n

__all__ = ["COMMANDS", "brew_options", "load_options", "read_load"]

P = ParamSpec("P")
R = TypeVar("R")
#: Where a problem of the load is told, by the option under which it was typed here.
_OPTIONS = {"gross": "--mass", "pail": "--volume", "pails": "--volume", "fill": "--fill", "count": "--count",
            "sample": "--sample", "sample each": "--sample-each", "scale division": "--scale-step",
            "scale class": "--scale-class", "part": "--form", "ripeness": "--ripeness"}
_STATES = click.Choice(["fresh", "browned", "soaked", "air-dry"])


def _with(options: list[Callable[[Callable[P, R]], Callable[P, R]]], command: Callable[P, R]) -> Callable[P, R]:
    for option in reversed(options):
        command = option(command)
    return command


def load_options(command: Callable[P, R]) -> Callable[P, R]:
    """The options that tell of a load that is not logged."""
    return _with([
        click.option("--material", default="", metavar="M", help="Such as black-walnut; in place of a lot."),
        click.option("--site", default="", metavar="NAME", help="A known place, whose own values and tests count."),
        click.option("--form", "part", default="", metavar="PART",
                     help="whole-fruit, hull, bark, ...; default: the first."),
        click.option("--mass", default="", metavar="MASS", help='Net, such as "12 kg".'),
        click.option("--volume", default="", metavar="VOLUME", help='As poured, such as "1 bushel" or "30 L".'),
        click.option("--fill", default="", metavar="SHARE", help="How full the vessel was, such as 0.8 or 80%."),
        click.option("--count", default="", metavar="N", help="How many, if they were counted."),
        click.option("--sample", default="", metavar="MASSES", help='What some of them weighed, such as "68 g; 71 g".'),
        click.option("--sample-each", default="", metavar="N", help="How many were weighed at a time."),
        click.option("--scale-step", "division", default="", metavar="MASS",
                     help='Smallest step of the scale, such as "20 g".'),
        click.option("--scale-class", "scale", default="", metavar="C", help="III or IIII, if the scale is verified."),
        click.option("--state", type=_STATES, default="fresh", show_default=True, help="In what condition it is."),
        click.option("--ripeness", default="", metavar="STAGE",
                     help="green, yellowing, dented, fallen, browned or black."),
        gallons_option,
    ], command)


def brew_options(command: Callable[P, R]) -> Callable[P, R]:
    """The options that tell how liquor is made."""
    return _with([
        click.option("--water", default="", metavar="VOLUME",
                     help="Put in at first; default: 25 L in all for a kg of dry hull."),
        click.option("--liquor", default="", metavar="VOLUME",
                     help="How much liquor is wanted, in place of the water."),
        click.option("--soak", default="", metavar="T", help='Time, temperature or both: "2 days at 15 °C", or no.'),
        click.option("--boil", default="", metavar="T", help='The same: "2 h", "90 °C" or "90 min at 95 °C", or no.'),
        click.option("--strainings", default="", metavar="N", help="How often it is boiled and strained."),
        click.option("--further", default="", metavar="VOLUME", help="Fresh water each further time."),
        click.option("--squeeze", "squeezed", is_flag=True, help="The spent stuff is squeezed, not only drained."),
        click.option("--pot", "pots", multiple=True, metavar="POT",
                     help='A pot that you own, as "40 L, 38 cm"; may be repeated.'),
        click.option("--brix", default="", metavar="B", help="What a refractometer shows of the strained liquor."),
        click.option("--strained", default="", metavar="VOLUME", help="How much liquor there was, measured."),
    ], command)


def read_load(call: Call, told_of: dict[str, Any]) -> LotFacts:
    """The facts of a load told by ``load_options``. Raises Refused with every problem."""
    state, ripeness = told_of["state"], told_of["ripeness"]
    if state == "browned":
        # Browned hull is fresh hull at that ripeness; who says black as well knows better.
        state, ripeness = "fresh", ripeness or "browned"
    stuff, volume = find_material(told_of["material"]), told_of["volume"].strip()
    form = WindfallForm(
        material=stuff.key, part=told_of["part"] or stuff.parts[0].key, new_site=SiteForm("here"),
        ripeness=ripeness, condition=state, gross=told_of["mass"], count=told_of["count"],
        # An estimate gathers nothing: from which wood a bark may be taken is asked where it is logged.
        wood="felled" if (told_of["part"] or stuff.parts[0].key) == "bark" else "",
        pails="1" if volume else "", pail=volume, fill=told_of["fill"], division=told_of["division"],
        scale=told_of["scale"], sample=told_of["sample"], sample_each=told_of["sample_each"],
        gallons=told_of["gallons"])
    decided = decide_windfall(form, call.book().situation())
    if decided.problems:
        raise Refused(replace(problem, where=_OPTIONS.get(problem.where, problem.where))
                      for problem in decided.problems)
    return LotFacts.model_validate(dict(decided.drafts[-1].facts))


def _brew_form(told_of: dict[str, Any]) -> BrewForm:
    names = ("water", "liquor", "soak", "boil", "strainings", "further", "squeezed", "pots", "brix", "strained")
    return BrewForm(**{name: told_of[name] for name in names}, gallons=told_of["gallons"])


def _with_own_pots(form: BrewForm, pots: Mapping[str, Pot]) -> BrewForm:
    # Who owns pots boils in them, unless others are named.
    return form if form.pots else replace(form, pots=tuple(pots))


@click.command(cls=Command)
@click.argument("lot", default="")
@load_options
@brew_options
@dye_options
@json_option
@click.pass_obj
@told
def estimate(call: Call, /, lot: str, for_programs: bool, **told_of: Any) -> None:
    """Say what a lot is worth, or a load that you tell it of: hull, dry matter, liquor and cloth, and why.

    \b
    Example:
      field-app estimate 4K7Q
      field-app estimate --material black-walnut --form whole-fruit --volume "1 bushel" --json
      field-app estimate 4K7Q --cloth "wool 2 kg" --cloth "cotton 3 m2 120 g/m2" --time 1h
    """
    brew_form = _brew_form(told_of)
    if lot and told_of["material"]:
        raise refuse("--material", tr("is given beside a lot"), tr("Name a lot, or tell of a load; not both."))
    book = call.book()
    brew, today = read_brew(_with_own_pots(brew_form, pots := own_pots(book)), pots), book.now().date()
    asked = read_cloth_asked(book, told_of)
    if lot:
        found = book.lot(lot)
        result = estimated_lot(found, brew, brewed=today)
        if result.no_liquor and brew_form.told:
            raise Refused(result.problems)
        if for_programs:
            as_json({"lot": found.id, "code": found.code, **_as_json(result, asked),
                     "units": units_told(told_of["gallons"])})
        else:
            _print(_lot_lines(found, result, today))
            _print(asked.lines(result) if asked else iter(()))
        return
    site = book.site(told_of["site"]).id if told_of["site"] else ""
    if not told_of["material"]:
        raise refuse("LOT", tr("neither a lot nor a load is named"),
                     tr("Name a lot, or tell of a load, as in --material black-walnut --volume \"1 bushel\"."))
    facts = read_load(call, told_of)
    result = estimated(facts, book.in_force()(facts.material, site), brew, brewed=today)
    if for_programs:
        as_json({**_as_json(result, asked), "units": units_told(told_of["gallons"])})
    else:
        _print(_load_lines(result))
        _print(asked.lines(result) if asked else iter(()))


def _as_json(result: Estimated, asked: ClothAsked | None) -> dict[str, Any]:
    return asked.told(result, result.as_json()) if asked else result.as_json()


def _print(lines: Iterator[str]) -> None:
    for line in lines:
        click.echo(line)


def _lot_lines(lot: LotNow, result: Estimated, day: Any) -> Iterator[str]:
    yield lot_heading(lot)
    yield from _worth_lines(result)
    yield f"  {lot_keeps(lot, day)}"
    yield from _why_lines(result)


def _load_lines(result: Estimated) -> Iterator[str]:
    part = result.stuff.part(result.facts.part).name
    yield tr("{mass} of {stuff}, {part}, {condition}", mass=show_range(result.load.net),
             stuff=mid(tr(result.stuff.name)), part=mid(tr(part)), condition=state_words(result.facts.condition))
    yield from _worth_lines(result)
    yield from _why_lines(result)


def _worth_lines(result: Estimated) -> Iterator[str]:
    load = result.load
    if load.fresh_hull != load.net:
        yield row(tr("hull in it"), show_range(load.fresh_hull))
    if load.nuts is not None:
        yield row(tr("nuts left over"), show_range(load.nuts))
    yield row(tr("dry matter"), show_range(load.dry_matter))
    yield row(tr("air-dry"), show_range(load.air_dry))
    for shade in load.shades:
        yield row(tr("dyes {shade}", shade=shade_words(shade.name)),
                  tr("{mass} of cloth", mass=show_range(shade.cloth)))
    yield from (f"  {shade.words}" for shade in load.shades if shade.words)
    yield from _liquor_lines(result)


def _liquor_lines(result: Estimated) -> Iterator[str]:
    liquor, brew = result.liquor, result.brew
    if liquor is None:
        return
    if brew.strained is None:
        yield row(tr("water to put in"), show_range(liquor.water))
        if brew.strainings > 1:
            yield row(tr("each further"), tr("{water} of fresh water", water=show_si(liquor.further, "L")))
        if liquor.boiled_off.high > 0:
            yield row(tr("boils off"), show_range(liquor.boiled_off))
        yield row(tr("stays in it"), show_range(liquor.kept_back))
    yield row(tr("liquor"), show_range(liquor.volume))
    yield row(tr("extract in it"), show_range(liquor.extract))
    yield row(tr("strength"), show_range(liquor.strength))
    cool = result.liquor_keeps["cool"]
    if cool.earliest is not None and cool.latest is not None:
        yield row(tr("keeps, cool"), tr("from {day} it may turn, by {latest} it has", day=plain_day(cool.earliest),
                                        latest=plain_day(cool.latest)))
    if liquor.kettles:
        yield tr_n("  Fill the pots once, each time:", "  Fill the pots {n} times, each time:", liquor.kettles.times)
        for filling in liquor.kettles.fillings:
            yield tr("    {pot} pot: {mass} and {water} of water", pot=show_si(filling.pot.volume, "L"),
                     mass=show_si(filling.stuff, "kg"), water=show_si(filling.water, "L"))


def _why_lines(result: Estimated) -> Iterator[str]:
    yield tr("Why:")
    yield from (f"  {line}" for line in reason_lines(result.reasons()))
    if result.load.surer:
        yield tr("To be surer:")
        yield from (f"  {line}" for line in result.load.surer)
    if result.liquor is not None:
        yield tr("What the strength hangs on:")
        for part in result.liquor.surer["strength"]:
            if part.share >= 0.01:
                deed = f". {tr(part.deed)}" if part.deed else ""
                yield f"  {100 * part.share:.0f} % {tr(part.words)}{deed}"


@click.command("top-up", cls=Command)
@click.option("--bath", required=True, metavar="VOLUME", help='What is in the pot, such as "30 L".')
@click.option("--now", "is_now", required=True, metavar="S", help='How strong it is: "6 g/L" or "0.6 brix".')
@click.option("--wanted", required=True, metavar="S", help="How strong it should be again.")
@click.option("--concentrate", default="", metavar="S", help="How strong the concentrate is.")
@click.option("--store", default="", metavar="VOLUME", help="How much of it there is.")
@click.option("--from", "lot", default="", metavar="LOT", help="A lot of liquor that is the concentrate.")
@click.option("--level", is_flag=True,
              help="The bath keeps its level: as much goes out with the cloth, or is ladled out.")
@gallons_option
@json_option
@click.pass_obj
@told
def top_up(call: Call, /, bath: str, is_now: str, wanted: str, concentrate: str, store: str, lot: str, level: bool,
           gallons: str, for_programs: bool) -> None:
    """Say how much concentrate brings a spent bath back to strength, and how often it lasts.

    \b
    Example:
      field-app top-up --bath "30 L" --now "0.6 brix" --wanted "12 g/L" --concentrate "6 brix" --store "10 L"
    """
    if bool(lot) == bool(concentrate):
        raise refuse("--concentrate", tr("say either how strong it is, or which lot it is"),
                     tr("As in --concentrate \"6 brix\", or --from 4K7Q."))

    def litres(text: str, where: str) -> float:
        return read_measure(text, kind="volume", where=where, default_unit="L",
                            gallons=whose_gallons(gallons)).si

    there = exact(litres(store, "--store"), "L") if store else None
    if lot:
        book = call.book()
        made = estimated_lot(book.lot(lot), Brew(), brewed=book.now().date())
        if made.liquor is None or made.brew.strained is None:
            raise refuse("--from", tr("that lot is no liquor yet"), tr("Strain it first: field-app step LOT strained."))
        strong, there = made.liquor.strength, there or made.liquor.volume
    else:
        strong = read_strength(concentrate, where="--concentrate")
    found = topping(litres(bath, "--bath"), read_strength(is_now, where="--now"),
                    read_strength(wanted, where="--wanted"), strong, there, level=level)
    if for_programs:
        as_json(found.as_json())
    else:
        click.echo(found.words)


COMMANDS: tuple[click.Command, ...] = (estimate, top_up)
