"""Lots by what stands on their labels, while it is still being typed."""

from __future__ import annotations

from field_app.core.label_text import label_key
from field_app.core.lots import LotNow
from field_app.store.book import FieldBook
from field_app.store.lots import lots_now

__all__ = ["lots_like"]


def lots_like(book: FieldBook, text: str, *, limit: int = 5) -> tuple[LotNow, ...]:
    """The lots whose code starts so, or the one of this id; none, if there are more than ``limit`` [1]."""
    asked = label_key(text)
    if asked.startswith("urn:"):
        thing = book.log_book.thing(asked)
        things = [thing] if thing is not None and thing.kind == "lot" and not thing.deleted else []
    else:
        things = list(book.log_book.by_code(asked, "lot")) if asked else []
    if len(things) > limit:
        return ()
    return tuple(lot for lot in lots_now(book.log_book, things, book.in_force()) if lot is not None)
