"""A better position for a site: fixes taken beside it are put together with the one that is noted."""

from __future__ import annotations

import math
from collections.abc import Sequence

from field_app.core.facts import SiteFacts
from field_app.core.finding import Combined, combine, radius_95, sigma_m
from field_app.core.forms import Decision
from field_app.core.gather import fix_facts
from field_app.core.positions import Fix, Position, distance_m
from field_app.core.problems import Problem
from field_app.core.records import Draft, Thing
from field_app.words import tr

__all__ = ["decide_fix", "decide_place", "disagree", "noted_fix", "together"]

#: So many standard deviations apart, two fixes are hardly of one spot [1]; and never below this distance [m]
#: (common practice, no source).
_APART, _LEAST_M = 3.0, 30.0


def noted_fix(facts: SiteFacts, position: Position | None) -> Fix | None:
    """The position that is noted of a site as a fix, or None if it has none."""
    if position is None:
        return None
    told = facts.fix
    if told is None:
        return Fix(position, "typed")
    return Fix(position, told.source, None if told.accuracy is None else float(told.accuracy), told.meaning)


def disagree(noted: Fix | None, fix: Fix) -> bool:
    """Whether a fix lies so far from the noted position that both can hardly be of one spot."""
    if noted is None:
        return False
    spread = math.hypot(*(sigma_m(one.accuracy_m, one.meaning) for one in (noted, fix) if one.accuracy_m is not None))
    return distance_m(noted.position, fix.position) > max(_LEAST_M, _APART * spread, radius_95(spread))


def together(noted: Fix | None, fixes: Sequence[Fix], *, instead: bool = False) -> Combined:
    """The fixes put together with the noted position, or taken instead of it.

    A position that was typed or pasted without a radius is a statement, not a measurement: it has no weight beside a
    fix, so it gives way to it.
    """
    measured = [] if noted is None or noted.accuracy_m is None or instead else [noted]
    return combine([*measured, *fixes])


def decide_fix(site: Thing, fixes: Sequence[Fix], *, instead: bool = False) -> Decision:
    """The site with its position corrected by fixes that were taken beside it; what else is told of it stays.

    instead: leave the noted position out, because it is wrong.
    """
    if not fixes:
        return Decision(problems=(Problem("position", tr("no fix was taken"), tr("Ask the device where you are.")),))
    facts = SiteFacts.model_validate(dict(site.facts))
    noted = noted_fix(facts, None if site.position is None else Position(*site.position))
    return decide_place(site, together(noted, fixes, instead=instead).fix)


def decide_place(site: Thing, found: Fix) -> Decision:
    """The site with this position in place of the one noted so far; what else is told of it stays."""
    facts = SiteFacts.model_validate(dict(site.facts))
    told = facts.model_copy(update={"fix": fix_facts(found)})
    draft = Draft(site.id, "site", told.as_json(), (found.position.lat, found.position.lon), site.heads)
    return Decision((draft,), site.id)
