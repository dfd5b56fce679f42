"""What is of a person's own, in words: figures as they are shown, tests, and where they hold."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Sequence
from urllib.parse import parse_qs, urlsplit

import flet as ft

from field_app.core.estimate import Range
from field_app.core.materials import Material, Parameter, scale_of
from field_app.core.own import OwnRecords, OwnTest, observed
from field_app.core.sites import SiteNow
from field_app.core.units import show_number
from field_app.ui.day_words import day
from field_app.words import later, state_words, tr

__all__ = ["EVERYWHERE", "TEST_WORDS", "asked", "line_of_test", "own_count", "places_for", "result_words",
           "shown_range", "use_place"]

EVERYWHERE = later("everywhere")
_NOT_CHOSEN = ("", "")
#: What the tests are called, and what each is in one line.
TEST_WORDS = {
    "dry": (later("Dry test"), later("Weigh a sample, dry it until it loses no more, weigh it again.")),
    "spent": (later("Spent test"),
              later("Weigh air-dry stuff, use it up in the kettle, dry it again, weigh it again.")),
    "reading": (later("Reading"), later("What the refractometer shows of the liquor, cooled to 20 °C.")),
}


def asked(route: str, name: str) -> str:
    """What an address asks for by name, or empty.

    >>> asked("/materials/butternut?site=urn:uuid:1", "site"), asked("/materials/butternut", "site")
    ('urn:uuid:1', '')
    """
    return parse_qs(urlsplit(route).query).get(name, [""])[-1]


def use_place() -> tuple[str, Callable[[str], None]]:
    """The place of which figures are shown, by its id or empty, and a handler that chooses another.

    It is the one that the address asks for until a person chooses, and again when the address changes.
    """
    route = ft.context.page.route or ""
    (chosen_at, chosen), choose = ft.use_state(_NOT_CHOSEN)
    return (chosen if chosen_at == route else asked(route, "site")), lambda site: choose((route, site))


def shown_range(row: Parameter) -> Range:
    """A figure in the unit in which it is shown.

    >>> from field_app.core.materials import material
    >>> shown_range(material("black-walnut").parameters["piece-whole-fruit"]).unit
    'g'
    """
    scale, unit = scale_of(row.unit, row.central)
    return Range(row.low * scale, row.central * scale, row.high * scale, unit)


def own_count(stuff: Material, default: Material) -> int:
    """How many figures of a material are not the table's [1]."""
    return sum(row is not default.parameters.get(name) for name, row in stuff.parameters.items())


def places_for(key: str, sites: Sequence[SiteNow], records: OwnRecords, chosen: str = "") -> list[tuple[str, str]]:
    """Where a figure of a material may hold: everywhere, and each place where it stands or was tested, or is chosen."""
    own = records.of(key)
    known = {value.facts.site for value in own.values} | {test.site for test in own.tests}
    known.add(chosen)
    found = [(site.id, site.name) for site in sites if key in site.facts.materials or site.id in known]
    return [("", tr(EVERYWHERE)), *found]


def result_words(test: OwnTest, stuff: Material, *, decimal: str = "") -> str:
    """What a test came to by itself, before it is weighed against the table."""
    share = math.exp(observed(test, stuff).value) * 100
    percent = show_number(share, decimal=decimal)
    return (tr("{percent} % dry matter", percent=percent) if test.facts.test == "dry"
            else tr("{percent} % went into the liquor", percent=percent))


def line_of_test(test: OwnTest, stuff: Material, today: dt.date, *, site: str = "", lot: str = "",
              decimal: str = "") -> str:
    """A test on one line: what, when, where, and what it came to."""
    when = day(dt.datetime.fromisoformat(test.facts.at).date(), today)
    where = " · ".join(part for part in (site, tr("lot {code}", code=lot) if lot else "", state_words(test.state))
                       if part)
    return f"{tr(TEST_WORDS[test.facts.test][0])}, {when} · {where} · {result_words(test, stuff, decimal=decimal)}"
