"""What the screens say about a tree or another site: what stands there, leave, how far, what fell last."""

from __future__ import annotations

import datetime as dt

from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS
from field_app.core.positions import Position, bearing_deg, compass_word, distance_m, show_distance
from field_app.core.sites import SiteNow
from field_app.core.units import show_measure
from field_app.ui.day_words import day, full_day, span
from field_app.ui.parts import Edge, range_words
from field_app.words import later, tr, tr_n

__all__ = ["WORD_ON_LEAVE", "edge_of", "last_words", "leave_short", "leave_words", "lower_first", "site_route",
           "stands_there", "title_of_all", "way_words"]

_URN = "urn:uuid:"
_NOT_LOWERED = (later("English"),)
#: What a state of leave is called where one chooses it.
WORD_ON_LEAVE = (("given", "given"), ("refused", "refused"), ("not-asked", later("not asked yet")))


def lower_first(name: str) -> str:
    """A name inside a sentence.

    >>> lower_first("Black walnut"), lower_first("English oak bark")
    ('black walnut', 'English oak bark')
    """
    return name if name.startswith(_NOT_LOWERED) else name[:1].lower() + name[1:]


def site_route(site: str) -> str:
    """The address of a site's screen, from its id."""
    return f"/trees/{site.removeprefix(_URN)}"


def stands_there(site: SiteNow) -> str:
    """What one gathers there; a material that this version doesn't know keeps its bare name."""
    names = [MATERIALS[key].name if key in MATERIALS else key for key in site.facts.materials]
    if not names:
        return tr("What stands there is not noted")
    return ", ".join([names[0], *(lower_first(name) for name in names[1:])])


def leave_short(site: SiteNow, today: dt.date) -> str:
    """Leave in a few words, as they follow the name of the site in a title."""
    state = site.leave_on(today)
    until = site.leave.until if site.leave else None
    if state == "given":
        if until is None:
            return tr("leave given")
        near = abs((until - today).days) <= 1
        return tr("leave until {value}", value=day(until, today) if near else span(until, until, today))
    return {"refused": tr("leave refused"), "expired": tr("leave has ended")}.get(state, tr("no leave yet"))


def leave_words(site: SiteNow, today: dt.date) -> str:
    """Leave in one line: whether, from whom, until when, how much, and what to do if there is none."""
    leave, state = site.leave, site.leave_on(today)
    if leave is None or state == "not-asked":
        return tr("Leave not asked yet: ask {by}", by=leave.by) if leave and leave.by else tr("Leave not asked yet")
    who = f" by {leave.by}" if leave.by else ""
    if state == "refused":
        return tr("Leave refused{who}: don't gather here", who=who)
    until = leave.until
    if state == "expired" and until is not None:
        return tr("Leave{who} ended {full_day}: ask again", who=who, full_day=full_day(until, today))
    parts = [tr("Leave given{who}", who=who)]
    if until is not None:
        parts.append(f"until {day(until, today)}")
    if leave.limit is not None:
        parts.append(tr("{typed} at most", typed=leave.limit.typed or show_measure(leave.limit)))
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
        return "here"
    return f"{show_distance(distance)}, {compass_word(bearing_deg(here, site.position))}"


def last_words(last: LotNow | None, today: dt.date, decimal: str = "") -> str:
    """The last windfall from there."""
    if last is None:
        return tr("Nothing logged here yet")
    return tr("Last windfall {day}: {range_words}", day=day(last.gathered.date(), today),
              range_words=range_words(last.net, decimal=decimal))


def title_of_all(sites: tuple[SiteNow, ...], today: dt.date) -> str:
    """How many trees, and how many of them one may not gather at."""
    if not sites:
        return tr("No trees yet")
    many = tr("1 tree") if len(sites) == 1 else f"{len(sites)} trees"
    without = sum(site.leave_on(today) != "given" for site in sites)
    if not without:
        return tr_n("{it}, leave for it", "{it}, leave for all of them", len(sites), it=many)
    return tr("{it}, without leave", it=many) if without == len(sites) == 1 else tr("{it}, {without} without leave",
                                                                                    it=many,
                                                                          without=without)
