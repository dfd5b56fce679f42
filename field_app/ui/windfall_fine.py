"""How finely it was measured, behind one line: the step and class of the scale, or a few pieces that were weighed."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from field_app.core.materials import MATERIALS
from field_app.ui import parts, theme
from field_app.ui.windfall_desk import Desk
from field_app.words import tr

__all__ = ["fine_fold"]

_SCALE, _SAMPLE = ("scale division", "scale class"), ("sample", "sample each")
_SMALL = {"kg": "g", "g": "g", "t": "g"}


def fine_fold(desk: Desk) -> list[parts.Fold]:
    """The line for a weighed load or for a counted one; pails have none."""
    if desk.typed.material not in MATERIALS or desk.typed.basis == "poured":
        return []
    return [_scale(desk) if desk.typed.basis == "weighed" else _sample(desk)]


def _put(desk: Desk, name: str, where: str) -> Callable[[str], None]:
    def put(text: str) -> None:
        desk.put(name)(text)
        desk.mended(where)
    return put


def _scale(desk: Desk) -> parts.Fold:
    typed = desk.typed
    step = typed.division.strip()
    summary = tr("within 3 %, as most")
    if step:
        summary = (tr("steps of {step}, class {scale}", step=step, scale=typed.scale) if typed.scale
                   else tr("steps of {step}", step=step))

    def inside() -> list[ft.Control]:
        small = _SMALL.get(typed.unit, "oz")
        return [parts.field(tr("Smallest step it shows"), typed.division, _put(desk, "division", "scale division"),
                            "division", desk.at("scale division"), suffix=small, hint="20",
                            helper=tr("A scale with small steps makes the load surer; a coarse one is told as it is.")),
                parts.second(tr("its class, in an oval on the plate of a verified scale")),
                parts.chips([("", tr("none")), ("III", "III"), ("IIII", "IIII")], typed.scale,
                            _put(desk, "scale", "scale class"), "scale-class"),
                *parts.problem_text(desk.at("scale class"))]

    return parts.Fold(tr("the scale"), summary, "scale-fold", desk.is_open("fine"), desk.toggle("fine"), inside,
                      wrong=bool(desk.at(*_SCALE)))


def _sample(desk: Desk) -> parts.Fold:
    typed = desk.typed
    told = [text for text in typed.sample.replace("\n", ";").split(";") if text.strip()]
    summary = tr("none, as the table has it")
    if told:
        each = typed.sample_each.strip()
        summary = f"{len(told)} × {each}" if each not in ("", "1") else tr("{count} of them", count=len(told))

    def inside() -> list[ft.Control]:
        small = _SMALL.get(typed.unit, "oz")
        return [parts.second(tr("Take some at random, not by size, and weigh them: one by one, or in handfuls of the "
                                "same number.")),
                parts.field(tr("What they weighed"), typed.sample, _put(desk, "sample", "sample"), "sample",
                            desk.at("sample"), suffix=small, hint="68; 71; 74", helper=tr("Set apart by ;")),
                ft.Row([parts.field(tr("How many at a time"), typed.sample_each,
                                    _put(desk, "sample_each", "sample each"),
                                    "sample_each", desk.at("sample each"), hint="1",
                                    keyboard=ft.KeyboardType.NUMBER, expand=1)], spacing=theme.GAP)]

    return parts.Fold(tr("some were weighed"), summary, "sample-fold", desk.is_open("fine"), desk.toggle("fine"),
                      inside, wrong=bool(desk.at(*_SAMPLE)))
