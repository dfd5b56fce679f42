"""What a person is used to, on this device: measures, decimal sign, dates, clock, hand, language, light.

The law of this file:

1. One person sits before one program, so what they are used to is held once, for all of its threads.
2. Every text for a person is made by it, unless a caller says otherwise; a record, a hash or a file for another
   program never is: within :func:`field_app.words.english` the plain habits hold, whatever the person chose.
3. It is no record: it stays on its device and is never handed on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass, fields, replace
from typing import Any, Literal, get_args

from field_app.core.problems import Problem, Refused
from field_app.words import LANGUAGES, decimal_sign, for_programs, later, speak, tr

__all__ = ["PLAIN", "Clock", "Dates", "Decimal", "Habits", "Hand", "Light", "Measures", "go_by", "habits",
           "habits_from", "person", "used_to"]

#: kg, L and °C; or pounds, gallons and °F, with the gallon of the United States or of Britain.
Measures = Literal["metric", "us", "imperial"]
#: The decimal sign.
Decimal = Literal[".", ","]
#: 8 Oct 2026, Oct 8 2026, or 2026-10-08.
Dates = Literal["day-month", "month-day", "iso"]
#: 15:00, or 3:00 pm.
Clock = Literal["24", "12"]
#: The hand that holds the device, at whose thumb the main things lie.
Hand = Literal["right", "left"]
#: How the screen is lit: as the device says, day, night, or full sun.
Light = Literal["device", "day", "night", "sun"]

_VALUES: Mapping[str, tuple[str, ...]] = {
    "measures": get_args(Measures), "decimal": get_args(Decimal), "dates": get_args(Dates), "clock": get_args(Clock),
    "hand": get_args(Hand), "language": tuple(LANGUAGES), "light": get_args(Light)}
#: What a person may type besides, as on a command line where a lone sign is hard to read.
_ALSO = {"decimal": {"point": ".", "comma": ","}}
#: How each is called in a message.
_NAMES = {"measures": later("measures"), "decimal": later("decimal sign"), "dates": later("dates"),
          "clock": later("clock"), "hand": later("hand"), "language": later("language"), "light": later("light")}


@dataclass(frozen=True, slots=True)
class Habits:
    """What a person is used to. Raises Refused for a value that is not offered.

    measures, decimal, dates, clock, hand, light: as above; language: a key of LANGUAGES.
    """

    measures: Measures = "metric"
    decimal: Decimal = "."
    dates: Dates = "day-month"
    clock: Clock = "24"
    hand: Hand = "right"
    language: str = "en"
    light: Light = "device"

    def __post_init__(self) -> None:
        wrong = [_problem(name, value) for name, value in asdict(self).items() if value not in _VALUES[name]]
        if wrong:
            raise Refused(wrong)

    @property
    def gallons(self) -> Literal["us", "imp"]:
        """Whose gallon, quart and bushel is meant where nobody says."""
        return "imp" if self.measures == "imperial" else "us"

    def as_texts(self) -> dict[str, str]:
        """What differs from the plain habits, as it is kept."""
        return {name: value for name, value in asdict(self).items() if value != getattr(PLAIN, name)}

    def changed(self, **values: Any) -> Habits:
        """The same with other values. Raises Refused for one that is not offered."""
        return replace(self, **values)


def _problem(name: str, value: object) -> Problem:
    choices = [*_VALUES[name], *_ALSO.get(name, ())]
    return Problem(name, tr("{value} is no choice of the {name}", value=f"{value!r:.40}", name=tr(_NAMES[name])),
                   tr("Choose one of: {choices}.", choices="  ".join(choices)))


PLAIN = Habits()
_held = {"now": PLAIN}


def habits() -> Habits:
    """What the person who reads is used to; the plain habits for what other programs read."""
    return PLAIN if for_programs() else _held["now"]


def person() -> Habits:
    """What the person who types is used to, also where what is written now is for other programs."""
    return _held["now"]


def go_by(chosen: Habits) -> None:
    """From now on, everything is shown so."""
    try:
        speak(chosen.language)
    except OSError:  # a build may have come without the catalogue
        speak("en")
    _hold(chosen)


def _hold(chosen: Habits) -> None:
    decimal_sign(chosen.decimal)
    _held["now"] = chosen


@contextmanager
def used_to(**values: Any) -> Iterator[Habits]:
    """Shown so for as long as this lasts, such as a sample of a choice. Raises Refused for a value not offered."""
    before = _held["now"]
    chosen = before.changed(**values)
    _hold(chosen)
    try:
        yield chosen
    finally:
        _hold(before)


def habits_from(texts: Mapping[str, str], before: Habits = PLAIN, *, strict: bool = False) -> Habits:
    """Habits with what the texts say in place of what they were before.

    What is not known here, as from a newer program, is left out; or refused, if ``strict``.

    >>> habits_from({"measures": "us", "decimal": "comma", "scent": "walnut"})
    Habits(measures='us', decimal=',', dates='day-month', clock='24', hand='right', language='en', light='device')
    """
    names = {field.name for field in fields(Habits)}
    found = {name: _ALSO.get(name, {}).get(text, text) for name, text in texts.items() if name in names and text}
    if not strict:
        found = {name: value for name, value in found.items() if value in _VALUES[name]}
    return before.changed(**found)
