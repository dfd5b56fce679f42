"""The commands of the cloth: lists of it, what it takes, what helps it, and recipes in old measures."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import click

from field_app.cli_base import Call, Command, Group, as_json, json_option, say, told
from field_app.cli_words import row
from field_app.core.bath import ASSUMED_WORDS
from field_app.core.cloth_lists import ClothForm, ClothNow
from field_app.core.cloth_text import read_cloths
from field_app.core.cloths import ClothItem, by_fibre, mass_of
from field_app.core.estimate import Range
from field_app.core.fibres import FIBRES
from field_app.core.helpers import CELLULOSE_WORDS, LABEL, HelperDose, Rinsing, helper, helpers_for, rinsing
from field_app.core.materials import material as find_material
from field_app.core.materials import ripeness as find_ripeness
from field_app.core.need import Need, need_for, read_shade
from field_app.core.old_measures import Converted, OldRecipe, Reach, converted, reach, read_recipe, show_amount
from field_app.core.old_text import Gallons
from field_app.core.problems import refuse
from field_app.core.showing import show_range
from field_app.core.stock import in_store
from field_app.core.units import read_measure, show_between, whose_gallons
from field_app.store import FieldBook, add_cloth, change_cloth, cloth_list, cloth_lists
from field_app.words import basis_words, mid, shade_words, tr

__all__ = ["COMMANDS"]

_CLOTH_HELP = ('Such as "wool 3 kg", "cotton 3 m2 120 g/m2", "silk 2 yd 45 in 8 momme" or "2 shirts linen"; '
               "repeat it.")


def _items(book: FieldBook, cloth: tuple[str, ...], names: tuple[str, ...]) -> tuple[ClothItem, ...]:
    """The cloth of a call: items as typed, and those of lists by their names."""
    items = read_cloths(cloth, where="--cloth") if cloth else ()
    listed = tuple(item for name in names for item in cloth_list(book, name).items)
    if not items and not listed:
        raise refuse("--cloth", tr("no cloth was given"),
                     tr("Type it as in --cloth \"wool 3 kg\", or name a list with --list."))
    return (*items, *listed)


@click.command(cls=Command)
@click.option("--cloth", multiple=True, metavar="CLOTH", help=_CLOTH_HELP)
@click.option("--list", "names", multiple=True, metavar="NAME", help="Cloth of a list that was kept; see cloth list.")
@click.option("--shade", default="medium", show_default=True, metavar="SHADE", help="pale, light, medium or dark.")
@click.option("--material", "key", default="black-walnut", show_default=True, metavar="M",
              help="What is gathered; field-app materials lists them.")
@click.option("--ripe", default="", metavar="STAGE", help="How ripe it will be; default: firm green.")
@json_option
@click.pass_obj
@told
def need(call: Call, cloth: tuple[str, ...], names: tuple[str, ...], shade: str, key: str, ripe: str,
         for_programs: bool) -> None:
    """Say how much must be gathered to dye some cloth, less what is in store.

    \b
    Example:
      field-app need --cloth "wool 3 kg" --shade medium
    """
    book = call.book()
    items, wanted, in_force = _items(book, cloth, names), read_shade(shade, where="--shade"), book.in_force()
    stuff = in_force(find_material(key).key)
    if ripe:
        find_ripeness(ripe)
    store = in_store(book.lots(limit=-1), stuff.key)
    found = need_for(mass_of(items), wanted, stuff, store, ripe)
    if for_programs:
        as_json({**found.as_json(), "items": [item.as_json() for item in items]})
        return
    for line in _need_lines(found, items, mid(tr(stuff.name)), mid(tr(stuff.parts[-1].name))):
        click.echo(line)


def _need_lines(found: Need, items: tuple[ClothItem, ...], name: str, part: str) -> Iterator[str]:
    fruit = found.whole_fruit is not None
    yield tr("{cloth}, to dye {shade} with {stuff}:", cloth=_cloth_line(items), shade=shade_words(found.shade),
             stuff=name)
    if found.whole_fruit is not None:
        yield row(tr("whole fruit"), show_range(found.whole_fruit), 18)
    yield row(tr("or fresh {part}", part=part) if fruit else tr("fresh {part}", part=part),
              show_range(found.hull_fresh), 18)
    yield row(tr("or air-dry"), show_range(found.air_dry), 18)
    yield row(tr("in store"), _air_dry(found.in_store), 18)
    if found.in_store.high > 0:
        fresh = show_range(found.still_fruit or found.still_hull)
        yield row(tr("still to gather"), _air_dry(found.still_to_gather), 18)
        yield row("", tr("{mass} as whole fruit", mass=fresh) if fruit
                  else tr("{mass} as fresh {part}", mass=fresh, part=part), 18)
    yield row(tr("by the bath"), _air_dry(found.by_bath), 18)
    yield from (f"  {words}" for words in (*found.words, *_plant_words(items), tr(ASSUMED_WORDS)))
    yield tr("Why:")
    yield from _reason_lines(found)


def _air_dry(mass: Range) -> str:
    return tr("{mass} as air-dry", mass=show_range(mass))


def _reason_lines(found: Need) -> Iterator[str]:
    for reason in found.reasons():
        source = f" ({reason.source})" if reason.source else ""
        yield f"  {reason.name}: {reason.value}, {basis_words(reason.basis)}{source}"


def _plant_words(items: tuple[ClothItem, ...]) -> tuple[str, ...]:
    return (tr(CELLULOSE_WORDS),) if any(FIBRES[item.fibre].kind == "cellulose" for item in items) else ()


def _cloth_line(items: tuple[ClothItem, ...]) -> str:
    return ", ".join(f"{tr(fibre)} {show_range(mass)}" for fibre, mass in by_fibre(items).items())


@click.group(cls=Group)
def cloth() -> None:
    """Lists of cloth to be dyed."""


def _list_json(one: ClothNow) -> dict[str, Any]:
    return {"id": one.id, "name": one.name, "note": one.facts.note, "items": [item.as_json() for item in one.items],
            "mass": one.mass.as_json(),
            "fibres": {fibre: mass.as_json() for fibre, mass in by_fibre(one.items).items()}}


def _list_lines(one: ClothNow) -> Iterator[str]:
    yield f"{one.name}: {one.words}"
    yield from (f"  {item.text} · {item.words}" for item in one.items)
    yield from (row(tr(fibre), show_range(mass), 10) for fibre, mass in by_fibre(one.items).items())
    if one.facts.note:
        yield f"  {one.facts.note}"


@cloth.command("add")
@click.argument("name")
@click.option("--cloth", "items", multiple=True, required=True, metavar="CLOTH", help=_CLOTH_HELP)
@click.option("--note", default="", help="Anything worth knowing.")
@json_option
@click.pass_obj
@told
def cloth_add(call: Call, name: str, items: tuple[str, ...], note: str, for_programs: bool) -> None:
    """Keep a list of cloth.

    \b
    Example:
      field-app cloth add "Autumn shawls" --cloth "wool 3 kg" --cloth "silk 2 yd 45 in 8 momme"
    """
    _show(add_cloth(call.book(), ClothForm(name, items, note)), for_programs)


@cloth.command("list")
@json_option
@click.pass_obj
@told
def cloth_list_all(call: Call, for_programs: bool) -> None:
    """List what is kept.

    \b
    Example:
      field-app cloth list
    """
    found = cloth_lists(call.book())
    if for_programs:
        as_json([_list_json(one) for one in found])
        return
    if not found:
        say(tr("No lists yet. Make one: field-app cloth add \"Autumn shawls\" --cloth \"wool 3 kg\""))
    for one in found:
        click.echo(f"{one.name} · {one.words}")


@cloth.command("show")
@click.argument("name")
@json_option
@click.pass_obj
@told
def cloth_show(call: Call, name: str, for_programs: bool) -> None:
    """Show one list, item by item and fibre by fibre.

    \b
    Example:
      field-app cloth show "Autumn shawls"
    """
    _show(cloth_list(call.book(), name), for_programs)


@cloth.command("change")
@click.argument("name")
@click.option("--name", "new_name", default="", metavar="NAME", help="Its new name.")
@click.option("--cloth", "items", multiple=True, metavar="CLOTH", help="What is in it now, in place of what was.")
@click.option("--more", multiple=True, metavar="CLOTH", help="Put this in besides.")
@click.option("--note", default=None, help="Its new note.")
@json_option
@click.pass_obj
@told
def cloth_change(call: Call, name: str, new_name: str, items: tuple[str, ...], more: tuple[str, ...], note: str | None,
                 for_programs: bool) -> None:
    """Change a list; what it was stays in its history.

    \b
    Example:
      field-app cloth change "Autumn shawls" --more "2 shirts linen"
    """
    book = call.book()
    before = cloth_list(book, name)
    form = ClothForm(new_name or before.name, (*(items or before.facts.items), *more),
                     before.facts.note if note is None else note)
    _show(change_cloth(book, before.id, form), for_programs)


@cloth.command("remove")
@click.argument("name")
@json_option
@click.pass_obj
@told
def cloth_remove(call: Call, name: str, for_programs: bool) -> None:
    """Take a list back; field-app undo brings it back.

    \b
    Example:
      field-app cloth remove "Autumn shawls"
    """
    book = call.book()
    found = cloth_list(book, name)
    book.withdraw(found.id)
    if for_programs:
        as_json({"id": found.id, "name": found.name, "removed": True})
    else:
        click.echo(tr("{name} is taken back.", name=found.name))


def _show(one: ClothNow, for_programs: bool) -> None:
    if for_programs:
        as_json(_list_json(one))
    else:
        for line in _list_lines(one):
            click.echo(line)


@click.command(cls=Command)
@click.argument("name", default="")
@click.option("--cloth", multiple=True, metavar="CLOTH", help=_CLOTH_HELP)
@click.option("--list", "names", multiple=True, metavar="NAME", help="Cloth of a list that was kept.")
@click.option("--ratio", type=click.FloatRange(5, 200), default=30.0, show_default=True, metavar="L/KG",
              help="Litres of bath to a kilogram of cloth.")
@json_option
@click.pass_obj
@told
def helpers(call: Call, name: str, cloth: tuple[str, ...], names: tuple[str, ...], ratio: float,
            for_programs: bool) -> None:
    """Say what scours, mordants and saddens some cloth, in grams, and how it is rinsed.

    \b
    Example:
      field-app helpers --cloth "wool 2 kg" --cloth "cotton 3 m2 120 g/m2"
      field-app helpers alum --cloth "wool 2 kg"
    """
    asked = helper(name).key if name else ""
    items = _items(call.book(), cloth, names)
    doses = tuple(dose for dose in helpers_for(items) if not asked or dose.helper.name == helper(asked).name)
    rinse = rinsing(mass_of(items), ratio)
    if for_programs:
        as_json({"helpers": [dose.as_json() for dose in doses], "rinsing": rinse.as_json(), "label": LABEL})
        return
    for line in _helper_lines(items, doses, rinse):
        click.echo(line)


def _amount(dose: HelperDose) -> str:
    one = dose.helper
    if dose.grams is not None and one.wof is not None:
        share = Range(one.wof.low * 100, one.wof.central * 100, one.wof.high * 100, "%")
        return tr("{mass}, {share} of the cloth's weight", mass=show_range(dose.grams), share=show_range(share))
    return show_range(one.bath) if one.bath is not None else tr("as its label says")


def _helper_lines(items: tuple[ClothItem, ...], doses: tuple[HelperDose, ...], rinse: Rinsing) -> Iterator[str]:
    yield f"{_cloth_line(items)}:"
    for dose in doses:
        one = dose.helper
        heat = f", {show_between(*one.celsius, 'degC')}" if one.celsius else ""
        yield f"  {tr(dose.fibre)}: {tr(one.name)} {tr(one.does)}: {_amount(dose)}{heat} ({tr(one.source)})"
        yield f"    {tr(dose.words)}"
    if not doses:
        yield tr("  None of it is for this cloth.")
    yield tr("  rinse {count} times, {volume} of water in all", count=show_range(rinse.changes),
             volume=show_range(rinse.litres))
    yield f"  {tr(rinse.words)}"
    yield from (f"  {words}" for words in _plant_words(items))
    for caution in dict.fromkeys(caution for dose in doses for caution in dose.helper.told()):
        yield f"  {tr(caution.title)}. {tr(caution.text)} {tr(caution.advice)}"
    yield f"  {tr(LABEL)}"


@click.command("old-recipe", cls=Command)
@click.option("--cloth", multiple=True, required=True, metavar="CLOTH",
              help='What the old recipe dyed, such as "wool 20 yd 54 in heavy" or "wool 1 lb".')
@click.option("--take", "taken", multiple=True, required=True, metavar="LINE",
              help='What it took, such as "2 pails fresh hull", "½ oz copperas" or "10 gallons water"; repeat it.')
@click.option("--gallons", type=click.Choice(["us", "imperial"]), help="Whose gallon, bushel and fluid ounce it means.")
@click.option("--pail", default="", metavar="VOLUME", help='What a pail held, such as "12 L".')
@click.option("--material", "key", default="black-walnut", show_default=True, metavar="M",
              help="Whose hull is meant where it says hull alone.")
@click.option("--for", "today", multiple=True, metavar="CLOTH", help="Your own cloth; repeat it.")
@click.option("--list", "names", multiple=True, metavar="NAME", help="Your own cloth, from a list that was kept.")
@click.option("--lot", "lots", multiple=True, metavar="LOT", help="Your own load: says how far it reaches.")
@json_option
@click.pass_obj
@told
def old_recipe(call: Call, cloth: tuple[str, ...], taken: tuple[str, ...], gallons: str | None, pail: str, key: str,
               today: tuple[str, ...], names: tuple[str, ...], lots: tuple[str, ...], for_programs: bool) -> None:
    """Turn an old recipe into today's amounts for your own cloth and load.

    \b
    Example:
      field-app old-recipe --cloth "wool 20 yd 54 in heavy" --take "2 pails fresh hull" \\
          --take "1 oz cream of tartar" --pail "12 L" --for "wool 3 kg"
    """
    book = call.book()
    whose: Gallons = "" if gallons is None else "us" if gallons == "us" else "imperial"
    held = read_measure(pail, kind="volume", where="--pail", default_unit="L",
                        gallons=whose_gallons(whose)).si if pail else None
    recipe = read_recipe(read_cloths(cloth, where="--cloth"), taken, gallons=whose, pail=held,
                         key=find_material(key).key)
    own = (*(read_cloths(today, where="--for") if today else ()),
           *(item for name in names for item in cloth_list(book, name).items))
    lines = converted(recipe, own)
    loads = [book.lot(code) for code in lots]
    reaches = reach(lines, loads, own)
    if for_programs:
        as_json({"cloth": [item.as_json() for item in recipe.cloth], "stated": list(recipe.stated),
                 "lines": [line.as_json() for line in lines], "for": [item.as_json() for item in own],
                 "reaches": reaches.as_json() if reaches else None})
        return
    for text in _old_lines(recipe, lines, own, reaches):
        click.echo(text)


def _old_lines(recipe: OldRecipe, lines: tuple[Converted, ...], own: tuple[ClothItem, ...],
               reaches: Reach | None) -> Iterator[str]:
    yield tr("On {cloth}:", cloth=_cloth_line(recipe.cloth))
    for line in lines:
        share = line.share
        parts = [tr("{amount} then", amount=show_amount(line.old))]
        if share.unit == "1":
            percent = show_range(Range(share.low * 100, share.central * 100, share.high * 100, "%"))
            parts.append(tr("{share} of the cloth's weight", share=percent))
        else:
            parts.append(tr("{share} of cloth", share=show_range(share)))
        if line.strength is not None:
            parts.append(tr("{share} of its water", share=show_range(line.strength)))
        yield f"  {line.taking.text} ({tr(line.taking.name)}): {', '.join(parts)}"
        if line.band is not None and line.air_dry is not None:
            air = line.air_dry
            percent = show_range(Range(air.low * 100, air.central * 100, air.high * 100, "%"))
            yield tr("    as air-dry {share}, by custom {shade}", share=percent, shade=line.band.words)
        if line.today is not None:
            yield tr("    for {cloth}: {amount}", cloth=_cloth_line(own), amount=show_amount(line.today))
        if line.words:
            yield f"    {line.words}"
    yield from (f"  {words}" for words in recipe.stated)
    if reaches is not None:
        yield f"  {reaches.words}"


COMMANDS = (need, cloth, helpers, old_recipe)
