"""What one can ask of a round: where it begins and ends, until when, how much, and how one gets along.

The pace is this person's on this device: it is remembered here, and travels to nobody, since somebody else walks
at another pace.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.cloth_text import cloth_example
from field_app.core.habits import habits
from field_app.core.positions import Fix, show_position
from field_app.core.problems import Problem, Refused
from field_app.core.round_form import RoundForm
from field_app.core.rounds import PACES
from field_app.core.units import show_number, show_round, show_si, show_value
from field_app.ui import parts, theme
from field_app.ui.day_field import DayField
from field_app.ui.guard import piece, say
from field_app.ui.own_units import amount_text, in_own, own_label, own_unit
from field_app.ui.refusals import NO_PROBLEMS, at
from field_app.ui.services import Services, use_app, use_services
from field_app.ui.standpoint import keep_shed, locate_me
from field_app.words import later, tr, tr_as

__all__ = ["ROUND", "ROUND_CALLED", "Asking", "kept_pace", "with_pace"]

#: The name under which a round is kept as it was last asked for.
ROUND = "round"
#: The fields as the screen calls them, by the names that problems use.
ROUND_CALLED = {"start": later("where you begin"), "end": later("where it ends"), "until": later("back by"),
                "carry": later("what you can carry"), "need": later("what is enough"), "means": later("how you go"),
                "speed": later("speed"), "detour": later("detour"), "stop": later("time at a tree"),
                "hour": later("worth an hour"), "next_day": later("next day you can go")}
_PACE = ("means", "speed", "detour", "stop", "hour", "carry")
_MEANS = (("foot", later("on foot")), ("bicycle", later("by bicycle")), ("car", later("by car")))
_ENDS = (("start", later("back to the start")), ("open", later("at the last tree")), ("other", later("somewhere else")))


def kept_pace(form: RoundForm) -> str:
    """What the device keeps of a form until the next round: how one goes, and what one can carry."""
    return json.dumps({name: getattr(form, name) for name in _PACE})


def with_pace(form: RoundForm, kept: str) -> RoundForm:
    """A form with what the device kept; what can't be read is as usual.

    >>> with_pace(RoundForm(), kept_pace(RoundForm(means="car", speed="40"))).speed
    '40'
    """
    try:
        told = json.loads(kept)
        fits = {name: told[name] for name in _PACE if isinstance(told.get(name), str)}
    except (ValueError, AttributeError):
        return form
    if fits.get("means") not in PACES:
        fits.pop("means", None)
    return dataclasses.replace(form, **fits)


def own_speed() -> str:
    """The unit of a speed that this person uses."""
    return "km/h" if habits().measures == "metric" else "mph"


def in_own_units(form: RoundForm) -> RoundForm:
    """The form with the bare numbers in it as they are meant: in this person's units."""
    speed = form.speed.strip()
    bare = speed and not any(sign.isalpha() for sign in speed)
    return dataclasses.replace(
        form, carry=in_own(form.carry, "mass"), need=in_own(form.need, "mass"), hour=in_own(form.hour, "mass"),
        speed=f"{speed} {own_speed()}" if bare and own_speed() != "km/h" else form.speed)


@piece
def Asking(form: RoundForm, start: Fix | None, on_change: Callable[[RoundForm], Any], problems: Sequence[Problem],
           opened: str, on_open: Callable[[str], Any], decimal: str, begin_words: str = "") -> ft.Control:
    """The card of what is asked; ``start``: where one is taken to begin as long as nothing else is said.

    begin_words: how that is known.
    """
    def put(**changed: Any) -> None:
        on_change(dataclasses.replace(form, **changed))

    def fold(key: str, label: str, summary: str, inside: Callable[[], list[ft.Control]],
             fields: tuple[str, ...]) -> parts.Fold:
        wrong = any(at(problems, field) for field in fields)
        return parts.Fold(label, summary, f"round-{key}", opened == key or wrong,
                          lambda: on_open("" if opened == key else key), lambda: [_column(inside())], wrong)

    pace = PACES[form.means if form.means in PACES else "foot"]  # type: ignore[index]  # it is one of its keys
    lines = [
        fold("start", tr_as("of a round", "begin"), _start_words(form, begin_words),
             lambda: [_Start(form, start, put, problems, decimal)], ("start",)),
        fold("end", tr_as("of a round", "end"), _end_words(form), lambda: _end(form, put, problems), ("end",)),
        fold("limits", tr("limits"), _limit_words(form), lambda: _limits(form, put, problems),
             ("until", "carry", "need", "next_day")),
        fold("means", tr("how you go"),
             tr("{means}, {speed}", means=tr(dict(_MEANS).get(form.means, form.means)),
                speed=f"{form.speed} {own_speed()}" if form.speed else show_value(pace.speed, "km/h", decimal=decimal)),
             lambda: _means(form, put, problems, decimal), ("means", "speed", "detour", "stop", "hour")),
    ]
    return parts.fold_card(lines)


def _column(controls: list[ft.Control]) -> ft.Control:
    return ft.Column(controls, spacing=theme.GAP, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _start_words(form: RoundForm, begin_words: str) -> str:
    if isinstance(form.start, Fix):
        return tr("where you are")
    if form.start.strip():
        return form.start.strip()
    return begin_words or tr("not known yet")


@piece
def _Start(form: RoundForm, start: Fix | None, put: Callable[..., None], problems: Sequence[Problem],
           decimal: str) -> ft.Control:
    """Where the device is, asked for by a tap, or what is typed instead."""
    services, state = use_services(), use_app()
    asking, set_asking = ft.use_state(False)
    refused, set_refused = ft.use_state(NO_PROBLEMS)

    async def ask() -> None:
        if services.device is None:
            return
        set_asking(True)
        set_refused(NO_PROBLEMS)
        try:
            await locate_me(services, state)
            put(start="")
        except Refused as no:
            set_refused(no.problems)
        finally:
            set_asking(False)

    text = form.start if isinstance(form.start, str) else show_position(form.start.position)
    rows: list[ft.Control] = []
    if start is not None and not text.strip():
        sure = "" if start.accuracy_m is None else f", ± {show_si(start.accuracy_m, 'm', decimal=decimal)}"
        rows.append(parts.body(f"{show_position(start.position)}{sure}", bold=True))
    words = tr("Asking the device …") if asking else tr("Where am I now?") if start is None else tr("Ask again")
    return _column([
        *rows,
        ft.Row([parts.outline_button(words, ask, "round-here", icon=ft.Icons.MY_LOCATION, disabled=asking,
                                     expand=True)]),
        *parts.problem_text(refused),
        *_shed(services, start, text),
        parts.field(tr("or a position, or a tree"), text, lambda typed: put(start=typed), "round-start-place",
                    at(problems, "start"), hint="44.01234, -28.00567"),
    ])


def _shed(services: Services, start: Fix | None, typed: str) -> list[ft.Control]:
    """A way to begin there every day, for a start that is known."""
    if start is None or typed.strip():
        return []
    position = start.position

    async def keep() -> None:
        await keep_shed(services, position)
        say(tr("Rounds begin at your shed from now on. Another shed takes its place."))

    return [ft.Row([parts.quiet_button(tr("This is my shed: begin here"), keep, "round-shed")])]


def _end_words(form: RoundForm) -> str:
    if isinstance(form.end, Fix):
        return show_position(form.end.position)
    ends = dict(_ENDS)
    return tr(ends[form.end]) if form.end in ends else form.end.strip() or tr("somewhere else")


def _end(form: RoundForm, put: Callable[..., None], problems: Sequence[Problem]) -> list[ft.Control]:
    elsewhere = form.end not in ("start", "open")
    rows: list[ft.Control] = [
        parts.chips([(key, tr(words)) for key, words in _ENDS], "other" if elsewhere else str(form.end),
                    lambda key: put(end="" if key == "other" else key), "end")]
    if elsewhere:
        text = form.end if isinstance(form.end, str) else show_position(form.end.position)
        rows.append(parts.field(tr("Where it ends"), text, lambda typed: put(end=typed), "end-place",
                                at(problems, "end"),
                                hint="44.01234, -28.00567", helper=tr("A position, or the name of a tree.")))
    return rows


def _limit_words(form: RoundForm) -> str:
    told = [tr("back by {time}", time=form.until.strip()) if form.until.strip() else "",
            tr("carry {mass}", mass=amount_text(form.carry, own_unit("mass"))) if form.carry.strip() else "",
            tr("{amount} is enough", amount=amount_text(form.need, own_unit("mass"))) if form.need.strip() else ""]
    return ", ".join(word for word in told if word) or tr("none")


def _limits(form: RoundForm, put: Callable[..., None], problems: Sequence[Problem]) -> list[ft.Control]:
    return [
        parts.field(tr("Back by"), form.until, lambda text: put(until=text), "until", at(problems, "until"),
                    hint="17:30",
                    helper=tr("empty for no limit; when it gets dark is told anyway")),
        parts.field(tr("What you can carry"), form.carry, lambda text: put(carry=text), "carry", at(problems, "carry"),
                    hint=show_round(25, "kg"), helper=tr("empty for no limit")),
        parts.field(tr("What is enough"), form.need, lambda text: put(need=text), "need", at(problems, "need"),
                    hint=tr("{mass}, or {cloth}", mass=show_round(12, "kg"), cloth=cloth_example("wool", 3.0)),
                    helper=tr("a mass, or cloth; then it is the shortest round that brings it")),
        DayField(tr("Next day you can go"), form.next_day, lambda text: put(next_day=text), "next-day",
                 at(problems, "next_day"), empty=tr("empty for tomorrow; what would be lost until then comes first")),
    ]


def _means(form: RoundForm, put: Callable[..., None], problems: Sequence[Problem], decimal: str) -> list[ft.Control]:
    pace = PACES[form.means if form.means in PACES else "foot"]  # type: ignore[index]  # it is one of its keys

    def usual(value: float) -> str:
        return show_number(value, decimal=decimal)

    return [
        parts.chips([(key, tr(words)) for key, words in _MEANS], form.means,
                    lambda key: put(means=key, speed="", detour="", hour=""), "means"),
        *parts.problem_text(at(problems, "means")),
        parts.field(tr("Speed"), form.speed, lambda text: put(speed=text), "speed", at(problems, "speed"),
                    suffix=own_speed(), hint=show_value(pace.speed, "km/h").partition(" ")[0],
                    helper=tr("empty for {speed}", speed=show_value(pace.speed, "km/h"))),
        parts.field(tr("Detour"), form.detour, lambda text: put(detour=text), "detour", at(problems, "detour"),
                    suffix=tr("times"), hint=usual(pace.detour),
                    helper=tr("how much longer the way is than a straight line; empty for {times}",
                              times=usual(pace.detour))),
        parts.field(tr("Time at a tree"), form.stop, lambda text: put(stop=text), "stop", at(problems, "stop"),
                    hint=f"{usual(pace.stop)} min", helper=tr("empty for {minutes} min", minutes=usual(pace.stop))),
        parts.field(tr("An hour more must bring"), form.hour, lambda text: put(hour=text), "hour", at(problems, "hour"),
                    suffix=own_label("mass"), hint=show_round(pace.hour, "kg").partition(" ")[0],
                    helper=tr("or a tree that is not due is not worth the way; empty for {mass}",
                              mass=show_round(pace.hour, "kg"))),
    ]
