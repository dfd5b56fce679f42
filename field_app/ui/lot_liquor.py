"""The liquor of a lot: how it is made, how much and how strong it gets, in which pots, and how to be surer."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import Any

import flet as ft

from field_app.core.estimated import Estimated
from field_app.core.habits import habits
from field_app.core.liquor import Liquor
from field_app.core.lots import LotNow
from field_app.core.pots import Pot
from field_app.core.problems import Problem
from field_app.core.units import show_per, show_round, show_si
from field_app.store import own_pots
from field_app.ui import drafts, parts, theme
from field_app.ui.day_words import day, span
from field_app.ui.guard import piece, screen
from field_app.ui.life_words import gone, keeps_words
from field_app.ui.liquor_form import BrewTyped, Found, worked_out
from field_app.ui.lot_top_up import TopUp
from field_app.ui.lot_words import mass_words, stuff_words
from field_app.ui.own_units import amount_text, own_label, own_unit
from field_app.ui.reason_words import reason_rows
from field_app.ui.refusals import at, elsewhere
from field_app.ui.services import use_app, use_services
from field_app.words import begun, later, tr, tr_n

__all__ = ["LotLiquor"]

_CALLED = {"water": later("water"), "liquor": later("liquor"), "further water": later("fresh water"),
           "soak": later("soak"), "boil": later("boil"), "pot": later("pots"), "brix": later("refractometer"),
           "strainings": later("strainings"), "time": later("time"), "temperature": later("temperature")}
#: How often it is boiled and strained.
_TIMES = {"1": later("once"), "2": later("twice"), "3": later("three times")}


@screen
def LotLiquor() -> ft.View:
    """What comes of the lot in the pot, worked out anew while one types."""
    services, app = use_services(), use_app()
    key, path = ft.use_route_params().get("id", ""), ft.use_view_path()
    lot = ft.use_memo(lambda: services.book.lot(key), [key, app.lots])
    name, decimal, today = f"liquor {lot.id}", services.decimal, app.today()
    pots: Mapping[str, Pot] = ft.use_memo(lambda: own_pots(services.book), [key, app.lots])
    begin: BrewTyped = drafts.kept(app, name) or BrewTyped()
    typed, set_typed = ft.use_state(begin)
    kicker, lot_path = tr("Lot {lot} · {tree} · {day}", lot=lot.code, tree=lot.site_name,
                          day=day(lot.gathered.date(), today)), f"/lots/{lot.code}"
    if gone(lot):
        words = keeps_words(lot, today)
        return parts.page_view(
            path, kicker, tr("Nothing is left for the pot"),
            [parts.notice("caution", begun(words), tr("If there is more after all, weigh it again."))],
            dock=parts.main_button(tr("Back to the lot"), parts.going(lot_path), "liquor-back"), back=lot_path)

    def edit(**changes: Any) -> None:
        def changed(before: BrewTyped) -> BrewTyped:
            after = dataclasses.replace(before, **changes)
            drafts.keep(app, name, after)
            return after
        set_typed(changed)

    found = worked_out(lot, typed, pots, today)
    made = found.estimated
    liquor = made.liquor if made else None
    brewed = lot.life.left.unit == "L"
    body = [*elsewhere(found.problems, _CALLED)]
    if made is not None and liquor is not None:
        body += [_volume(liquor, decimal, made=brewed), _strength(liquor, decimal)]
    body += [_ReadIt(typed, found, edit)] if brewed else [_Making(typed, found, edit, pots, decimal)]
    if made is not None and liquor is not None:
        body += [*([TopUp(lot, liquor)] if brewed else _boiling(liquor, decimal)), _surer(liquor),
                 _keeps(made, app.today()), _Care(made), _Why(made)]
    step = tr("Note what is left") if brewed else tr("Note what ran off")
    return parts.page_view(
        path, kicker, _title(lot, liquor, decimal), body, back=lot_path,
        dock=parts.main_button(step, parts.going(f"{lot_path}/step"), "liquor-step"),
        dock_note=tr("Don't lift a full hot kettle. Gloves: the juice stains.")
        if lot.facts.part in ("hull", "whole-fruit")
        else tr("Don't lift a full hot kettle."))


def _title(lot: LotNow, liquor: Liquor | None, decimal: str) -> str:
    if liquor is None:
        return tr("Liquor from {stuff}", stuff=stuff_words(lot.facts))
    return tr("{volume} of liquor, {strength}", volume=mass_words(liquor.volume, decimal=decimal),
              strength=mass_words(liquor.strength, decimal=decimal))


def _volume(liquor: Liquor, decimal: str, *, made: bool) -> ft.Control:
    if made:
        return parts.range_card(tr("liquor there is"), liquor.volume, decimal=decimal, key="liquor-volume")
    return parts.range_card(tr("liquor that runs off"), liquor.volume, decimal=decimal, key="liquor-volume", more=[
        parts.range_row(tr("water to put in"), liquor.water, decimal=decimal, key="liquor-water"),
        *([parts.small(tr("You measure the water, so it has no range; what runs off has one."))]
          if liquor.water.low == liquor.water.high else []),
        *([parts.range_row(tr("boils off"), liquor.boiled_off, decimal=decimal)]
          if liquor.boiled_off.high > 0 else []),
        parts.range_row(tr("stays in what is spent"), liquor.kept_back, decimal=decimal)])


def _of_strength() -> str:
    return tr("grams of extract in a litre") if habits().measures == "metric" else tr("ounces of extract in a gallon")


def _strength(liquor: Liquor, decimal: str) -> ft.Control:
    return parts.range_card(tr("strength"), liquor.strength, of=_of_strength(), decimal=decimal,
                            key="liquor-strength", more=[
        parts.range_row(tr("extract in it"), liquor.extract, decimal=decimal, unit="g", key="liquor-extract"),
        parts.range_bar(liquor.extract, label=tr("extract in it"), decimal=decimal, unit="g")])


@piece
def _ReadIt(typed: BrewTyped, found: Found, edit: Callable[..., None]) -> ft.Control:
    """What can still be found out of liquor that is made: its reading."""
    return parts.card([parts.body(tr("Read its strength"), bold=True), parts.field(
        tr("Refractometer"), typed.brix, lambda text: edit(brix=text), "brix", at(found.problems, "brix"),
        suffix=tr("°Brix"),
        keyboard=ft.KeyboardType.NUMBER,
        helper=tr("In °Brix, cold and without sediment; water must show 0."))], key="liquor-read")


@piece
def _Making(typed: BrewTyped, found: Found, edit: Callable[..., None], pots: Mapping[str, Pot],
            decimal: str) -> ft.Control:
    """How it is made, each line as it stands, to be opened and changed."""
    opened, set_opened = ft.use_state(frozenset[str]())

    def fold(label: str, key: str, summary: str, where: tuple[str, ...],
             inside: Callable[[list[Problem]], list[ft.Control]]) -> parts.Fold:
        wrong = [problem for name in where for problem in at(found.problems, name)]
        return parts.Fold(label, summary, key, key in opened, lambda: set_opened(opened ^ {key}),
                          lambda: inside(wrong), wrong=bool(wrong))

    return parts.fold_card([
        fold(tr("water"), "liquor-water-fold", _water_words(typed), ("water", "liquor"),
             lambda wrong: _water(typed, edit, wrong)),
        fold(tr("soak"), "liquor-soak-fold", _bath_words(typed.soak, typed.soak_at, tr("a day, cold")), ("soak",),
             lambda wrong: _bath(typed, edit, "soak", wrong)),
        fold(tr("boil"), "liquor-boil-fold",
             _bath_words(typed.boil, typed.boil_at, tr("2 h at a simmer, {heat}", heat=show_si(95, "degC"))),
             ("boil",), lambda wrong: _bath(typed, edit, "boil", wrong)),
        fold(tr("strain"), "liquor-strain-fold", _strain_words(typed), ("strainings", "further water"),
             lambda wrong: _strain(typed, edit, wrong)),
        fold(tr("pots"), "liquor-pots-fold", _pot_words(typed, pots), ("pot",),
             lambda wrong: _pots(typed, edit, pots, wrong, decimal)),
        fold(tr("refractometer"), "liquor-brix-fold",
             f"{typed.brix.strip()} °Brix" if typed.brix.strip() else tr("not read"),
             ("brix",), lambda wrong: [parts.field(
                 tr("Refractometer"), typed.brix, lambda text: edit(brix=text), "brix", wrong, suffix=tr("°Brix"),
                 keyboard=ft.KeyboardType.NUMBER,
                 helper=tr("In °Brix, cold and without sediment; water must show 0."))]),
    ])


def _water_words(typed: BrewTyped) -> str:
    if not typed.litres.strip():
        return tr("as custom has it")
    amount = amount_text(typed.litres, own_unit("volume"))
    return (tr("{amount} put in", amount=amount) if typed.by == "water"
            else tr("{amount} of liquor wanted", amount=amount))


def _water(typed: BrewTyped, edit: Callable[..., None], wrong: list[Problem]) -> list[ft.Control]:
    return [parts.chips([("water", tr("I know the water")), ("liquor", tr("I want so much liquor"))], typed.by,
                        lambda key: edit(by=key), "liquor-by"),
            parts.field(tr("Water put in") if typed.by == "water" else tr("Liquor wanted"), typed.litres,
                        lambda text: edit(litres=text), "liquor-litres", wrong, suffix=own_label("volume"),
                        keyboard=ft.KeyboardType.NUMBER,
                        helper=tr("Empty: {amount} in all for a {one} of dry hull, with the water that is in it.",
                                  amount=show_per(25.0, "L/kg")[0], one=show_per(25.0, "L/kg")[1]))]


def _bath_words(hours: str, celsius: str, usual: str) -> str:
    time, heat = hours.strip(), amount_text(celsius, own_unit("temperature"))
    return tr("{time} at {heat}", time=time, heat=heat) if time and heat else time or heat or usual


def _bath(typed: BrewTyped, edit: Callable[..., None], name: str, wrong: list[Problem]) -> list[ft.Control]:
    hint = (tr("2 days"), 15.0) if name == "soak" else (tr("2 h"), 95.0)
    return [ft.Row([parts.field(tr("How long"), getattr(typed, name), lambda text: edit(**{name: text}),
                                f"liquor-{name}",
                                hint=hint[0], expand=3),
                    parts.field(tr("How hot"), getattr(typed, f"{name}_at"), lambda text: edit(**{f"{name}_at": text}),
                                f"liquor-{name}-at", hint=show_si(hint[1], "degC").partition(" ")[0],
                                suffix=own_label("temperature"), keyboard=ft.KeyboardType.NUMBER,
                                expand=2)],
                   spacing=theme.GAP, vertical_alignment=ft.CrossAxisAlignment.START),
            *parts.problem_text(wrong),
            parts.small(tr("Such as 90 min, 2 h or 3 days; no for none at all."))]


def _strain_words(typed: BrewTyped) -> str:
    return ", ".join((tr(_TIMES[typed.strainings]), tr("squeezed") if typed.squeezed else tr("drained")))


def _strain(typed: BrewTyped, edit: Callable[..., None], wrong: list[Problem]) -> list[ft.Control]:
    further: list[ft.Control] = []
    if typed.strainings != "1":
        further = [parts.field(tr("Fresh water each further time"), typed.further, lambda text: edit(further=text),
                               "liquor-further", wrong, suffix=own_label("volume"), keyboard=ft.KeyboardType.NUMBER,
                               helper=tr("Empty: filled up to what was in the pot at first."))]
    return [parts.second(tr("how often it is boiled and strained")),
            parts.chips([(key, tr(words)) for key, words in _TIMES.items()], typed.strainings,
                        lambda key: edit(strainings=key), "liquor-times"),
            *further, parts.second(tr("what is spent is")),
            parts.chips([("no", tr("drained")), ("yes", tr("squeezed"))], "yes" if typed.squeezed else "no",
                        lambda key: edit(squeezed=key == "yes"), "liquor-squeezed")]


def _pot_words(typed: BrewTyped, pots: Mapping[str, Pot]) -> str:
    names = [name for name in pots if name not in typed.left_out]
    names += [text.strip() for text in typed.pots.split(";") if text.strip()]
    return ", ".join(names) or tr("none named")


def _pots(typed: BrewTyped, edit: Callable[..., None], pots: Mapping[str, Pot], wrong: list[Problem],
          decimal: str) -> list[ft.Control]:
    def toggle(name: str) -> Callable[[str], None]:
        return lambda _: edit(left_out=typed.left_out ^ {name})

    own: list[ft.Control] = [
        parts.chips([("use", f"{name}, {show_si(pot.volume, 'L', decimal=decimal)}")],
                    None if name in typed.left_out else "use", toggle(name), f"liquor-pot-{number}")
        for number, (name, pot) in enumerate(pots.items())]
    return [*own, parts.field(tr("Another pot") if pots else tr("Pot"), typed.pots, lambda text: edit(pots=text),
                              "liquor-pots", wrong, hint=f"{show_round(40, 'L')}, {show_round(0.38, 'cm')}",
                              helper=tr("What it holds and how wide it is; several set apart by ;"))]


def _boiling(liquor: Liquor, decimal: str) -> list[ft.Control]:
    if liquor.kettles is None:
        return []
    plan = liquor.kettles
    often = tr_n("One boil does it", "{n} boils, each the same", plan.times)
    rows: list[ft.Control] = [parts.body(often, bold=True)]
    for filling in plan.fillings:
        pot = filling.pot
        name = pot.name or tr("{volume} pot", volume=show_si(pot.volume, "L", decimal=decimal))
        rows.append(parts.figure_row(name, tr("{mass} and {volume} of water",
                                              mass=show_si(filling.stuff, "kg", decimal=decimal),
                                              volume=show_si(filling.water, "L", decimal=decimal))))
    rows.append(parts.small(tr("Filled to four fifths, so that it can be stirred and does not boil over.")))
    return [parts.card(rows, key="liquor-kettles")]


def _surer(liquor: Liquor) -> ft.Control:
    rows: list[ft.Control] = [parts.body(tr("To be surer of the strength"), bold=True),
                              parts.second(tr("what its range comes from"))]
    rows += [parts.share_row(part.words, part.share, words=part.deed, key=f"liquor-share-{part.key}")
             for part in liquor.surer["strength"] if part.share >= 0.01]
    return parts.card(rows, "sky", key="liquor-surer")


def _keeps(made: Estimated, today: Any) -> ft.Control:
    """By when it should be used, cool, warm and frozen; what may turn first is told in full."""
    rows: list[ft.Control] = [parts.body(tr("How long it keeps"), bold=True)]
    for storage, by in made.liquor_keeps.items():
        if by.earliest is not None and by.latest is not None:
            called = {"cool": tr("kept cool"), "warm": tr("in the warm"), "frozen": tr("frozen")}[storage]
            rows.append(parts.figure_row(called, tr("until {days}", days=span(by.earliest, by.latest, today)),
                                         key=f"liquor-keeps-{storage}"))
    cool = made.liquor_keeps["cool"]
    return parts.card([*rows, parts.body(cool.advice), parts.small(begun(cool.reason.source))], "leaf",
                      key="liquor-keeps")


@piece
def _Care(made: Estimated) -> ft.Control:
    opened, set_opened = ft.use_state(False)
    cautions = made.load.cautions
    inside: list[ft.Control] = [
        parts.notice("caution", tr(one.title), f"{tr(one.text)} {tr(one.advice)}",
                     controls=[parts.small(tr(one.source))])
        for one in cautions] if opened else []
    return parts.fold(tr("Take care"), " ".join(tr(one.short) for one in cautions[:2]), opened=opened,
                      on_toggle=lambda: set_opened(not opened), key="liquor-care", controls=inside)


@piece
def _Why(made: Estimated) -> ft.Control:
    opened, set_opened = ft.use_state(False)
    reasons = made.liquor.reasons() if made.liquor else ()
    return parts.fold(tr("Why these numbers"), tr("{count} figures go into them", count=len(reasons)), opened=opened,
                      on_toggle=lambda: set_opened(not opened), key="liquor-why",
                      controls=reason_rows(reasons) if opened else [])
