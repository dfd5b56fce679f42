"""What colour a bath may give: the cloth as it is, and strips of it over time, load after load, or dip after dip."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

import flet as ft

from field_app.core.bands import SHADES, ShadeWord
from field_app.core.colour import read_hex
from field_app.core.colour_course import Column, after_times, dip_after_dip, load_after_load, pot_for
from field_app.core.kubelka import colour_of
from field_app.core.materials import MATERIALS, Material
from field_app.core.palette import GROUND_WORDS, Ground, Palette
from field_app.core.preview import BASES, UNDYED, label_of, tone
from field_app.core.problems import Problem, Refused
from field_app.core.records import code_of
from field_app.core.spectrum import reflectance_of
from field_app.core.swatch_words import cloth_words, swatch_words
from field_app.core.units import show_per, show_range
from field_app.store import FieldBook
from field_app.ui import drafts, parts
from field_app.ui.colour_cells import before, chart, cloth_grid, ground_notes
from field_app.ui.guard import screen
from field_app.ui.reason_words import reason_rows
from field_app.ui.refusals import NO_PROBLEMS
from field_app.ui.services import use_app, use_services
from field_app.ui.state import AppState
from field_app.ui.swatch import ABOUT, NAME, take_back_swatch
from field_app.ui.undo import undo_bar
from field_app.words import begun, later, listed, shade_words, tr

__all__ = ["ColourPreview", "Looked"]

Way = Literal["time", "loads", "dips"]
_WAYS: tuple[tuple[Way, str], ...] = (("time", later("over time")), ("loads", later("by loads")),
                                      ("dips", later("by dips")))
_WAY_WORDS = {"time": later("One bath, looked at after four times."),
              "loads": later("One load after another in the same bath, an hour each: each is paler."),
              "dips": later("The same cloth, an hour each time, rinsed and dried between: each is deeper.")}
#: How long each load or dip is [h].
_EACH = 1.0
_TITLED: tuple[Ground, ...] = ("none", "iron")
#: From this size of the device's text on, two cells stand side by side instead of four [1].
_LARGE = 1.4


@dataclass(frozen=True, slots=True)
class Looked:
    """What is looked at: the stuff, the shade, the cloth as chosen or typed, how, and the cell told more of."""

    material: str = "black-walnut"
    shade: ShadeWord = "medium"
    base: str = UNDYED
    typed: str = ""
    way: Way = "time"
    cell: tuple[Ground, int] = ("none", 2)
    opened: frozenset[str] = frozenset()

    @property
    def cloth(self) -> str:
        """The colour of the cloth: what was typed, or else what was chosen; Refused if the text is none."""
        return read_hex(self.typed) if self.typed.strip() else self.base


def _columns(looked: Looked, cloth: str, stuff: Material, palette: Palette) -> tuple[Column, ...]:
    pot = pot_for(stuff, shade=looked.shade)
    if looked.way == "time":
        return after_times(cloth, pot, palette)
    return (load_after_load if looked.way == "loads" else dip_after_dip)(cloth, pot, palette, _EACH)


@screen
def ColourPreview() -> ft.View:
    """The answer in words, the chart, one cell told in full, and what may be changed."""
    app, services = use_app(), use_services()
    key = ft.use_route_params().get("id", "")
    lot = ft.use_memo(lambda: services.book.lot(key) if key else None, [key, app.lots])
    name, home = (f"{NAME} {lot.id}", f"/lots/{lot.code}") if lot else (NAME, "/dye-day")
    first: Looked = ft.use_memo(
        lambda: drafts.kept(app, name) or (Looked(lot.facts.material) if lot else Looked()), [name])
    looked, set_looked = ft.use_state(first)
    large, set_large = ft.use_state(False)
    in_force = services.book.in_force()
    where = (lot.facts.material, lot.facts.site, lot.id) if lot else (looked.material, "", "")
    stuff = in_force(*where)
    palette = ft.use_memo(lambda: in_force.palette(*where), [*where, in_force])

    def change(**how: Any) -> None:
        def changed(before: Looked) -> Looked:
            after = replace(before, **how)
            drafts.keep(app, name, after)
            return after
        set_looked(changed)

    problems, cloth = NO_PROBLEMS, looked.base
    try:
        cloth = looked.cloth
    except Refused as refused:
        problems = refused.problems
    columns: tuple[Column, ...] = ft.use_memo(
        lambda: _columns(looked, cloth, stuff, palette), [*where, looked.shade, looked.way, cloth, in_force])
    ground, at = looked.cell
    body: list[ft.Control] = [
        parts.card([
            parts.second(label_of(palette)),
            before(cloth, tone(colour_of(reflectance_of(cloth)).lab)),
            chart(columns, looked.cell, lambda ground, at: change(cell=(ground, at)), across=2 if large else 4),
            parts.scale_probe(lambda scale: set_large(scale >= _LARGE)),
            parts.second(tr(_WAY_WORDS[looked.way]))], key="colour-chart"),
        parts.chips([(way, tr(words)) for way, words in _WAYS], looked.way, lambda way: change(way=way), "way"),
        _told(columns[at], ground, services.decimal),
        parts.fold_card(_folds(looked, change, cloth, problems, of_lot=lot is not None)),
        *_own(looked, change, app, services.book),
        parts.fold(tr("why"), tr("what it stands on"), opened="why" in looked.opened, key="why",
                   on_toggle=_toggle(looked, change, "why"),
                   controls=reason_rows(dict.fromkeys(columns[at].colours[ground].reasons))),
    ]
    kicker = tr("{stuff}, {shade}, on {cloth}", shade=shade_words(looked.shade), cloth=cloth_words(cloth),
                stuff=tr("Lot {lot}", lot=lot.code) if lot else tr(stuff.name))
    return parts.page_view(
        f"{home}/colour", kicker, _title(looked, columns), body, undo=undo_bar(ABOUT), back=home,
        dock=parts.main_button(tr("Note a swatch of your own"), parts.going(
            f"{home}/swatch" if lot else "/dye-day/colour/swatch"), "colour-swatch"))


def _own(looked: Looked, change: Callable[..., None], app: AppState, book: FieldBook) -> list[ft.Control]:
    """The swatches of the stuff that is looked at, each with a way to take it back; nothing if there are none."""
    own = book.in_force().records.of(looked.material).swatches
    if not own:
        return []
    rows: list[ft.Control] = []
    for one in own:
        words = swatch_words(one)
        rows.append(parts.with_way(
            parts.second(words),
            parts.quiet_button(tr("Take back"), _back(app, book, one.id), f"back-{code_of(one.id)}")))
    return [parts.fold(tr("your swatches"), str(len(own)), opened="own" in looked.opened, key="own",
                       on_toggle=_toggle(looked, change, "own"), controls=rows)]


def _back(app: AppState, book: FieldBook, swatch: str) -> Callable[[], None]:
    return lambda: take_back_swatch(app, book, swatch, tr("swatch {code}", code=code_of(swatch)))


def _title(looked: Looked, columns: Sequence[Column]) -> str:
    column = columns[looked.cell[1]]
    plain, iron = (listed(tone(column.colours[ground].central.lab).split(", ")) for ground in _TITLED)
    after = tr("After {time}", time=column.words) if looked.way == "time" else begun(column.words)
    return tr("{after}: {plain}; with iron, {iron}", after=after, plain=plain, iron=iron)


def _told(column: Column, ground: Ground, decimal: str) -> ft.Control:
    """One cell in full, with its figures."""
    found = column.colours[ground]
    rows = [(name, "{1} ({0}–{2})".format(*(f"{round(value):d}".replace("-", "−") for value in values)))
            for name, values in ((tr("lightness L*, of 100"), found.lightness), (tr("towards red a*"), found.a),
                                 (tr("towards yellow b*"), found.b), (tr("change from the cloth, ΔE"), found.change))]
    return parts.card([
        parts.body(f"{begun(tr(GROUND_WORDS[ground]))}, {column.words}: {tone(found.central.lab)}", bold=True),
        parts.figure_row(tr("shade"), column.dyed.band.words),
        parts.figure_row(tr("dye on the cloth"), tr("depth {depth}", depth=show_range(column.depth, decimal=decimal))),
        *(parts.figure_row(name, value) for name, value in rows),
        parts.figure_row(tr("lightest, expected, darkest"),
                         f"{found.lightest.hex} {found.central.hex} {found.darkest.hex}"),
        *ground_notes(ground),
    ], key="colour-told")


def _toggle(looked: Looked, change: Callable[..., None], fold: str) -> Callable[[], None]:
    return lambda: change(opened=looked.opened ^ {fold})


def _folds(looked: Looked, change: Callable[..., None], cloth: str, problems: Sequence[Problem], *,
           of_lot: bool) -> list[parts.Fold]:
    def stuffs() -> list[ft.Control]:
        return [parts.chips([(key, tr(stuff.name)) for key, stuff in MATERIALS.items()], looked.material,
                            lambda key: change(material=key), "stuff")]

    def shades() -> list[ft.Control]:
        return [parts.second(tr("As much of it as custom takes for the shade; {amount} of bath to the {one} of cloth.",
                                amount=show_per(30.0, "L/kg")[0], one=show_per(30.0, "L/kg")[1])),
                parts.chips([(shade, shade_words(shade)) for shade in SHADES], looked.shade,
                            lambda shade: change(shade=shade), "shade")]

    def cloths() -> list[ft.Control]:
        return [cloth_grid([(name, tr(words), colour) for name, words, colour in BASES],
                           "" if looked.typed.strip() else looked.base,
                           lambda colour: change(base=colour, typed=""), "cloth"),
                parts.field(tr("Or a colour of your own"), looked.typed, lambda text: change(typed=text), "cloth-hex",
                            problems, hint="#8b9db4", helper=tr("six digits of 0–9 and a–f"))]

    return [
        parts.Fold(tr("cloth"), cloth_words(cloth), "cloth", "cloth" in looked.opened, _toggle(looked, change, "cloth"),
                   cloths, wrong=bool(problems)),
        *([] if of_lot else [parts.Fold(tr("dye stuff"), tr(MATERIALS[looked.material].name), "stuff",
                                        "stuff" in looked.opened, _toggle(looked, change, "stuff"), stuffs)]),
        parts.Fold(tr("how strong"), shade_words(looked.shade), "shade", "shade" in looked.opened,
                   _toggle(looked, change, "shade"), shades)]
