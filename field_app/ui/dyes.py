"""What this dyes: lots and cloth, a time, and what comes out by custom and by the bath, load after load."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import flet as ft

from field_app.core.bands import SHADES, ShadeWord
from field_app.core.bath import Dyed, bath_for, course
from field_app.core.brew import Brew
from field_app.core.cloths import cloth_words
from field_app.core.durations import read_hours, show_hours
from field_app.core.dyeing import Dyeing, Source, dye
from field_app.core.estimated import estimated_lot
from field_app.core.lots import LotNow
from field_app.core.problems import Problem, Refused
from field_app.store import cloth_lists
from field_app.ui import drafts, parts, theme
from field_app.ui.all_lots import use_all_lots
from field_app.ui.choices import tick
from field_app.ui.cloth_pick import Picked, picker
from field_app.ui.dyes_words import curve_card, loads_card, more_card, routes_card
from field_app.ui.guard import guarded, screen
from field_app.ui.life_words import gone
from field_app.ui.lot_words import mass_words, stuff_words
from field_app.ui.services import use_app, use_services
from field_app.words import begun, named, shade_words, tr, tr_n

__all__ = ["TIMES", "Dyes", "DyesAsked"]

#: Times that are offered to tap [h]. A slider would lie as an unseen sheet over the page for screen readers.
TIMES = (0.05, 0.25, 1.0, 2.0, 4.0, 6.0, 8.0, 12.0)
#: The times of the curve [h].
_CURVE = (0.05, 0.25, 1.0, 6.0, 12.0)
_MOST_LOTS = 30


@dataclass(frozen=True, slots=True)
class DyesAsked:
    """What is asked: lots by their ids, cloth, the time as typed, dips, the shade wanted, and the open folds."""

    picked: Picked
    lots: frozenset[str]
    time: str = "1 h"
    dips: int = 1
    shade: ShadeWord = "medium"
    opened: frozenset[str] = frozenset()


@screen
def Dyes() -> ft.View:
    """The answer first; the time can be moved, everything else is in folds below."""
    services, app = use_services(), use_app()
    ft.use_effect(guarded(app.catch_up), [])
    key, path, decimal = ft.use_route_params().get("id", ""), ft.use_view_path(), services.decimal
    of_lot: LotNow | None = ft.use_memo(lambda: services.book.lot(key) if key else None, [key])
    name = f"dyes {key}"
    begun = frozenset({of_lot.id}) if of_lot else frozenset()
    first: DyesAsked = ft.use_memo(lambda: drafts.kept(app, name) or DyesAsked(Picked(), begun), [key])
    asked, set_asked = ft.use_state(first)
    everything = use_all_lots()
    lists = ft.use_memo(lambda: cloth_lists(services.book), [services.book.change_mark()])

    def change(**how: Any) -> None:
        fresh = replace(drafts.kept(app, name) or asked, **how)
        drafts.keep(app, name, fresh)
        set_asked(fresh)

    def pick(turn: Callable[[Picked], Picked]) -> None:
        now: DyesAsked = drafts.kept(app, name) or asked
        change(picked=turn(now.picked))

    there = [lot for lot in everything or () if not gone(lot)]
    lots = [lot for lot in there if lot.id in asked.lots]
    hours, wrong = _hours(asked.time)
    # The curve is worked out anew only when what it hangs on changes, not for every fold that opens.
    result: _Result = ft.use_memo(
        lambda: _worked_out(lots, asked, hours, app.today()),
        [asked.lots, asked.picked.items, hours, asked.dips, asked.shade, services.book.change_mark(), len(lots)])
    body: list[ft.Control] = []
    title = tr("What does it dye?")
    if lots and asked.picked.items and hours is not None:
        if isinstance(result, Refused):
            body.append(parts.notice("refused", tr("That can't be worked out here"), str(result)))
        elif result is not None:
            found, points = result
            title = _title(found, hours)
            palette = services.book.in_force().palette(lots[0].facts.material, lots[0].facts.site, lots[0].id)
            body += [routes_card(found, decimal), _time(asked, change, hours, wrong),
                     curve_card(found, points, asked.shade, palette, decimal), loads_card(found, palette, decimal),
                     more_card(found, decimal)]
    elif not lots:
        body.append(parts.notice("advice", tr("Choose the lots that go into the pot"), tr("Below, under lots.")))
    if len(body) < 2:
        body.append(_time(asked, change, hours, wrong))
    body += [parts.heading(tr("What is to be dyed")), *picker(asked.picked, pick, lists, decimal=decimal),
             parts.fold_card(_folds(asked, change, there, lots, decimal))]
    kicker = _lots_words(lots)
    if asked.picked.items and lots:
        kicker = tr("{cloth} with {lots}", cloth=cloth_words(asked.picked.read()), lots=kicker)
    back = f"/lots/{of_lot.code}" if of_lot else "/dye-day"
    return parts.page_view(path, kicker or tr("Lots and cloth"), title, body, back=back,
                           dock=parts.main_button(tr("Back to the lot") if of_lot else tr("Back to dye day"),
                                                  parts.going(back), "dyes-back"))


def _hours(text: str) -> tuple[float | None, tuple[Problem, ...]]:
    try:
        return read_hours(text, where="time"), ()
    except Refused as refused:
        return None, refused.problems


_Result = tuple[Dyeing, tuple[Dyed, ...]] | Refused | None


def _worked_out(lots: Sequence[LotNow], asked: DyesAsked, hours: float | None, today: dt.date) -> _Result:
    """The answer and its curve, why there is none, or nothing while something is not told yet."""
    if not lots or not asked.picked.items or hours is None:
        return None
    try:
        return _through_the_bath(lots, asked, hours, today)
    except Refused as refused:
        return refused


def _through_the_bath(lots: Sequence[LotNow], asked: DyesAsked, hours: float,
                      today: dt.date) -> tuple[Dyeing, tuple[Dyed, ...]]:
    sources = []
    for lot in lots:
        result = estimated_lot(lot, Brew(), brewed=today)
        if result.liquor is None:
            raise Refused(replace(problem, where=tr("lot {lot}, {where}", lot=lot.code, where=named(problem.where)))
                          for problem in result.problems)
        sources.append(Source(result.stuff, result.liquor.extract, result.liquor.volume, result.load.air_dry,
                              result.load.strength))
    found = dye(sources, asked.picked.read(), hours, dips=asked.dips, shade=asked.shade)
    load = replace(found.turns[0].load, dips=1)
    return found, course(bath_for(found.pot, [load]), load, _CURVE)


def _title(found: Dyeing, hours: float) -> str:
    first = found.turns[0]
    shade, dips = begun(shade_words(first.band.central)), first.load.dips
    if dips == 1:
        return tr("{shade} after {time}", shade=shade, time=show_hours(hours))
    return tr_n("{shade} after {time}, {n} dip", "{shade} after {time}, {n} dips", dips, shade=shade,
                time=show_hours(hours))


def _lots_words(lots: Sequence[LotNow]) -> str:
    if len(lots) == 1:
        return tr("lot {lot}", lot=lots[0].code)
    return tr_n("{n} lot", "{n} lots", len(lots)) if lots else ""


def _time(asked: DyesAsked, change: Callable[..., None], hours: float | None, wrong: Sequence[Problem]) -> ft.Control:
    """Times to tap, and a field for any other."""
    chosen = next((show_hours(time) for time in TIMES if hours is not None and abs(time - hours) < 1e-6), "")
    return parts.card([
        parts.body(tr("In the bath, each time"), bold=True),
        parts.chips([(show_hours(time), show_hours(time)) for time in TIMES], chosen, lambda text: change(time=text),
                    "dyes-for"),
        ft.Container(height=2 * theme.GRID),
        parts.field(tr("Or any other time"), asked.time, lambda text: change(time=text), "dyes-time", wrong,
                    hint=tr("1 h 30 min")),
        parts.second(tr("How often, rinsed and dried between")),
        parts.chips([(str(count), str(count) if count > 1 else tr("once")) for count in (1, 2, 3, 4, 6)],
                    str(asked.dips), lambda count: change(dips=int(count)), "dips")], key="dyes-when")


def _folds(asked: DyesAsked, change: Callable[..., None], there: Sequence[LotNow], lots: Sequence[LotNow],
           decimal: str) -> list[parts.Fold]:
    def toggle(fold: str) -> Callable[[], None]:
        return lambda: change(opened=asked.opened ^ {fold})

    def turn(lot: LotNow) -> Callable[[bool], None]:
        return lambda on: change(lots=asked.lots | {lot.id} if on else asked.lots - {lot.id})

    def inside() -> list[ft.Control]:
        return [tick(f"{lot.code} · {stuff_words(lot.facts)}", lot.id in asked.lots, turn(lot), f"dyes-lot-{lot.code}",
                     more=mass_words(lot.life.left, decimal=decimal)) for lot in there[:_MOST_LOTS]]

    return [
        parts.Fold(tr("lots"), _lots_words(lots) or tr("none chosen"), "dyes-lots", "lots" in asked.opened or not lots,
                   toggle("lots"), inside),
        parts.Fold(tr("wanted"), shade_words(asked.shade), "dyes-wanted", "wanted" in asked.opened, toggle("wanted"),
                   lambda: [parts.chips([(shade, shade_words(shade)) for shade in SHADES], asked.shade,
                                        lambda shade: change(shade=shade), "wanted")])]
