"""Add a tree: its name, what stands there, where it is, and leave to gather."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import flet as ft

from field_app.core.gather import LeaveForm, SiteForm
from field_app.core.positions import Fix
from field_app.core.problems import FolderFault, Refused
from field_app.ui import drafts, parts
from field_app.ui.choices import MaterialChoice
from field_app.ui.guard import screen
from field_app.ui.leave_fields import LEAVE_CALLED, NOT_ASKED, LeaveFields, to_keep
from field_app.ui.position_fields import PositionFields
from field_app.ui.refusals import NO_PROBLEMS, at, elsewhere, not_kept
from field_app.ui.services import use_app
from field_app.ui.site_words import site_route
from field_app.words import later, tr, tr_as

__all__ = ["NewTree", "TreeDraft"]

_DRAFT = "new tree"
#: The fields of this screen: as problems name them, and as they are called here.
_CALLED = {"name": later("name"), "material": later("what stands there"), "position": later("where it is"),
           "note": later("note"), **LEAVE_CALLED}


@dataclass(frozen=True, slots=True)
class TreeDraft:
    """What was typed so far. A fix from the device counts before the typed position."""

    name: str = ""
    materials: tuple[str, ...] = ()
    position: str = ""
    fix: Fix | None = None
    note: str = ""
    leave: LeaveForm = NOT_ASKED

    def form(self) -> SiteForm:
        """As the book takes it."""
        return SiteForm(self.name, position=self.fix or self.position, materials=self.materials, note=self.note,
                        leave=to_keep(self.leave))


@screen
def NewTree() -> ft.View:
    """One form; what is wrong is said beside its field, and what was typed stays, also over a step back."""
    state = use_app()
    # What was typed may come back after a step back, so the state begins with what was kept.
    before: TreeDraft | None = ft.use_memo(lambda: drafts.kept(state, _DRAFT), [])
    draft, set_draft = ft.use_state(before or TreeDraft())
    problems, set_problems = ft.use_state(NO_PROBLEMS)

    def put(**changed: Any) -> None:
        # Asked anew each time, for two fields may change before the screen is drawn again.
        fresh = dataclasses.replace(drafts.kept(state, _DRAFT) or draft, **changed)
        drafts.keep(state, _DRAFT, fresh)
        set_draft(fresh)

    def putting(name: str) -> Callable[[Any], None]:
        return lambda value: put(**{name: value})

    def begin_anew() -> None:
        drafts.drop(state, _DRAFT)
        set_draft(TreeDraft())
        set_problems(NO_PROBLEMS)

    def save() -> None:
        try:
            site = state.add_site((drafts.kept(state, _DRAFT) or draft).form())
        except Refused as refused:
            set_problems(refused.problems)
            return
        except FolderFault as fault:
            set_problems((fault.problem,))
            return
        drafts.drop(state, _DRAFT)
        ft.context.page.navigate(site_route(site.id))

    body: list[ft.Control] = [
        *elsewhere(problems, _CALLED),
        *([parts.notice("advice", tr("What you typed before is still here"), controls=[
            parts.quiet_button(tr("Begin anew"), begin_anew, "tree-anew")])] if before == draft and before else []),
        parts.field(tr("Name"), draft.name, putting("name"), "tree-name", at(problems, "name"),
                    hint=tr_as("an example of a name", "Mill lane"),
                    helper=tr("One that you will know again on a pail.")),
        parts.heading(tr("What stands there")),
        MaterialChoice(draft.materials, putting("materials")),
        *parts.problem_text(at(problems, "material")),
        parts.heading(tr("Where it is")),
        PositionFields(draft.position, draft.fix, putting("position"), putting("fix"), at(problems, "position")),
        parts.heading(tr("Leave to gather")),
        LeaveFields(draft.leave, putting("leave"), problems, state.today()),
        parts.heading(tr("Note")),
        parts.field(tr("What helps next time"), draft.note, putting("note"), "tree-note", at(problems, "note"),
                    hint=tr("behind the gate; the third one is the earliest"), lines=2),
    ]
    return parts.page_view(
        "/trees/new", tr("Trees"), tr("Add a tree"), body,
        dock=parts.main_button(tr("Keep this tree"), save, "tree-save"),
        dock_note=not_kept(problems, _CALLED))
