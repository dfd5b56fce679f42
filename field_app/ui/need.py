"""How much must be gathered: cloth and a shade, and what that takes at the tree, less what is in store."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import flet as ft

from field_app.core.bands import SHADES, ShadeWord
from field_app.core.bath import ASSUMED_WORDS
from field_app.core.cloths import ClothItem, cloth_words, mass_of
from field_app.core.estimate import Range
from field_app.core.fibres import FIBRES
from field_app.core.helpers import CELLULOSE_WORDS
from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS, RIPENESS, Material
from field_app.core.need import Need, need_for
from field_app.core.problems import Refused
from field_app.core.round_form import RoundForm
from field_app.core.stock import in_store
from field_app.store import cloth_lists
from field_app.ui import drafts, parts
from field_app.ui.all_lots import use_all_lots
from field_app.ui.cloth_pick import Picked, add_docked, cloth_mass_words, picker, total_card
from field_app.ui.guard import guarded, screen
from field_app.ui.round_ask import ROUND
from field_app.ui.services import use_app, use_services
from field_app.ui.state import AppState
from field_app.words import mid, shade_words, tr, tr_as

__all__ = ["NeedAsked", "NeedScreen"]

_NAME, _ROUTE = "need", "/dye-day/need"


@dataclass(frozen=True, slots=True)
class NeedAsked:
    """What is asked: the cloth, the shade, what is gathered and how ripe, and which folds are open."""

    picked: Picked
    shade: ShadeWord = "medium"
    material: str = "black-walnut"
    ripe: str = ""
    opened: frozenset[str] = frozenset()


@screen
def NeedScreen() -> ft.View:
    """The answer first, then what was asked, each part to be changed."""
    services, app = use_services(), use_app()
    ft.use_effect(guarded(app.catch_up), [])
    decimal = services.decimal
    first: NeedAsked = ft.use_memo(lambda: drafts.kept(app, _NAME) or NeedAsked(Picked()), [])
    asked, set_asked = ft.use_state(first)
    lots = use_all_lots()
    lists = ft.use_memo(lambda: cloth_lists(services.book), [services.book.change_mark()])

    def change(**how: Any) -> None:
        fresh = replace(drafts.kept(app, _NAME) or asked, **how)
        drafts.keep(app, _NAME, fresh)
        set_asked(fresh)

    def pick(turn: Callable[[Picked], Picked]) -> None:
        now: NeedAsked = drafts.kept(app, _NAME) or asked
        change(picked=turn(now.picked))

    items, stuff = asked.picked.read(), services.book.in_force()(asked.material)
    # Hundreds of lots are looked through for what is in store, so not for every letter that is typed.
    store: Range | Refused | None = ft.use_memo(lambda: _store(lots, stuff.key), [lots, stuff])
    found: Need | Refused | None = ft.use_memo(
        lambda: _found(asked, items, stuff, store), [asked.picked.items, asked.shade, asked.ripe, stuff, store])
    body: list[ft.Control] = []
    title = tr("How much must be gathered?")
    if isinstance(found, Refused):
        body.append(parts.notice("refused", tr("That can't be worked out here"), str(found)))
    elif found is not None:
        title = _title(found, stuff, decimal)
        body += _answer(found, items, stuff, decimal)
    body += [parts.heading(tr("How dark")),
             parts.chips([(shade, shade_words(shade)) for shade in SHADES], asked.shade,
                         lambda shade: change(shade=shade), "shade"),
             parts.heading(tr("What is to be dyed")),
             *([total_card(items, decimal=decimal)] if len(items) > 1 else []),
             *picker(asked.picked, pick, lists, decimal=decimal, docked=True),
             parts.fold_card(_folds(asked, change))]
    kicker = tr("{shade}, with {name}", shade=shade_words(asked.shade), name=mid(tr(stuff.name)))
    return parts.page_view(_ROUTE, f"{cloth_words(items)}, {kicker}" if items else kicker, title, body, back="/dye-day",
                           dock=_dock(asked, found, app, pick))


def _dock(asked: NeedAsked, found: Need | Refused | None, app: AppState,
          pick: Callable[[Callable[[Picked], Picked]], None]) -> ft.Control:
    """What comes next: to add the cloth that is being told, or to go for what is missing, or back."""
    if asked.picked.telling or not asked.picked.items:
        return add_docked(pick)
    still = None if found is None or isinstance(found, Refused) else found.still_fruit or found.still_hull
    if still is None or still.central <= 0:
        return parts.main_button(tr("Back to dye day"), parts.going("/dye-day"), "need-back")

    def to_the_trees() -> None:
        form = drafts.kept(app, ROUND) or RoundForm()
        drafts.keep(app, ROUND, replace(form, need=f"{still.central:.3g} kg"))
        ft.context.page.navigate("/round")

    return parts.main_button(tr("Which trees for it?"), to_the_trees, "need-round", icon=ft.Icons.PARK_OUTLINED)


def _store(lots: Sequence[LotNow] | None, material: str) -> Range | Refused | None:
    try:
        return None if lots is None else in_store(lots, material)
    except Refused as refused:
        return refused


def _found(asked: NeedAsked, items: Sequence[ClothItem], stuff: Material, store: Range | Refused | None) -> (
        Need | Refused | None):
    """The answer, why there is none, or nothing while cloth or lots are not there yet."""
    if not items or store is None or isinstance(store, Refused):
        return store if isinstance(store, Refused) else None
    try:
        return need_for(mass_of(items), asked.shade, stuff, store, asked.ripe)
    except Refused as refused:
        return refused


def _title(found: Need, stuff: Material, decimal: str) -> str:
    still = found.still_fruit or found.still_hull
    if still.central <= 0:
        return tr("There is enough in store")
    mass = cloth_mass_words(still, decimal=decimal)
    if not found.still_fruit:
        return tr("Gather {mass} of fresh {part}", mass=mass, part=mid(tr(stuff.parts[-1].name)))
    return (tr("Gather {mass} of whole walnuts", mass=mass) if "walnut" in stuff.key
            else tr("Gather {mass} of whole fruit", mass=mass))


def _answer(found: Need, items: Sequence[ClothItem], stuff: Material, decimal: str) -> list[ft.Control]:
    part = mid(tr(stuff.parts[-1].name))
    large = found.still_fruit or found.still_hull
    label = tr("still to gather, whole fruit") if found.still_fruit else tr("still to gather, fresh {part}", part=part)
    rows: list[ft.Control] = []
    if found.still_fruit is not None:
        rows.append(parts.range_row(tr("or fresh {part}", part=part), found.still_hull, decimal=decimal,
                                    key="need-hull"))
    rows.append(parts.range_row(tr("or air-dry"), found.still_to_gather, decimal=decimal, key="need-dry"))
    whole: list[ft.Control] = [parts.body(tr("What it takes in all"), bold=True)]
    if found.whole_fruit is not None:
        whole.append(parts.range_row(tr("whole fruit"), found.whole_fruit, decimal=decimal))
    whole += [parts.range_row(tr("fresh {part}", part=part), found.hull_fresh, decimal=decimal),
              parts.range_row(tr("air-dry, by custom"), found.air_dry, decimal=decimal),
              parts.range_row(tr("air-dry, by the bath"), found.by_bath, decimal=decimal, key="need-bath"),
              parts.range_row(tr("in store, as air-dry"), found.in_store, decimal=decimal, key="need-store"),
              *(parts.second(tr(words)) for words in found.words), parts.small(tr(ASSUMED_WORDS))]
    rows_of_all: list[ft.Control] = [parts.card(whole, key="need-all")]
    if large.high > 0:
        rows_of_all.insert(0, parts.range_card(label, large, scale_max=large.high * 1.1, more=rows, decimal=decimal,
                                               key="need-still"))
    if any(FIBRES[item.fibre].kind == "cellulose" for item in items):
        rows_of_all.append(parts.notice("advice", tr("Plant fibres need a base"), tr(CELLULOSE_WORDS)))
    return rows_of_all


def _folds(asked: NeedAsked, change: Callable[..., None]) -> list[parts.Fold]:
    def toggle(fold: str) -> Callable[[], None]:
        return lambda: change(opened=asked.opened ^ {fold})

    ripe = tr(RIPENESS[asked.ripe].words) if asked.ripe else tr("firm green")
    folds = [parts.Fold(tr_as("what is", "gathered"), tr(MATERIALS[asked.material].name), "stuff",
                        "stuff" in asked.opened, toggle("stuff"),
                        lambda: [parts.chips([(key, tr(stuff.name)) for key, stuff in MATERIALS.items()],
                                             asked.material, lambda key: change(material=key), "stuff-of")])]
    if MATERIALS[asked.material].parts[-1].shows_ripeness:
        folds.append(parts.Fold(tr("how ripe it will be"), ripe, "ripe", "ripe" in asked.opened, toggle("ripe"),
                                lambda: [parts.chips([(key, tr(row.words)) for key, row in RIPENESS.items()],
                                                     asked.ripe or "green", lambda key: change(ripe=key), "ripe-of")]))
    return folds
