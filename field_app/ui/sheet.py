"""A short form about something known: what is typed, its problems, its folds, and the keypad's target.

What is typed is kept while one looks elsewhere, and stays when it is refused.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Generic, Protocol, TypeVar

import flet as ft

from field_app.core.problems import FolderFault, Problem, Refused
from field_app.core.units import UNITS, label_of
from field_app.ui import drafts, parts, theme
from field_app.ui.day_field import DayField, moment_words
from field_app.ui.day_words import clock_time
from field_app.ui.own_units import chips_of
from field_app.ui.refusals import at
from field_app.ui.services import use_app, use_services
from field_app.ui.state import AppState
from field_app.words import tr

__all__ = ["Sheet", "units_row", "use_sheet", "when_fold"]

#: From this size of the device's text on, fields side by side stand below each other [1].
_LARGE = 1.25


class WithTime(Protocol):
    """What is typed, with the time of it: whether earlier than now, and if so, the day and the time."""

    @property
    def earlier(self) -> bool: ...
    @property
    def day(self) -> str: ...
    @property
    def time(self) -> str: ...


T = TypeVar("T", bound=WithTime)


@dataclass(frozen=True, slots=True)
class _Leaf(Generic[T]):
    typed: T
    problems: tuple[Problem, ...] = ()
    opened: frozenset[str] = frozenset()
    active: str = ""
    large_text: bool = False


@dataclass(frozen=True)
class Sheet(Generic[T]):
    """One drawing of the form; every verb works on what is typed by then, not on what was drawn."""

    name: str
    leaf: _Leaf[T]
    app: AppState
    decimal: str
    now: dt.datetime
    set_leaf: Callable[[Any], None]

    @property
    def typed(self) -> T:
        """What is typed so far."""
        return self.leaf.typed

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What was refused and is not mended yet."""
        return self.leaf.problems

    def is_open(self, fold: str) -> bool:
        """Whether a fold is open."""
        return fold in self.leaf.opened

    def toggle(self, fold: str) -> Callable[[], None]:
        """A handler that opens a fold or closes it."""
        return lambda: self.set_leaf(lambda before: replace(before, opened=before.opened ^ {fold}))

    def edit(self, *mended: str, **changes: Any) -> None:
        """Change what is typed; problems of the ``mended`` fields are told no more."""
        def changed(before: _Leaf[T]) -> _Leaf[T]:
            typed = replace(before.typed, **changes)  # type: ignore[type-var]  # every form is a dataclass
            drafts.keep(self.app, self.name, typed)
            left = tuple(problem for problem in before.problems if problem.where not in (*changes, *mended))
            return replace(before, typed=typed, problems=left)
        self.set_leaf(changed)

    def put(self, name: str, *mended: str) -> Callable[[Any], None]:
        """A handler that sets one member."""
        return lambda value: self.edit(*mended, **{name: value})

    def number(self, label: str, name: str, *, where: Sequence[str] = (), first: bool = False,
               expand: int | None = None) -> ft.Control:
        """A large field that the keypad writes into; first: it is the target until another one is touched."""
        active = self.leaf.active == name or (first and not self.leaf.active)
        wrong = [problem for field in (where or (name,)) for problem in at(self.problems, field)]
        return parts.field(
            label, getattr(self.typed, name), self.put(name, *where), name, wrong, big=True, active=active,
            keyboard=ft.KeyboardType.NONE, expand=expand, told_below=False,
            on_focus=lambda: self.set_leaf(lambda before: replace(before, active=name)))

    def keypad(self, first: str, *mended: str) -> ft.Control:
        """The keypad; first: the member it writes into until another field is touched."""
        def press(key: str) -> None:
            def changed(before: _Leaf[T]) -> _Leaf[T]:
                name = before.active or first
                text = parts.pressed(getattr(before.typed, name), key, self.decimal)
                typed = replace(before.typed, **{name: text})  # type: ignore[type-var]  # every form is a dataclass
                drafts.keep(self.app, self.name, typed)
                return replace(before, typed=typed, problems=tuple(
                    problem for problem in before.problems if problem.where not in (name, *mended)))
            self.set_leaf(changed)
        return parts.keypad(press, decimal=self.decimal)

    def side_by_side(self, *fields: ft.Control, where: Sequence[str] = ()) -> ft.Control:
        """Fields beside each other, or below each other where the device's text is large.

        where: those whose problems are told below the row, which has room for a sentence.
        """
        def scaled(scale: float) -> None:
            if (scale >= _LARGE) != self.leaf.large_text:
                self.set_leaf(lambda before: replace(before, large_text=scale >= _LARGE))

        row: ft.Control = ft.Row(parts.fields_at_thumb(fields), spacing=2 * theme.GRID,
                                 vertical_alignment=ft.CrossAxisAlignment.START)
        if self.leaf.large_text:
            for field in fields:
                field.expand = None
            row = ft.Column(list(fields), spacing=theme.GAP)
        told = parts.problem_text(problem for problem in self.problems if problem.where in where)
        below = [ft.Container(ft.Column(told, spacing=theme.GRID), padding=ft.Padding.only(top=theme.GAP))]
        return ft.Column([parts.scale_probe(scaled), row, *(below if told else [])], spacing=0,
                         horizontal_alignment=ft.CrossAxisAlignment.STRETCH)

    def unit_button(self, unit: str) -> ft.Control:
        """The unit of the large fields, which opens the others."""
        label = label_of(unit) if unit in UNITS else unit
        return ft.Container(parts.drop_button(label, self.toggle("unit"), "unit", opened=self.is_open("unit")),
                            padding=ft.Padding.only(top=theme.GAP))

    def try_to(self, act: Callable[[], object], fold_of: Callable[[Problem], str]) -> bool:
        """Do it; if it is refused, keep what was typed, say why, and open the folds that hold the fields."""
        try:
            act()
        except (Refused, FolderFault) as fault:
            told = fault.problems if isinstance(fault, Refused) else (fault.problem,)
            folds = {fold for problem in told if (fold := fold_of(problem))}
            self.set_leaf(lambda before: replace(before, problems=tuple(told), opened=before.opened | folds))
            return False
        drafts.drop(self.app, self.name)
        return True


def use_sheet(name: str, begin: Callable[[], T]) -> Sheet[T]:
    """The form of that name: what was typed into it before, or what it begins with."""
    app, services = use_app(), use_services()
    first: _Leaf[T] = ft.use_memo(lambda: _Leaf(drafts.kept(app, name) or begin()), [name])
    leaf, set_leaf = ft.use_state(first)
    return Sheet(name, leaf, app, services.decimal, services.book.now(), set_leaf)


def units_row(sheet: Sheet[Any], units: Sequence[str], chosen: str) -> list[ft.Control]:
    """The units to choose from, while they are open."""
    if not sheet.is_open("unit"):
        return []

    def choose(key: str) -> None:
        sheet.edit(unit=key)
        sheet.toggle("unit")()

    return [parts.chips(chips_of(tuple(units)), chosen, choose, "unit")]


def when_fold(sheet: Sheet[Any]) -> parts.Fold:
    """When it was done: now, or at a day and a time."""
    typed, wrong = sheet.typed, at(sheet.problems, "at")

    def choose(key: str) -> None:
        if key == "now":
            sheet.edit("at", earlier=False)
        else:
            sheet.edit("at", earlier=True, day=typed.day or sheet.now.date().isoformat(),
                       time=typed.time or clock_time(sheet.now))

    def inside() -> list[ft.Control]:
        chosen = "earlier" if typed.earlier else "now"
        controls: list[ft.Control] = [
            parts.chips([("now", tr("now")), ("earlier", tr("earlier"))], chosen, choose, "when"),
            *parts.problem_text(wrong)]
        if typed.earlier:
            controls.append(sheet.side_by_side(
                ft.Container(DayField(tr("Day"), typed.day, sheet.put("day", "at"), "day", last=sheet.now.date()),
                             expand=3),
                parts.field(tr("Time"), typed.time, sheet.put("time", "at"), "time", helper=tr("as 09:30"),
                            keyboard=ft.KeyboardType.DATETIME, expand=2)))
        return controls

    summary = (moment_words(typed.day, typed.time, sheet.now.date()) if typed.earlier
               else tr("now, {time}", time=clock_time(sheet.now)))
    return parts.Fold(tr("when"), summary, "when", sheet.is_open("when"), sheet.toggle("when"), inside,
                      wrong=bool(wrong))
