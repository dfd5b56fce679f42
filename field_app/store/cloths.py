"""Lists of cloth in the book: making, changing and reading them. What is taken back is `FieldBook.withdraw`."""

from __future__ import annotations

from pydantic import ValidationError

from field_app.core.cloth_lists import ClothForm, ClothNow, cloth_now, decide_cloth, find_cloth
from field_app.core.problems import Refused
from field_app.core.sites import name_key
from field_app.store.book import FieldBook

__all__ = ["add_cloth", "change_cloth", "cloth_list", "cloth_lists"]


def cloth_lists(book: FieldBook) -> tuple[ClothNow, ...]:
    """All lists, by name; those that this version can't read are left out, kept and handed on."""
    found = []
    for thing in book.log_book.things("cloth"):
        try:
            found.append(cloth_now(thing))
        except (ValidationError, Refused):
            continue
    return tuple(sorted(found, key=lambda one: (name_key(one.name), one.id)))


def cloth_list(book: FieldBook, key: str) -> ClothNow:
    """The list with this id or name. Raises Refused if there is none, or several of that name."""
    return find_cloth(key, cloth_lists(book))


def add_cloth(book: FieldBook, form: ClothForm) -> ClothNow:
    """A new list, durable when this returns. Raises Refused."""
    return cloth_now(book.held(book.append(decide_cloth(form, cloth_lists(book), book.situation()))))


def change_cloth(book: FieldBook, key: str, form: ClothForm) -> ClothNow:
    """A list told anew; what was told before stays in its history. Raises Refused."""
    known = cloth_lists(book)
    decided = decide_cloth(form, known, book.situation(), changes=find_cloth(key, known))
    return cloth_now(book.held(book.append(decided)))
