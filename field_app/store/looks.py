"""Looks at trees in the book: noting one, and reading those of a site."""

from __future__ import annotations

from collections.abc import Collection

from pydantic import ValidationError

from field_app.core.looks import LookForm, LookNow, decide_look, look_now
from field_app.store.book import FieldBook

__all__ = ["add_look", "look_of", "looks_at"]


def add_look(book: FieldBook, site: str, form: LookForm) -> LookNow:
    """A look at a site (its id or name), durable when this returns. Raises Refused."""
    return look_of(book, book.append(decide_look(form, book.site(site), book.situation())))


def look_of(book: FieldBook, key: str) -> LookNow:
    """The look with this id. Raises Refused if there is none."""
    return look_now(book.held(key))


def looks_at(book: FieldBook, site: str | Collection[str] | None = None) -> tuple[LookNow, ...]:
    """The looks at one site or some (by their ids), or all, oldest first; what this version can't read is left out."""
    found = []
    things = (book.log_book.things("look", of=site) if site is None or isinstance(site, str)
              else book.log_book.things_of_all("look", site))
    for thing in things:
        try:
            found.append(look_now(thing))
        except ValidationError:
            continue  # from another version of this program: kept and handed on, not shown
    return tuple(sorted(found, key=lambda look: (look.at, look.id)))
