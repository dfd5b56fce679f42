"""The app: its routes, its four places, and what is handed down to every screen.

===================  =====================================================
``/``                Today
``/trees``           the trees; ``/trees/new`` adds one, ``/trees/:id`` is one,
                     ``/trees/:id/look`` notes a look at it, ``/trees/:id/find`` leads there;
                     ``/trees/season`` shows all on one axis, ``/trees/come-back`` when to come back,
                     ``/trees/past`` looks back on the seasons
``/lots``            the lots; ``/lots/labels`` prints labels, ``/lots/find`` opens a lot by its
                     label; ``/lots/:id`` is one, and under it ``step`` says what was
                     done with it, ``draw`` takes from it, ``liquor`` is what comes of it
                     in the pot, ``test`` notes a test of it, ``colour`` shows what colour
                     it may give, ``swatch`` notes a swatch, ``correct`` and ``history``;
                     ``photograph/:photograph`` is one photograph, also under a tree
``/dye-day``         the dye days; ``/dye-day/plan/new`` plans one, ``/dye-day/plan/:id`` is one, with
                     ``change`` under it; ``cloth`` keeps lists of cloth, ``need`` says how much to
                     gather, ``dyes`` what comes out, ``old`` reads old recipes; ``colour`` shows what
                     colour a bath may give, and under it ``swatch`` notes one; ``hand-over``
                     gives lots to whoever plans elsewhere,
                     ``share`` shares with the others who gather
``/materials``       the dye materials; ``/materials/:key`` all figures of one, under it
                     ``:figure`` one of them, ``set`` one's own, ``test`` a test of it
``/pots``            pots and pails; ``/pots/:id`` is one, ``/pots/new`` adds one
``/round``           which trees today, and in which order
``/windfall``        logging what fell; ``/windfall/:site`` at a known site
``/shown``           how things are shown: measures, dates, hand, language, light
``/this-device``     where the records are kept, and a full copy out and in
===================  =====================================================
"""

from __future__ import annotations

import dataclasses
import logging
from collections.abc import Callable
from typing import Any

import flet as ft

from field_app.core.habits import go_by, habits, habits_from
from field_app.core.problems import FolderFault
from field_app.store import kept_habits
from field_app.ui import parts, theme
from field_app.ui.cloth_lists import ClothList, ClothLists
from field_app.ui.colour_preview import ColourPreview
from field_app.ui.come_back import ComeBackDays
from field_app.ui.device import Device
from field_app.ui.dye_day import DyeDay
from field_app.ui.dyes import Dyes
from field_app.ui.figure import OneFigure
from field_app.ui.figure_set import FigureSet
from field_app.ui.find import FindTree
from field_app.ui.guard import error_view, guarded, screen
from field_app.ui.hand_over import HandOver
from field_app.ui.how_shown import HowShown
from field_app.ui.labels import Labels
from field_app.ui.lot import Lot
from field_app.ui.lot_correct import LotCorrect
from field_app.ui.lot_draw import LotDraw
from field_app.ui.lot_find import LotFind
from field_app.ui.lot_history import LotHistory
from field_app.ui.lot_liquor import LotLiquor
from field_app.ui.lot_step import LotStep
from field_app.ui.lots import Lots
from field_app.ui.materials import MaterialFigures, Materials
from field_app.ui.need import NeedScreen
from field_app.ui.old_recipe import OldRecipeScreen
from field_app.ui.own_test import LotTest, MaterialTest
from field_app.ui.past_seasons import PastSeasons
from field_app.ui.photograph import LookPhotograph, LotPhotograph
from field_app.ui.plan import Plan
from field_app.ui.plan_edit import PlanEdit
from field_app.ui.room import ROOM, Room
from field_app.ui.round import RoundToday
from field_app.ui.season import SeasonOfAll
from field_app.ui.services import SERVICES, STATE, Services
from field_app.ui.share import Share
from field_app.ui.state import AppState
from field_app.ui.swatch import NewSwatch
from field_app.ui.this_device import ThisDevice
from field_app.ui.today import Today
from field_app.ui.tree import Tree
from field_app.ui.tree_look import TreeLook
from field_app.ui.tree_new import NewTree
from field_app.ui.trees import Trees
from field_app.ui.vessels import OneVessel, Vessels
from field_app.ui.windfall import Windfall
from field_app.words import later, tr

__all__ = ["TITLE", "App", "routes", "screens"]

TITLE = later("Field book")
log = logging.getLogger(__name__)


def routes() -> list[ft.Route]:
    """Every address of the app and the screen it shows."""
    return [
        ft.Route(path="trees", component=Trees, children=[
            ft.Route(path="new", component=NewTree),
            ft.Route(path="season", component=SeasonOfAll),
            ft.Route(path="past", component=PastSeasons),
            ft.Route(path="come-back", component=ComeBackDays),
            ft.Route(path=":id", component=Tree, children=[
                ft.Route(path="look", component=TreeLook),
                ft.Route(path="find", component=FindTree),
                ft.Route(path="photograph/:photograph", component=LookPhotograph),
            ]),
        ]),
        ft.Route(path="lots", component=Lots, children=[
            ft.Route(path="labels", component=Labels),
            ft.Route(path="find", component=LotFind),
            ft.Route(path=":id", component=Lot, children=[
                ft.Route(path="step", component=LotStep),
                ft.Route(path="draw", component=LotDraw),
                ft.Route(path="liquor", component=LotLiquor),
                ft.Route(path="correct", component=LotCorrect),
                ft.Route(path="history", component=LotHistory),
                ft.Route(path="photograph/:photograph", component=LotPhotograph),
                ft.Route(path="test", component=LotTest),
                ft.Route(path="dyes", component=Dyes),
                ft.Route(path="colour", component=ColourPreview),
                ft.Route(path="swatch", component=NewSwatch),
            ]),
        ]),
        ft.Route(path="dye-day", component=DyeDay, children=[
            ft.Route(path="plan/new", component=PlanEdit),
            ft.Route(path="plan/:id", component=Plan, children=[ft.Route(path="change", component=PlanEdit)]),
            ft.Route(path="colour", component=ColourPreview, children=[ft.Route(path="swatch", component=NewSwatch)]),
            ft.Route(path="hand-over", component=HandOver),
            ft.Route(path="hand-over/:plan", component=HandOver),
            ft.Route(path="share", component=Share),
            ft.Route(path="cloth", component=ClothLists, children=[
                ft.Route(path="new", component=ClothList),
                ft.Route(path=":id", component=ClothList),
            ]),
            ft.Route(path="need", component=NeedScreen),
            ft.Route(path="dyes", component=Dyes),
            ft.Route(path="old", component=OldRecipeScreen),
        ]),
        ft.Route(component=Today, children=[
            ft.Route(path="round", component=RoundToday),
            ft.Route(path="windfall", component=Windfall),
            ft.Route(path="windfall/:site", component=Windfall),
            ft.Route(path="materials", component=Materials, children=[
                ft.Route(path=":key", component=MaterialFigures, children=[
                    ft.Route(path="test", component=MaterialTest),
                    ft.Route(path=":figure", component=OneFigure, children=[ft.Route(path="set", component=FigureSet)]),
                ]),
            ]),
            ft.Route(path="pots", component=Vessels, children=[ft.Route(path=":id", component=OneVessel)]),
            ft.Route(path="shown", component=HowShown),
            ft.Route(path="this-device", component=ThisDevice),
        ]),
    ]


@screen
def _Nowhere() -> ft.View:
    return parts.page_view(
        ft.use_route_location() or "/", tr("This address leads nowhere"), tr("There is nothing here"),
        [parts.body(tr("What you saved is safe. The four places below lead on."))], place="today")


def App(services: Services, state: AppState) -> Any:
    """The whole app, for one page."""
    def routed() -> Any:
        return ft.Router([*routes(), ft.Route(path=":rest*", component=_Nowhere)], manage_views=True)

    return ROOM(services.room, lambda: SERVICES(services, lambda: STATE(state, routed)))


@ft.component
def _Opened(services: Services) -> Any:
    """The app on the book as it is read; a book that can't be read is said, and can be tried again."""
    attempt, set_attempt = ft.use_state(0)
    state = ft.use_memo(lambda: _read(services), [attempt])
    page = ft.context.page

    async def open_page() -> None:
        if isinstance(state, AppState):
            page.on_app_lifecycle_state_change = guarded(
                lambda event: state.catch_up() if event.state is ft.AppLifecycleState.RESUME else None)
            # What was chosen in another window, or by command, the page may not know yet for its next opening.
            device, light = services.device, habits().light
            if device is not None and (await device.remembered("light") or "device") != light:
                await device.remember("light", light)

    ft.use_effect(guarded(open_page), [attempt])
    if isinstance(state, AppState):
        return App(services, state)
    return [error_view(state, tr("Try again"), lambda: set_attempt(attempt + 1))]


def _read(services: Services) -> AppState | Exception:
    try:
        return AppState(services.book)
    except Exception as error:  # an exception while a page opens would end it without a word
        log.error("the book could not be read", exc_info=error)
        return error


def screens(services: Services) -> Callable[[ft.Page], Any]:
    """What the toolkit calls for every page that opens. From now on, all is shown as the person is used to."""
    try:
        go_by(habits_from(services.said, kept_habits(services.book.log_book)))
    except FolderFault as fault:  # the first page says so
        log.warning("what the person is used to could not be read: %s", fault)

    def start(page: ft.Page) -> None:
        page.title = tr(TITLE)
        room = Room(page.width, page.height)
        page.on_resize = guarded(lambda event: room.fits(event.width, event.height))
        own = dataclasses.replace(services, device=Device(page, sheet=services.sheet), room=room)
        theme.wear(page, habits().light)
        page.render_views(lambda: _Opened(own))

    return start
