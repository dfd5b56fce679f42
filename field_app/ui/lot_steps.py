"""The steps of a lot in reach of the thumb: what is mostly done next first, each one tap away from the lot."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import flet as ft

from field_app.core.facts import StepKind
from field_app.core.life import LotState
from field_app.core.lots import LotNow
from field_app.ui import parts, theme
from field_app.ui.life_words import gone
from field_app.words import later, tr

__all__ = ["steps_card"]

_WORDS: Mapping[StepKind, str] = MappingProxyType({
    "weighed": later("Weigh again"), "soaked": later("Put under water"), "boiled": later("Boil"),
    "strained": later("Strain"), "dried": later("Dry")})
#: What can be done with a lot in each state, the most usual first.
_NEXT: Mapping[LotState, tuple[StepKind, ...]] = MappingProxyType({
    "gathered": ("soaked", "boiled", "dried"), "weighed": ("soaked", "boiled", "dried"),
    "soaked": ("boiled", "weighed", "dried"), "dried": ("weighed", "soaked", "boiled"),
    "boiled": ("strained", "boiled"), "strained": ("strained", "boiled")})


def steps_card(lot: LotNow) -> list[ft.Control]:
    """A button for each step that makes sense now; nothing for a lot that has ended.

    Of a lot of which all was taken only measuring is left: there may be more of it after all.
    """
    steps = _NEXT.get(lot.life.state, ())
    if gone(lot):
        steps = ("strained",) if lot.life.left.unit == "L" else ("weighed",)
    if not steps or lot.life.ended:
        return []
    buttons: list[ft.Control] = [
        parts.outline_button(_word(step, lot), parts.going(f"/lots/{lot.code}/step?did={step}"), f"lot-did-{step}")
        for step in steps]
    return [parts.card([parts.second(tr("What you do with it next")),
                        ft.Row(buttons, wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)],
                       key="lot-steps")]


def _word(step: StepKind, lot: LotNow) -> str:
    """What a step is called: done once more, it says so."""
    if step == lot.life.state == "strained":
        return tr("Measure the liquor again")
    if step == lot.life.state == "boiled":
        return tr("Boil again")
    return tr(_WORDS[step])
