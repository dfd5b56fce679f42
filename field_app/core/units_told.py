"""Says which gallon and which bushel was meant, since both are read without asking."""

from __future__ import annotations

from field_app.core.measures import factor_si
from field_app.words import later, tr

__all__ = ["units_told"]

_NAMES = {"us": {"bushel": ("bu-us", later("struck US bushel")), "gallon": ("gal-us", later("US liquid gallon")),
                 "quart": ("qt-us", later("US liquid quart"))},
          "imperial": {"bushel": ("bu-imp", later("imperial bushel")), "gallon": ("gal-imp", later("imperial gallon")),
                       "quart": ("qt-imp", later("imperial quart"))}}


def units_told(gallons: str) -> dict[str, str]:
    """What bushel, gallon and quart meant in what was typed; gallons: "us" or "imperial".

    >>> units_told("us")["bushel"], units_told("imperial")["gallon"]
    ('struck US bushel, 35.23907 L', 'imperial gallon, 4.54609 L')
    """
    return {"system": gallons, **{word: f"{tr(name)}, {round(factor_si(key), 5)} L"
                                  for word, (key, name) in _NAMES[gallons].items()}}
