"""The command that previews the colour a bath may give: ``field-app preview``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, get_args

import click

from field_app.cli_base import Call, Command, as_json, json_option, say, told
from field_app.core.bands import ShadeWord
from field_app.core.colour import read_hex
from field_app.core.colour_course import TIMES, Column, after_times, dip_after_dip, load_after_load, pot_for
from field_app.core.durations import read_hours, show_hours
from field_app.core.helpers import HELPERS
from field_app.core.kubelka import Colour, colour_of
from field_app.core.materials import material as find_material
from field_app.core.palette import GROUND_WORDS, GROUNDS, Ground, Palette
from field_app.core.preview import BASES, UNDYED, Expected, label_of, tone
from field_app.core.problems import refuse
from field_app.core.reading import read_number
from field_app.core.spectrum import reflectance_of
from field_app.core.units import show_number, show_per
from field_app.words import tr

__all__ = ["COMMANDS", "base_of"]

_NAMED = {key: colour for key, _, colour in BASES}
#: How long each of several baths is, unless told otherwise [h].
_EACH = 1.0


def base_of(text: str) -> str:
    """The colour of cloth as typed: one of the names, or hexadecimal; Refused if it is neither."""
    return _NAMED[text.strip().lower()] if text.strip().lower() in _NAMED else read_hex(text, where="--base")


def _share(text: str, where: str) -> float:
    """A share [1] as typed: 50 %, or 0.5."""
    body = text.strip()
    number = float(read_number(body.removesuffix("%"), where=where))
    return number / 100 if body.endswith("%") else number


def _spread(values: tuple[float, float, float]) -> str:
    low, central, high = (f"{round(value):d}".replace("-", "−") for value in values)
    return f"{central} ({low}–{high})"


def _colour_line(words: str, found: Expected) -> str:
    return (f"  {words:<10} {found.lightest.hex} {found.central.hex} {found.darkest.hex}  "
            f"L* {_spread(found.lightness)}, a* {_spread(found.a)}, b* {_spread(found.b)}, "
            f"ΔE {_spread(found.change)}; {tone(found.central.lab)}")


def _depth_words(column: Column) -> str:
    low, central, high = (show_number(round(value, 2)) for value in (
        column.depth.low, column.depth.central, column.depth.high))
    return f"{central} ({low}–{high})"


def _lines(columns: Sequence[Column], grounds: Sequence[Ground], palette: Palette, base: Colour) -> Iterator[str]:
    light, a, b = (f"{round(value):d}".replace("-", "−") for value in (base.lab.lightness, base.lab.a, base.lab.b))
    yield tr("The cloth before: {hex}, L* {light}, a* {a}, b* {b}; {tone}", hex=base.hex, light=light, a=a, b=b,
             tone=tone(base.lab))
    for column in columns:
        yield tr("{bath}: depth {depth}, {shade}", bath=column.words, depth=_depth_words(column),
                 shade=column.dyed.band.words)
        for ground in grounds:
            yield _colour_line(tr(GROUND_WORDS[ground]), column.colours[ground])
    yield tr("Each colour: lightest, expected, darkest; ΔE (CIEDE2000) is from the cloth before.")
    yield label_of(palette)


def _reasons(columns: Sequence[Column], grounds: Sequence[Ground]) -> list[dict[str, str]]:
    told = dict.fromkeys(reason for column in columns for ground in grounds
                         for reason in column.colours[ground].reasons)
    return [reason.as_json() for reason in told]


@click.command(cls=Command)
@click.option("--material", "key", default="", metavar="M",
              help="Such as black-walnut; field-app materials lists them.")
@click.option("--lot", default="", metavar="LOT", help="Or stuff of a lot, by its code, with the swatches of that lot.")
@click.option("--wof", default="", metavar="SHARE", help='Air-dry stuff on the weight of cloth, such as "50 %" or 0.5.')
@click.option("--shade", type=click.Choice(get_args(ShadeWord)), help="As much of it as custom takes for a shade.")
@click.option("--depth", default="", metavar="D",
              help="How deep at rest; 1 is a bath of 50 % walnut hull, 30 L to the kilogram.")
@click.option("--base", default=UNDYED, metavar="COLOUR", show_default=True,
              help=f"The cloth: #rrggbb, or one of {', '.join(_NAMED)}.")
@click.option("--mordant", type=click.Choice(GROUNDS), help="Only this one; default: all three.")
@click.option("--time", "times", multiple=True, metavar="TIME",
              help='In the bath, such as "15 min"; may be repeated. Default: 3 min, 15 min, 1 h and 6 h.')
@click.option("--baths", type=click.IntRange(1, 10), metavar="N",
              help="So many loads of cloth after each other in the same bath; each is paler.")
@click.option("--dips", type=click.IntRange(1, 10), metavar="N",
              help="The same cloth dipped so many times, rinsed and dried between; each is deeper.")
@json_option
@click.pass_obj
@told
def preview(call: Call, /, key: str, lot: str, base: str, mordant: Ground | None, times: tuple[str, ...],
            baths: int | None, dips: int | None, for_programs: bool, **strength: Any) -> None:
    """Show what colour a bath may give: hexadecimal, L*a*b*, its range, and how far from the cloth before.

    Give one of --wof, --shade and --depth. It is an illustration until a swatch of your own is in.

    \b
    Example:
      field-app preview --material black-walnut --shade medium --base "#8b9db4" --mordant iron
      field-app preview --material oak-bark --wof "100 %" --time "45 min" --baths 3
    """
    if bool(lot) == bool(key):
        raise refuse("--material", tr("it has to be told what it is dyed with, in one way"),
                     tr("Give --material or --lot."))
    book, cloth = call.book(), base_of(base)
    of = book.lot(lot) if lot else None
    where = (of.facts.material, of.facts.site, of.id) if of else (find_material(key).key, "", "")
    in_force = book.in_force()
    stuff, palette = in_force(*where), in_force.palette(*where)
    wof, shade, depth = (strength[name] for name in ("wof", "shade", "depth"))
    if not any((wof, shade, depth)):
        raise refuse("--shade", tr("it isn't told how strong the bath is"), tr("Give --shade, --wof or --depth."))
    pot = pot_for(stuff, shade=shade or None, wof=_share(wof, "--wof") if wof else None,
                  depth=float(read_number(depth, where="--depth")) if depth else None)
    if baths and dips:
        raise refuse("--dips", tr("goes with one load of cloth only"), tr("Give either --baths or --dips."))
    hours = [read_hours(text, where="--time") for text in times]
    if baths or dips:
        if len(hours) > 1:
            raise refuse("--time", tr("was given more than once"), tr("Give one time for every bath."))
        each = hours[0] if hours else _EACH
        made = load_after_load if baths else dip_after_dip
        columns = made(cloth, pot, palette, each, baths or dips or 1)
        head = tr("{time} in the bath each time", time=show_hours(each))
    else:
        columns = after_times(cloth, pot, palette, hours or TIMES)
        head = tr("one bath")
    grounds: tuple[Ground, ...] = (mordant,) if mordant else GROUNDS
    before = colour_of(reflectance_of(cloth))
    if for_programs:
        cells = [column.as_json() for column in columns]
        for cell in cells:
            cell["colours"] = {ground: cell["colours"][ground] for ground in grounds}
        as_json({"material": stuff.key, "base": before.as_json(), "columns": cells, "label": label_of(palette),
                 "own_swatches": palette.own, "reasons": _reasons(columns, grounds)})
        return
    click.echo(tr("{stuff}, {bath}, {amount} to the {one} of cloth:", stuff=tr(stuff.name), bath=head,
                  amount=show_per(30.0, "L/kg")[0], one=show_per(30.0, "L/kg")[1]))
    for line in _lines(columns, grounds, palette, before):
        click.echo(line)
    if mordant == "iron":
        for caution in HELPERS["iron"].told()[:2]:
            say(tr(caution.short))


COMMANDS: tuple[click.Command, ...] = (preview,)
