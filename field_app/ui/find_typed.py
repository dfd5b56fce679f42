"""Where a tree stands, noted by hand: typed or pasted later, from a map or a message."""

from __future__ import annotations

import flet as ft

from field_app.core.position_text import read_position
from field_app.core.problems import FolderFault, Problem, Refused
from field_app.core.sites import SiteNow
from field_app.store import place_site
from field_app.ui import parts, theme
from field_app.ui.guard import piece, say
from field_app.ui.refusals import NO_PROBLEMS
from field_app.ui.services import use_app, use_services
from field_app.ui.state import Done
from field_app.words import tr

__all__ = ["TypedPlace"]


@piece
def TypedPlace(site: SiteNow) -> ft.Control:
    """A field for the position, open where none is noted, and the button that keeps it."""
    services, state = use_services(), use_app()
    text, set_text = ft.use_state("")
    problems, set_problems = ft.use_state(NO_PROBLEMS)
    asked, set_asked = ft.use_state(False)

    def keep() -> None:
        if not text.strip():
            set_problems((Problem("position", tr("is empty"), tr("Type or paste it as a map or a message gives it.")),))
            return
        try:
            place_site(services.book, site.id, read_position(text))
        except (Refused, FolderFault) as error:
            set_problems(error.problems if isinstance(error, Refused) else (error.problem,))
            return
        last = services.book.log_book.last_own()
        state.done = Done(tr("position of {name} corrected", name=site.name), site.id, last.name) if last else None
        state.refresh()
        set_text("")
        set_problems(NO_PROBLEMS)
        set_asked(False)
        say(tr("Where {name} is was noted.", name=site.name))

    if site.position is not None and not asked:
        return parts.quiet_button(tr("Type or paste where it stands"), lambda: set_asked(True), "find-by-hand")
    return parts.card([
        parts.field(tr("type or paste where it stands"), text, set_text, "find-position", problems,
                    hint="44.01234, -28.00567", helper=tr("As a map or a message gives it."), on_submit=keep),
        ft.Container(parts.outline_button(tr("Note this position"), keep, "find-place",
                                          icon=ft.Icons.ADD_LOCATION_ALT_OUTLINED),
                     padding=ft.Padding.only(top=2 * theme.GRID)),
    ])
