"""What the screens say about a tree or another site: what stands there, leave, how far, what fell last."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS
from field_app.core.positions import Position, bearing_deg, compass_word, distance_m, show_distance
from field_app.core.sites import SiteNow
from field_app.core.units import show_told
from field_app.ui.day_words import day, full_day, span
from field_app.ui.parts import Edge, range_words
from field_app.words import later, mid, tr, tr_n

__all__ = ["WORD_ON_LEAVE", "edge_of", "last_words", "leave_short", "leave_words", "lower_first", "site_route",
           "some_names", "stands_there", "title_of_all", "way_words"]

_URN = "urn:uuid:"
#: What a state of leave is called where one chooses it.
WORD_ON_LEAVE = (("given", later("given")), ("refused", later("refused")), ("not-asked", later("not asked yet")))


def some_names(names: Sequence[str]) -> str:
    """The first of some names, and how many more there are [1].

    >>> some_names(["Mill lane"]), some_names(["Mill lane", "Ford bend", "Chapel green"])
    ('Mill lane', 'Mill lane and 2 more')
    """
    return names[0] if len(names) == 1 else tr("{name} and {count} more", name=names[0], count=len(names) - 1)


def lower_first(name: str) -> str:
    """A name inside a sentence.

    >>> lower_first("Black walnut"), lower_first("English oak bark")
    ('black walnut', 'English oak bark')
    """
    return mid(name)


def site_route(site: str) -> str:
    """The address of a site's screen, from its id."""
    return f"/trees/{site.removeprefix(_URN)}"


def stands_there(site: SiteNow) -> str:
    """What one gathers there; a material that this version doesn't know keeps its bare name."""
    names = [tr(MATERIALS[key].name) if key in MATERIALS else key for key in site.facts.materials]
    if not names:
        return tr("What stands there is not noted")
    return ", ".join([names[0], *map(mid, names[1:])])


def leave_short(site: SiteNow, today: dt.date) -> str:
    """Leave in a few words, as they follow the name of the site in a title."""
    state = site.leave_on(today)
    until = site.leave.until if site.leave else None
    if state == "given":
        if until is None:
            return tr("leave given")
        near = abs((until - today).days) <= 1
        return tr("leave until {day}", day=day(until, today) if near else span(until, until, today))
    return {"refused": tr("leave refused"), "expired": tr("leave has ended")}.get(state, tr("no leave yet"))


def leave_words(site: SiteNow, today: dt.date) -> str:
    """Leave in one line: whether, from whom, until when, how much, and what to do if there is none."""
    leave, state = site.leave, site.leave_on(today)
    if leave is None or state == "not-asked":
        return tr("Leave not asked yet: ask {who}", who=leave.by) if leave and leave.by else tr("Leave not asked yet")
    who, until = leave.by, leave.until
    if state == "refused":
        return (tr("Leave refused by {who}: don't gather here", who=who) if who
                else tr("Leave refused: don't gather here"))
    if state == "expired" and until is not None:
        ended = full_day(until, today)
        return (tr("Leave by {who} ended {day}: ask again", who=who, day=ended) if who
                else tr("Leave ended {day}: ask again", day=ended))
    parts = [tr("Leave given by {who}", who=who) if who else tr("Leave given")]
    if until is not None:
        parts.append(tr("until {day}", day=day(until, today)))
    if leave.limit is not None:
        parts.append(tr("{mass} at most", mass=show_told(leave.limit)))
    return ", ".join(parts)


def edge_of(site: SiteNow, today: dt.date) -> Edge:
    """The colour that repeats what the words on leave say."""
    edges: dict[str, Edge] = {"given": "leaf", "not-asked": "amber", "expired": "amber", "refused": "madder"}
    return edges[site.leave_on(today)]


def way_words(site: SiteNow, here: Position | None) -> str:
    """How far and in which direction, or empty if the one or the other place is not known."""
    if here is None or site.position is None:
        return ""
    distance = distance_m(here, site.position)
    if distance < 1:
        return tr("here")
    return f"{show_distance(distance)}, {compass_word(bearing_deg(here, site.position))}"


def last_words(last: LotNow | None, today: dt.date, decimal: str = "") -> str:
    """The last windfall from there."""
    if last is None:
        return tr("Nothing logged here yet")
    return tr("Last windfall {day}: {mass}", day=day(last.gathered.date(), today),
              mass=range_words(last.net, decimal=decimal))


def title_of_all(sites: tuple[SiteNow, ...], today: dt.date) -> str:
    """How many trees, and how many of them one may not gather at."""
    if not sites:
        return tr("No trees yet")
    without = sum(site.leave_on(today) != "given" for site in sites)
    if not without:
        return tr_n("1 tree, leave for it", "{n} trees, leave for all of them", len(sites))
    return tr_n("1 tree, without leave", "{n} trees, {without} without leave", len(sites), without=without)
