"""What a planner's file tells, and what it keeps back."""

from __future__ import annotations

from dataclasses import dataclass

from field_app.core.problems import refuse
from field_app.words import tr

__all__ = ["EVERYTHING", "EXACT_PLACES", "GroupOptions", "PlannerOptions"]

#: Positions are kept to so many places of a degree (0.1 m).
EXACT_PLACES = 6


@dataclass(frozen=True, slots=True)
class PlannerOptions:
    """What leaves with a planner's file; without options as little as a planner needs.

    places: positions are rounded to so many places of a degree (0 to 5; 2 is about 1 km); 6 is as exact as a
    position is kept, and held as None, which is exact too.
    names: whether the sites' names go along; notes: whether the notes of lots and sites do.
    Who gave leave, and earlier versions of a record, never go along.
    Raises Refused if places is not 0 to 6 or None.

    >>> PlannerOptions().step, PlannerOptions(places=6) == PlannerOptions(places=None)
    ('0.01', True)
    """

    places: int | None = 2
    names: bool = False
    notes: bool = False

    def __post_init__(self) -> None:
        if self.places is not None and not 0 <= self.places <= EXACT_PLACES:
            raise refuse("places", tr("{number} is not a number of places to round to", number=self.places),
                         tr("Take 0 to {places}, such as 2 for about 1 km; {places} is exact.", places=EXACT_PLACES))
        if self.places == EXACT_PLACES:
            object.__setattr__(self, "places", None)

    @property
    def step(self) -> str:
        """The step to which positions are rounded [deg], as text, or an empty text if they are exact."""
        return "" if self.places is None else f"0.{'0' * (self.places - 1)}1" if self.places else "1"

    @property
    def people(self) -> bool:
        """Whether it is told who gave leave."""
        return False

    @property
    def columns(self) -> tuple[str, ...]:
        """The options that bring columns, as the table of columns names them."""
        wanted = (("names", self.names), ("notes", self.notes), ("people", self.people))
        return tuple(name for name, is_wanted in wanted if is_wanted)

    @property
    def withheld(self) -> str:
        """What every row says of what was left out (Darwin Core informationWithheld)."""
        kept = [("exact position", self.places is not None), ("name of the site", not self.names),
                ("notes", not self.notes), ("who gave leave", not self.people)]
        words = ", ".join(words for words, left_out in kept if left_out)
        return words and f"{words}: ask whoever made the file"

    def as_json(self) -> dict[str, int | bool | None]:
        """The options as the descriptor states them."""
        return {"places": self.places, "names": self.names, "notes": self.notes}


@dataclass(frozen=True, slots=True)
class GroupOptions(PlannerOptions):
    """What is in a group file: everything, for people who may know the trees."""

    places: int | None = None
    names: bool = True
    notes: bool = True

    @property
    def people(self) -> bool:
        """Whether it is told who gave leave."""
        return True


EVERYTHING = GroupOptions()
