"""What an estimate says of some cloth: the options that tell of it, and the answer as words and for programs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, ParamSpec, TypeVar

import click

from field_app.core.bath import CUSTOM_HOURS
from field_app.core.cloth_text import read_cloths
from field_app.core.cloths import ClothItem
from field_app.core.durations import read_hours, show_hours, show_hours_range
from field_app.core.dyeing import Dyeing, Source, cloth_areas, dye
from field_app.core.estimate import Range
from field_app.core.estimated import Estimated
from field_app.core.need import read_shade
from field_app.core.problems import Refused, refuse
from field_app.core.units import show_range
from field_app.store import FieldBook, cloth_list
from field_app.words import shade_words, tr

__all__ = ["ClothAsked", "dye_options", "read_cloth_asked"]

P = ParamSpec("P")
R = TypeVar("R")


def dye_options(command: Callable[P, R]) -> Callable[P, R]:
    """The options that tell of cloth and how long it is dyed."""
    for option in reversed([
        click.option("--cloth", multiple=True, metavar="CLOTH",
                     help='Cloth to dye with it, such as "wool 2 kg"; several go in one after another.'),
        click.option("--list", "lists", multiple=True, metavar="NAME", help="Cloth of a list that was kept."),
        click.option("--time", "bath_time", default="", metavar="T",
                     help=f'How long in the bath, such as "1h"; default: {CUSTOM_HOURS:g} h.'),
        click.option("--dips", type=click.IntRange(1, 50), default=1, show_default=True,
                     help="How often each is dipped, rinsed and dried between."),
        click.option("--shade", default="medium", show_default=True, metavar="SHADE",
                     help="What is wanted: pale, light, medium or dark."),
    ]):
        command = option(command)
    return command


@dataclass(frozen=True, slots=True)
class ClothAsked:
    """What was told of the cloth: its items, hours of a dip [h], how many dips [1], and the shade wanted."""

    items: tuple[ClothItem, ...]
    hours: float
    dips: int
    shade: str

    def dyed(self, result: Estimated) -> Dyeing:
        """What the load makes of it. Refused if there is no liquor."""
        if result.liquor is None:
            raise Refused(result.problems)
        load = result.load
        source = Source(result.stuff, result.liquor.extract, result.liquor.volume, load.air_dry, load.strength)
        return dye([source], self.items, self.hours, dips=self.dips, shade=read_shade(self.shade, where="--shade"))

    def told(self, result: Estimated, plain: dict[str, Any]) -> dict[str, Any]:
        """The plain data of an estimate with the cloth's besides."""
        found = self.dyed(result)
        shades = [dict(shade) for shade in plain["shades"]]
        for shade, row in zip(result.load.shades, shades, strict=True):
            areas = [{"cloth": text, **area.as_json()} for text, area in cloth_areas(shade, self.items)]
            row["cloth_area"] = areas[0] if areas else None
            row["cloth_areas"] = areas
        return {**plain, "shades": shades, **found.as_json(),
                "cloth": [item.as_json() for item in self.items]}

    def lines(self, result: Estimated) -> Iterator[str]:
        """The answer line by line."""
        found = self.dyed(result)
        volume = show_range(found.pot.volume)
        yield tr("On the cloth, one after another in {volume}, {time} each:", volume=volume,
                 time=show_hours(self.hours))
        for turn in found.turns:
            said = {"place": turn.place, "cloth": turn.load.text, "shade": turn.band.words,
                    "depth": show_range(turn.depth)}
            yield (tr("  {place}. {cloth}, {dips} dips: {shade}, depth {depth}", **said, dips=turn.load.dips)
                   if turn.load.dips > 1 else tr("  {place}. {cloth}: {shade}, depth {depth}", **said))
            if turn.band.dark_words:
                yield f"     {turn.band.dark_words}"
        for shade in result.load.shades:
            for text, area in cloth_areas(shade, self.items):
                yield tr("  enough for {area} of {cloth} at {shade}", area=show_range(area), cloth=text,
                         shade=shade_words(shade.name))
        first = found.first
        custom = tr("By custom the first is {shade}, at {share} of its weight.", shade=first.custom.words,
                    share=_percent(first.wof))
        yield f"  {custom} {first.words}"
        yield tr("  All of it together by custom: {shade}, at {share} of its weight.", shade=found.together.words,
                 share=_percent(found.wof))
        wanted = shade_words(self.shade.strip().casefold())
        yield (tr("  The first is {shade} after {time}.", shade=wanted, time=found.wait.words) if found.wait.early
               else tr("  One dip never gives {shade}.", shade=wanted))
        yield f"  {found.enough}"
        if found.top is not None:
            yield f"  {found.top.words}"
        yield f"  {found.dark.words}"
        gain = found.turns[0].no_more
        yield tr("  The first gains little after {time}.", time=show_hours_range(gain.low, gain.central, gain.high))
        yield from (f"  {words}" for words in found.words)


def _percent(share: Range) -> str:
    return show_range(Range(share.low * 100, share.central * 100, share.high * 100, "%"))


def read_cloth_asked(book: FieldBook, told_of: dict[str, Any]) -> ClothAsked | None:
    """What was told of the cloth, or None if nothing was. Raises Refused."""
    cloth, lists = told_of["cloth"], told_of["lists"]
    if not cloth and not lists:
        if told_of["bath_time"]:
            raise refuse("--cloth", tr("is missing beside --time"),
                         tr("Say what is dyed, as in --cloth \"wool 2 kg\"."))
        return None
    items = (*(read_cloths(cloth, where="--cloth") if cloth else ()),
             *(item for name in lists for item in cloth_list(book, name).items))
    hours = read_hours(told_of["bath_time"], where="--time") if told_of["bath_time"] else CUSTOM_HOURS
    return ClothAsked(items, hours, told_of["dips"], told_of["shade"])
