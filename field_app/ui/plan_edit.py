"""Plan a dye day, or change a plan: which lots, which cloth, which pots, and how the liquor is made."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import flet as ft

from field_app.core.cloth_lists import ClothNow
from field_app.core.cloth_text import cloth_example
from field_app.core.day_text import clock_time
from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS
from field_app.core.plan_deeds import form_of_plan
from field_app.core.plans import MORDANTS, SHADES, read_clock
from field_app.core.problems import Problem, Refused
from field_app.core.units import UNITS, show_per
from field_app.store import add_plan, change_plan, cloth_lists, lots_of_plan, plan_of, pots_owned
from field_app.ui import parts, theme
from field_app.ui.all_lots import use_all_lots
from field_app.ui.choices import many_chips, tick
from field_app.ui.day_field import DayField
from field_app.ui.guard import screen
from field_app.ui.hand_over_choice import asked_lot, offer
from field_app.ui.life_words import keeps_words
from field_app.ui.lot_words import mass_words, stuff_words
from field_app.ui.lots_order import by_hurry
from field_app.ui.own_units import amount_text, own_label, own_unit
from field_app.ui.plan_form import BathTyped, PlanTyped, typed_of
from field_app.ui.refusals import at, elsewhere, not_kept
from field_app.ui.services import use_app, use_services
from field_app.ui.sheet import Sheet, use_sheet
from field_app.words import later, shade_words, tr

__all__ = ["PlanEdit"]

_CALLED = {"name": later("what you call it"), "day": later("the day"), "fire": later("when the fire is lit"),
           "water": later("water"), "soak": later("soaking"), "boil": later("simmering"),
           "strainings": later("how often strained"), "ratio": later("litres for a kilogram"), "note": later("note")}
_MAKING = ("water", "soak", "boil", "strainings", "ratio")
_SHORT = {"none": later("none"), "alum": later("alum"), "iron": later("iron"), "alum-iron": later("alum, then iron")}


@screen
def PlanEdit() -> ft.View:
    """One form for a new plan and for one that is changed."""
    services, app = use_services(), use_app()
    key, path = ft.use_route_params().get("id", ""), ft.use_view_path()
    held = ft.use_memo(lambda: plan_of(services.book, f"urn:uuid:{key}") if key else None, [key])
    asked = ft.use_memo(lambda: asked_lot(ft.context.page.route or ""), [])

    def begin() -> PlanTyped:
        if held is not None:
            return typed_of(form_of_plan(held, lots_of_plan(services.book, held)))
        lots = {lot.id: "" for lot in app.lots if lot.code == asked}
        return PlanTyped(day=app.today().isoformat(), lots=lots)

    sheet = use_sheet(f"plan {key}", begin)
    everything = use_all_lots()
    offered = offer(everything or app.lots, app.today())
    today = app.today()
    lots = tuple(lot for _, group in by_hurry((*offered.good, *offered.past), today) for lot in group)
    pots = ft.use_memo(lambda: pots_owned(services.book), [services.book.change_mark()])
    kept = ft.use_memo(lambda: cloth_lists(services.book), [services.book.change_mark()])
    typed = sheet.typed

    def save() -> None:
        def act() -> None:
            if held is None:
                kept = add_plan(services.book, typed.form(lots))
            else:
                kept = change_plan(services.book, held.id, typed.form(lots))
            app.did(kept.id, tr("{what} planned", what=kept.name) if held is None
                    else tr("{what} changed", what=kept.name))
            ft.context.page.navigate(f"/dye-day/plan/{kept.id[-36:]}")
        sheet.try_to(act, _fold_of)

    called = {**_CALLED, **{f"lot {lot.code}": tr("lot {code}", code=lot.code) for lot in lots},
              **{f"bath {place}": tr("load {place}", place=place) for place, _ in enumerate(typed.baths, 1)}}
    body: list[ft.Control] = [
        *elsewhere(sheet.problems, called),
        sheet.side_by_side(
            ft.Container(DayField(tr("Day"), typed.day, sheet.put("day"), "plan-day", title=tr("The dye day"),
                                  first=today), expand=3),
            parts.field(tr("Fire lit at"), typed.fire, sheet.put("fire"), "plan-fire", helper=_clock_words(typed.fire),
                        keyboard=ft.KeyboardType.DATETIME, expand=2, told_below=False), where=("day", "fire")),
        _lots_card(sheet, lots), *_loads(sheet, lots, kept)]
    if pots:
        body.append(parts.card([
            parts.body(tr("Your pots"), bold=True), parts.second(tr("Those that are there on the day")),
            many_chips([(pot.id, pot.name) for pot in pots], typed.pots, _turn_pot(sheet), "plan-pot")]))
    else:
        body.append(parts.card([
            parts.body(tr("Your pots"), bold=True),
            parts.second(tr("Name the pots you own, and the plan says how often they are filled.")),
            ft.Row([parts.outline_button(tr("My pots and pails"), parts.going("/pots"), "plan-pots")])]))
    body.append(parts.fold_card([parts.Fold(
        tr("How the liquor is made"), _making_words(typed), "making", sheet.is_open("making"), sheet.toggle("making"),
        lambda: _making(sheet), wrong=any(at(sheet.problems, name) for name in _MAKING))]))
    body.append(parts.field(tr("What you call it"), typed.name, sheet.put("name"), "plan-name",
                            at(sheet.problems, "name"), hint=tr("Harvest dyeing")))
    body.append(parts.field(tr("Note"), typed.note, sheet.put("note"), "plan-note", at(sheet.problems, "note"),
                            lines=2))
    return parts.page_view(
        path, tr("For the pots, the water and the cloth"),
        tr("Change {name}", name=held.name) if held else tr("Plan a dye day"), body,
        dock=parts.main_button(tr("Keep the plan"), save, "plan-save"), dock_note=not_kept(sheet.problems, called),
        back="/dye-day" if held is None else f"/dye-day/plan/{held.id[-36:]}")


def _clock_words(text: str) -> str:
    """What is said below a time: how it reads on this person's clock, or how to type one."""
    try:
        read = clock_time(read_clock(text, where="fire"))
    except Refused:
        return tr("as 08:00")
    return "" if read == text.strip() else read


def _fold_of(problem: Problem) -> str:
    return "making" if problem.where in _MAKING else ""


def _turn_pot(sheet: Sheet[PlanTyped]) -> Callable[[str], None]:
    def turn(pot: str) -> None:
        pots = sheet.typed.pots
        sheet.edit(pots=tuple(one for one in pots if one != pot) if pot in pots else (*pots, pot))
    return turn


def _lots_card(sheet: Sheet[PlanTyped], lots: Sequence[LotNow]) -> ft.Control:
    """The lots with a box each, and how much of each chosen one."""
    app, typed = use_app(), sheet.typed
    rows: list[ft.Control] = [parts.body(tr("What goes into the pots"), bold=True)]
    if not lots:
        rows.append(parts.second(tr("Nothing is in store. Log what fell first.")))

    def turn(lot: LotNow) -> Callable[[bool], None]:
        def turned(on: bool) -> None:
            chosen = {key: text for key, text in sheet.typed.lots.items() if key != lot.id}
            sheet.edit(f"lot {lot.code}", lots={**chosen, lot.id: ""} if on else chosen)
        return turned

    def amount(lot: LotNow) -> Callable[[str], None]:
        return lambda text: sheet.edit(f"lot {lot.code}", lots={**sheet.typed.lots, lot.id: text})

    for lot in lots:
        left = mass_words(lot.life.left, decimal=sheet.decimal)
        rows.append(tick(f"{lot.code} · {stuff_words(lot.facts)}", lot.id in typed.lots,
                         turn(lot), f"plan-lot-{lot.code}",
                         more=f"{left}, {keeps_words(lot, app.today())}"))
        if lot.id in typed.lots:
            rows.append(parts.field(tr("How much of {code}", code=lot.code), typed.lots[lot.id],
                                    amount(lot), f"plan-amount-{lot.code}",
                                    at(sheet.problems, f"lot {lot.code}"), hint=tr("all that is left"),
                                    suffix=own_label(UNITS[lot.life.left.unit].kind), keyboard=ft.KeyboardType.NUMBER))
    return parts.card(rows, key="plan-lots")


def _loads(sheet: Sheet[PlanTyped], lots: Sequence[LotNow], kept: Sequence[ClothNow]) -> list[ft.Control]:
    """A card for every load of cloth, and a way to add one."""
    typed = sheet.typed
    materials = dict.fromkeys(lot.facts.material for lot in lots if lot.id in typed.lots)
    cards = [_load(sheet, place, bath, tuple(materials), kept) for place, bath in enumerate(typed.baths)]

    def more() -> None:
        sheet.edit(baths=(*sheet.typed.baths, BathTyped()))

    return [*cards, parts.outline_button(tr("Add another load of cloth"), more, "plan-more", icon=ft.Icons.ADD)]


def _load(sheet: Sheet[PlanTyped], place: int, bath: BathTyped, materials: Sequence[str],
          kept: Sequence[ClothNow]) -> ft.Control:
    where = f"bath {place + 1}"

    def put(name: str) -> Callable[[str], None]:
        def changed(value: str) -> None:
            sheet.edit(where, baths=sheet.typed.with_bath(place, **{name: value}))
        return changed

    def drop() -> None:
        sheet.edit(where, baths=tuple(one for number, one in enumerate(sheet.typed.baths) if number != place))

    head: ft.Control = parts.body(tr("Load {place}", place=place + 1), bold=True)
    if len(sheet.typed.baths) > 1:
        head = parts.with_way(head, parts.quiet_button(tr("Leave out"), drop, f"plan-drop-{place}"))
    controls: list[ft.Control] = [
        head,
        parts.field(tr("Cloth"), bath.cloth, put("cloth"), f"plan-cloth-{place}", at(sheet.problems, where),
                    hint=f"{cloth_example('wool', 2.0)}; {tr('2 shirts linen')}",
                    helper=tr("Several are parted by a semicolon.")),
        *_from_lists(kept, bath.cloth, put("cloth"), place),
        parts.second(tr("Shade wanted")),
        parts.chips([(shade, shade_words(shade)) for shade in SHADES], bath.shade, put("shade"), f"plan-shade-{place}"),
        parts.second(tr("Mordant")),
        parts.chips([(key, tr(_SHORT[key])) for key in MORDANTS], bath.mordant, put("mordant"),
                    f"plan-mordant-{place}"),
        parts.field(tr("Hours in the bath"), bath.hours, put("hours"), f"plan-hours-{place}", hint="2", suffix="h",
                    keyboard=ft.KeyboardType.NUMBER)]
    if len(materials) > 1:
        controls += [parts.second(tr("Whose liquor")),
                     parts.chips([(key, tr(MATERIALS[key].name)) for key in materials if key in MATERIALS],
                                 bath.material, put("material"), f"plan-liquor-{place}")]
    return parts.card(controls, key=f"plan-load-{place}")


def _from_lists(kept: Sequence[ClothNow], cloth: str, put: Callable[[str], None], place: int) -> list[ft.Control]:
    """The lists of cloth that are kept: a tap takes all of one's items."""
    if not kept:
        return []
    texts = {one.id: "; ".join(one.facts.items) for one in kept}
    chosen = next((key for key, text in texts.items() if text == cloth), None)
    return [parts.second(tr("or one of your lists")),
            parts.chips([(one.id, one.name) for one in kept], chosen, lambda key: put(texts[key]),
                        f"plan-list-{place}")]


def _making_words(typed: PlanTyped) -> str:
    told = [tr("{water} of water", water=amount_text(typed.water, own_unit("volume"))) if typed.water else "",
            tr("soaked {hours} h", hours=typed.soak) if typed.soak else "",
            tr("simmered {hours} h", hours=typed.boil) if typed.boil else "",
            tr("strained {times} times", times=typed.strainings) if typed.strainings not in ("", "1") else "",
            tr("squeezed") if typed.squeezed else "", tr("one load after another") if typed.in_turn else ""]
    return ", ".join(word for word in told if word) or tr("as custom has it")


def _making(sheet: Sheet[PlanTyped]) -> list[ft.Control]:
    typed = sheet.typed

    def number(label: str, name: str, hint: str, suffix: str) -> ft.Control:
        return parts.field(label, getattr(typed, name), sheet.put(name), f"plan-{name}", at(sheet.problems, name),
                           hint=hint, suffix=suffix, keyboard=ft.KeyboardType.NUMBER)

    return [
        number(tr("Water to put in"), "water",
               tr("{amount} for a {one} of dry stuff", amount=show_per(25.0, "L/kg")[0], one=show_per(25.0, "L/kg")[1]),
               own_label("volume")),
        number(tr("Soaking"), "soak", "24", "h"), number(tr("At a simmer"), "boil", "2", "h"),
        number(tr("How often boiled and strained"), "strainings", "1", tr("times")),
        tick(tr("Squeeze what is spent"), typed.squeezed, sheet.put("squeezed"), "plan-squeezed",
             more=tr("Less liquor stays behind than if it only drains.")),
        number(tr("Bath for a kilogram of cloth"), "ratio", "30", "L") if own_unit("mass") == "kg"
        else number(tr("Bath, by the weight of the cloth"), "ratio", "30", tr("to 1")),
        tick(tr("One load after another in the whole liquor"), typed.in_turn, sheet.put("in_turn"), "plan-in-turn",
             more=tr("Each comes out paler. Else every load gets what its shade takes, and the rest is kept.")),
        ft.Container(height=theme.GRID)]
