"""How things are shown on this device: measures, decimal sign, dates, hand, language and light, each with a sample."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from typing import Any

import flet as ft

from field_app.core.estimate import Range
from field_app.core.habits import Habits, habits, used_to
from field_app.core.units import show_number, show_range, show_si
from field_app.ui import parts, theme
from field_app.ui.day_words import clock_time, plain_day
from field_app.ui.guard import steady_screen
from field_app.ui.services import use_app, use_services
from field_app.words import LANGUAGES, later, tr, tr_as

__all__ = ["HowShown", "sample"]

_MEASURES = {"metric": later("metric"), "us": later("US"), "imperial": later("imperial")}
_HANDS = {"right": later("right hand"), "left": later("left hand")}
_LIGHTS = {"device": later("as the device"), "day": later("day"), "night": later("night"), "sun": later("full sun")}
#: What the samples show: a load with what it may be, a bath, a way, its warmth.
_LOAD, _BATH, _WAY, _WARM = Range(7.0, 8.1, 9.6, "kg"), 30.0, 1250.0, 60.0


def sample() -> str:
    """Amounts as they are shown now: a mass with its range, a volume and a temperature."""
    return " · ".join((show_range(_LOAD), show_si(_BATH, "L"), show_si(_WARM, "degC")))


def _each(name: str, values: Iterable[str], words: Callable[[], str]) -> list[tuple[str, str]]:
    """Every value of a choice, with what is shown where it holds."""
    found = []
    for value in values:
        with used_to(**{name: value}):
            found.append((value, words()))
    return found


@steady_screen
def HowShown() -> ft.View:
    """One card a choice; a tap holds at once, on this screen too."""
    services, app = use_services(), use_app()
    now, chosen = services.book.now(), app.habits

    def choose(name: str) -> Callable[[str], Any]:
        async def pick(value: str) -> None:
            app.used_to(**{name: value})
            if name == "light":
                theme.wear(ft.context.page, habits().light)
            if name in ("language", "light") and services.device is not None:
                # The page speaks and is seen before the program can: it reads these by itself.
                await services.device.remember(name, value)
        return pick

    return parts.page_view(
        "/shown", tr("How things are shown, on this device alone"), f"{show_range(_LOAD)}, {plain_day(now.date())}",
        [*_amounts(chosen, choose), *_days(chosen, choose, now), *_device(chosen, choose),
         parts.second(tr("What you typed stays as you typed it, and you may type any measure and either decimal sign. "
                         "Others see your lots in their own measures.")),
         parts.quiet_button(tr("Where your records are"), parts.going("/this-device"), "to-device")])


_Choose = Callable[[str], Callable[[str], Any]]


def _card(words: str, options: Iterable[tuple[str, str]], held: str, pick: Callable[[str], Any], key: str,
          below: str = "") -> ft.Control:
    return parts.card([parts.second(words), parts.chips(tuple(options), held, pick, key),
                       *([parts.body(below)] if below else [])])


def _amounts(chosen: Habits, choose: _Choose) -> list[ft.Control]:
    named = [(value, tr(words)) for value, words in _MEASURES.items()]
    return [_card(tr("Measures"), named, chosen.measures, choose("measures"), "measures", sample()),
            _card(tr("Decimal sign"), _each("decimal", (".", ","), lambda: show_number(_LOAD.central)),
                  chosen.decimal, choose("decimal"), "decimal")]


def _days(chosen: Habits, choose: _Choose, now: dt.datetime) -> list[ft.Control]:
    dates = _each("dates", ("day-month", "month-day", "iso"), lambda: plain_day(now.date()))
    clocks = _each("clock", ("24", "12"), lambda: clock_time(now))
    return [_card(tr("Dates"), dates, chosen.dates, choose("dates"), "dates"),
            _card(tr("Clock"), clocks, chosen.clock, choose("clock"), "clock")]


def _device(chosen: Habits, choose: _Choose) -> list[ft.Control]:
    hands = [(value, tr(words)) for value, words in _HANDS.items()]
    lights = [(value, tr_as("of the screen", words)) for value, words in _LIGHTS.items()]
    return [_card(tr("The hand that taps"), hands, chosen.hand, choose("hand"), "hand",
                  tr("Buttons and keys lie at its thumb.")),
            _card(tr("Language"), LANGUAGES.items(), chosen.language, choose("language"), "language"),
            _card(tr("Light of the screen"), lights, chosen.light, choose("light"), "light")]
