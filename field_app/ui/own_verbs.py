"""Verbs of the screens for what is of a person's own: each is durable when it returns, and can be undone."""

from __future__ import annotations

from field_app.core.own_deeds import OwnTestForm, ValueForm
from field_app.core.vessels import VesselForm, VesselNow
from field_app.store import (
    FieldBook,
    add_vessel,
    change_vessel,
    note_test,
    set_value,
    take_back_value,
)
from field_app.ui.state import AppState, Done
from field_app.words import tr

__all__ = ["back_test", "back_value", "back_vessel", "figure_about", "keep_test", "keep_value", "keep_vessel"]


def figure_about(material: str, parameter: str) -> str:
    """What a deed about a figure was about, for the bar that undoes it."""
    return f"figure {material} {parameter}"


def _did(app: AppState, book: FieldBook, about: str, words: str) -> None:
    last = book.log_book.last_own()
    app.done = Done(words, about, last.name) if last else None
    app.refresh()


def keep_value(app: AppState, book: FieldBook, form: ValueForm, words: str) -> None:
    """Put a value in place of the table's. Raises Refused."""
    set_value(book, form)
    _did(app, book, figure_about(form.material, form.parameter), tr("{figure}: your own value set", figure=words))


def back_value(app: AppState, book: FieldBook, material: str, parameter: str, site: str, words: str) -> None:
    """Take back a value of one's own. Raises Refused."""
    take_back_value(book, material, parameter, site)
    _did(app, book, figure_about(material, parameter), tr("{figure}: your own value taken back", figure=words))


def keep_test(app: AppState, book: FieldBook, form: OwnTestForm, about: str, words: str) -> None:
    """Note a test; about: the id of its lot, or its figure. Raises Refused."""
    note_test(book, form)
    _did(app, book, about, tr("{what} noted", what=words))


def back_test(app: AppState, book: FieldBook, test: str, about: str, words: str) -> None:
    """Take back a test. Raises Refused."""
    book.withdraw(test)
    _did(app, book, about, tr("{what} taken back", what=words))


def keep_vessel(app: AppState, book: FieldBook, form: VesselForm, old: VesselNow | None) -> None:
    """Note a pot or a pail, or tell it anew. Raises Refused."""
    one = add_vessel(book, form) if old is None else change_vessel(book, old.id, form)
    _did(app, book, "vessels", tr("{what} noted", what=one.name) if old is None
         else tr("{what} changed", what=one.name))


def back_vessel(app: AppState, book: FieldBook, one: VesselNow) -> None:
    """Take back a pot or a pail. Raises Refused."""
    book.withdraw(one.id)
    _did(app, book, "vessels", tr("{what} taken back", what=one.name))
