"""Keeping a list of cloth, changing it and taking it back, so that it can be undone on this page."""

from __future__ import annotations

from field_app.core.cloth_lists import ClothForm, ClothNow
from field_app.store import FieldBook, add_cloth, change_cloth
from field_app.ui.state import AppState, Done
from field_app.words import tr

__all__ = ["keep_cloth", "take_back_cloth"]


def keep_cloth(app: AppState, book: FieldBook, form: ClothForm, changes: ClothNow | None = None) -> ClothNow:
    """Keep a list, new or changed. Raises Refused."""
    kept = add_cloth(book, form) if changes is None else change_cloth(book, changes.id, form)
    _did(app, book, kept.id,
         tr("{name} kept", name=kept.name) if changes is None else tr("{name} changed", name=kept.name))
    return kept


def take_back_cloth(app: AppState, book: FieldBook, cloth: ClothNow) -> None:
    """Take a list back."""
    book.withdraw(cloth.id)
    _did(app, book, cloth.id, tr("{name} taken back", name=cloth.name))


def _did(app: AppState, book: FieldBook, about: str, words: str) -> None:
    last = book.log_book.last_own()
    app.done = Done(words, about, last.name) if last else None
    app.refresh()
