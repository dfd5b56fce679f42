"""What colour a lot may give, in one strip on its screen, with the way to all of it."""

from __future__ import annotations

import flet as ft

from field_app.core.colour_course import Column, after_times, pot_for
from field_app.core.lots import LotNow
from field_app.core.palette import Ground, Palette
from field_app.core.preview import UNDYED, label_of, tone
from field_app.ui import parts, theme
from field_app.ui.colour_cells import strips
from field_app.ui.guard import piece
from field_app.ui.services import use_services
from field_app.words import later, tr

__all__ = ["LotColour"]

#: The cells of the strip: ground, place in the times, words.
_CELLS: tuple[tuple[Ground, int, str], ...] = (
    ("none", 0, later("3 min")), ("none", 1, later("15 min")), ("none", 2, later("1 h")),
    ("iron", 3, later("6 h and iron")))


@piece
def LotColour(lot: LotNow) -> ft.Control:
    """Undyed wool at medium after three times, and with iron after the longest, as swatches have taught."""
    in_force = use_services().book.in_force()
    where = (lot.facts.material, lot.facts.site, lot.id)

    def work_out() -> tuple[Palette, tuple[Column, ...]]:
        palette = in_force.palette(*where)
        return palette, after_times(UNDYED, pot_for(in_force(*where), shade="medium"), palette)

    palette, columns = ft.use_memo(work_out, [*where, in_force])
    return parts.card([
        parts.body(tr("On undyed wool, at medium"), bold=True),
        ft.Row([_cell(columns[at], ground, tr(words)) for ground, at, words in _CELLS], spacing=6,
               vertical_alignment=ft.CrossAxisAlignment.START),
        parts.small(label_of(palette)),
        ft.Row([parts.outline_button(tr("See the colours"), parts.going(f"/lots/{lot.code}/colour"), "lot-colour",
                                     icon=ft.Icons.PALETTE_OUTLINED),
                parts.outline_button(tr("Note a swatch"), parts.going(f"/lots/{lot.code}/swatch"), "lot-swatch")],
               wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)], key="lot-colours")


def _cell(column: Column, ground: Ground, words: str) -> ft.Control:
    found = column.colours[ground]
    said = f"{words}: {tone(found.central.lab)}"
    return ft.Semantics(
        label=said, image=True, exclude_semantics=True, expand=True,
        content=ft.Column(
            [strips(found, height=48), *(
                ft.Text(line, size=theme.SMALL, color=ink, text_align=ft.TextAlign.CENTER,
                        style=ft.TextStyle(height=1.15))
                for line, ink in ((words, theme.HULL), (tone(found.central.lab), theme.BARK)))],
            spacing=2, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH))
