"""What was typed and not saved yet, kept while the page is open, so that a step back loses nothing."""

from __future__ import annotations

from typing import Any
from weakref import WeakKeyDictionary

from field_app.ui.state import AppState

__all__ = ["drop", "keep", "kept"]

# One page, one state: drafts go when the page goes.
_DRAFTS: WeakKeyDictionary[AppState, dict[str, Any]] = WeakKeyDictionary()


def kept(state: AppState, name: str) -> Any:
    """The draft of that name, or None."""
    return _DRAFTS.get(state, {}).get(name)


def keep(state: AppState, name: str, draft: Any) -> None:
    """Keep a draft; it takes the place of an earlier one."""
    _DRAFTS.setdefault(state, {})[name] = draft


def drop(state: AppState, name: str) -> None:
    """Forget a draft, once it was saved or thrown away."""
    _DRAFTS.get(state, {}).pop(name, None)
