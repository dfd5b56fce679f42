"""Corrects where a site is by fixes that were taken beside it."""

from __future__ import annotations

from collections.abc import Sequence

from field_app.core.positions import Fix
from field_app.core.site_fix import decide_fix, decide_place
from field_app.core.sites import SiteNow
from field_app.store.book import FieldBook

__all__ = ["add_fix", "place_site"]


def add_fix(book: FieldBook, site: str, fixes: Sequence[Fix], *, instead: bool = False) -> SiteNow:
    """The site with its position corrected, durable when this returns. Raises Refused.

    site: its id or name; instead: leave the position noted so far out, because it is wrong.
    """
    held = book.held(book.site(site).id)
    return book.site(book.append(decide_fix(held, fixes, instead=instead)))


def place_site(book: FieldBook, site: str, fix: Fix) -> SiteNow:
    """The site with this position in place of the one noted so far, durable when this returns. Raises Refused.

    site: its id or name.
    """
    held = book.held(book.site(site).id)
    return book.site(book.append(decide_place(held, fix)))
