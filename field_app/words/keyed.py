"""What keys of the records are called where a person reads them: the keys themselves are never translated."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from field_app.words.speech import later, tr, tr_as

__all__ = ["basis_words", "named", "shade_words", "state_words"]

#: Fields, as problems name them.
_FIELDS = frozenset((
    later("after"), later("amount"), later("as of"), later("at"), later("base"), later("bath"), later("baths"),
    later("before"), later("boil"), later("brix"), later("by"), later("calendar"), later("clock"), later("cloth"),
    later("cloth list"), later("concentrate"), later("condition"), later("count"), later("data folder"), later("day"),
    later("decimal"), later("dents"), later("depth"), later("detour"), later("device"), later("diameter"),
    later("dips"), later("dish"), later("division"), later("end"), later("figure"), later("file"), later("fill"),
    later("fire"), later("gathered"), later("gross"), later("ground"), later("group file"), later("headings"),
    later("heat"), later("helper"), later("high"), later("hour"), later("items"), later("kind"), later("labels"),
    later("leave"), later("leave from"), later("leave limit"), later("leave note"), later("leave until"),
    later("limit"), later("liquor"), later("lot"), later("lots"), later("low"), later("made of"), later("margins"),
    later("mass"), later("material"), later("means"), later("moment"), later("mordant"), later("name"), later("need"),
    later("note"), later("nuts"), later("old cloth"), later("pail"), later("pails"), later("paper"),
    later("parameter"), later("part"), later("picture"), later("place"), later("places"), later("places used up"),
    later("plan"), later("port"), later("position"), later("pot"), later("pots"), later("purpose"), later("ratio"),
    later("record"), later("records on this phone"), later("result"), later("ripeness"), later("sample"),
    later("sample each"), later("scale class"), later("scale division"), later("shade"), later("site"), later("skip"),
    later("soak"), later("speed"), later("stage"), later("start"), later("state"), later("step"), later("stop"),
    later("storage"), later("strainings"), later("stuff"), later("surface"), later("take"), later("tare"),
    later("temperature"), later("test"), later("the phone's packages"), later("thing"), later("this device"),
    later("this tab"), later("time"), later("tree"), later("undo"), later("unit"), later("until"), later("value"),
    later("version"), later("volume"), later("water"), later("wood")))
_SHADES: Mapping[str, Callable[[], str]] = {
    "pale": lambda: tr_as("a shade", "pale"), "light": lambda: tr_as("a shade", "light"),
    "medium": lambda: tr_as("a shade", "medium"), "dark": lambda: tr_as("a shade", "dark")}
_STATES = frozenset((
    later("fresh"), later("browned"), later("air-dry"), later("gathered"), later("weighed"), later("soaked"),
    later("boiled"), later("strained"), later("dried"), later("spent"), later("spoiled")))
_BASES = frozenset((
    later("weighed"), later("counted"), later("poured"), later("said"), later("own"), later("default"),
    later("worked out"), later("measured"), later("learnt")))


def named(where: str) -> str:
    """A field of a problem as a person reads it; names of files, codes and options stay as they are.

    >>> named("scale division"), named("lots.csv row 3"), named("--cloth")
    ('scale division', 'lots.csv row 3', '--cloth')
    """
    return tr(where) if where in _FIELDS else where


def shade_words(shade: str) -> str:
    """A shade by its key: pale, light, medium or dark."""
    return _SHADES[shade]() if shade in _SHADES else shade


def state_words(state: str) -> str:
    """In what condition stuff is, or what was done with a lot, by its key."""
    return tr(state) if state in _STATES else state


def basis_words(basis: str) -> str:
    """How an input came to be known, by its key."""
    return tr(basis) if basis in _BASES else basis
