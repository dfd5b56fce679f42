"""The facts of each kind of record, as they are stored: frozen, checked when made, unknown members kept.

Amounts are kept as they were typed (decimal text with a unit); SI values are worked out from them.
"""

from __future__ import annotations

import datetime as dt
import re
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, PlainSerializer

from field_app.core.misfits import Unfit
from field_app.core.units import Measure
from field_app.words import later

__all__ = ["DrawFacts", "Facts", "FixFacts", "LeaveFacts", "LotFacts", "SiteFacts", "StepFacts", "StepKind",
           "gathered_at"]

_RFC3339 = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(Z|[+-]\d{2}:\d{2})\Z", re.ASCII)
_NO_MOMENT = later("must be a date and time such as 2026-10-08T15:24:00-02:00")


def _measure(value: Any) -> Any:
    return Measure.from_json(value) if isinstance(value, dict) else value


def _local_time(text: str) -> str:
    # A library's reading of dates is wider than the standard: it takes a number, or a space for the T.
    if not _RFC3339.match(text):
        raise Unfit(_NO_MOMENT)
    try:
        dt.datetime.fromisoformat(text)
    except ValueError:  # such as the 31st of a month with 30 days
        raise Unfit(_NO_MOMENT) from None
    return text


MeasureFact = Annotated[
    Measure, BeforeValidator(_measure), PlainSerializer(lambda measure: measure.as_json())]
LocalTime = Annotated[str, AfterValidator(_local_time)]


class Facts(BaseModel):
    """What all facts share: they can't be changed, and members from a newer version are kept."""

    model_config = ConfigDict(frozen=True, extra="allow", arbitrary_types_allowed=True)

    def as_json(self) -> dict[str, Any]:
        """Plain JSON data without floats, empty members left out."""
        return self.model_dump(mode="json", exclude_none=True, exclude_defaults=True)


class FixFacts(Facts):
    """How a position came to be known: by the device (with its radius [m]), typed, or pasted."""

    source: Literal["device", "typed", "pasted"]
    accuracy: str | None = None
    meaning: Literal["95 %", "68 %", "unknown"] = "unknown"


class SiteFacts(Facts):
    """A place where one gathers: its name, what stands there, and a note such as "behind the gate"."""

    name: str
    materials: tuple[str, ...] = ()
    note: str = ""
    fix: FixFacts | None = None


class LeaveFacts(Facts):
    """Leave to gather at a site: given, refused or not asked yet; from whom, until when, how much."""

    site: str
    state: Literal["given", "refused", "not-asked"]
    by: str = ""
    until: dt.date | None = None
    limit: MeasureFact | None = None
    note: str = ""


class LotFacts(Facts):
    """One load from one place and time, as it was weighed, counted or poured into pails.

    ripeness: a key of the table of ripeness, or None where it has no meaning (bark);
    condition: fresh, soaked (and drained) or air-dry;
    gross, tare: masses on the scale; count: fruits or pieces [1];
    pails: how many, as decimal text; pail: the volume of one; fill: share of it that is full, decimal text;
    division: the smallest step of the scale; scale: its class, where it was verified;
    sample: masses of counted pieces that were weighed, in turns of ``sample_each`` pieces [1];
    gathered: RFC 3339 local time with its offset, as the person saw it; wood: that bark came from.
    """

    site: str
    material: str
    part: str
    basis: Literal["weighed", "counted", "poured"]
    gathered: LocalTime
    ripeness: str | None = None
    condition: Literal["fresh", "soaked", "air-dry"] = "fresh"
    gross: MeasureFact | None = None
    tare: MeasureFact | None = None
    count: int | None = None
    pails: str | None = None
    pail: MeasureFact | None = None
    fill: str | None = None
    division: MeasureFact | None = None
    scale: Literal["III", "IIII"] | None = None
    sample: tuple[MeasureFact, ...] = ()
    sample_each: int = 1
    fix: FixFacts | None = None
    note: str = ""
    wood: Literal["felled", "pruned", "wind-thrown"] | None = None


StepKind = Literal["weighed", "soaked", "boiled", "strained", "dried", "spent", "spoiled"]


class StepFacts(Facts):
    """What was done with a lot after it was gathered, and what there was of it then.

    mass: net, after the pail was taken off; volume: of liquor; nuts: kept for food, a mass beside the lot's own;
    at: RFC 3339 local time with its offset.
    """

    lot: str
    step: StepKind
    at: LocalTime
    mass: MeasureFact | None = None
    volume: MeasureFact | None = None
    nuts: MeasureFact | None = None
    note: str = ""


class DrawFacts(Facts):
    """What was taken from a lot: a mass or a volume of liquor, by whom and for what.

    at: RFC 3339 local time with its offset.
    """

    lot: str
    amount: MeasureFact
    at: LocalTime
    by: str = ""
    purpose: str = ""


def gathered_at(facts: LotFacts) -> dt.datetime:
    """When the lot was gathered, with the offset that the person saw."""
    return dt.datetime.fromisoformat(facts.gathered)
