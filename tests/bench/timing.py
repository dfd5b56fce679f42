"""How fast forecasts are, each beside the bare arithmetic or the bare reading of the same data.

Run as ``python -m tests.bench.timing``; it prints one line an aim, and never fails for being slow.
The work and the bare work take turns for several rounds.
"""

import argparse
import bisect
import datetime as dt
import itertools
import math
import tempfile
from pathlib import Path

from field_app.core.fall import curve_of, plans, rot_of
from field_app.core.looks import LookFacts
from field_app.core.materials import material
from field_app.core.positions import Position
from field_app.core.ripeness import YEARLY, Seen, forecast
from field_app.store import open_book, timings
from tests.bench.store import taking_turns

TODAY = dt.date(2026, 10, 8)
NOW = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")
WALNUT = material("black-walnut")


def seen_at(tree):
    """Three own seasons and two looks of this one, a little different at every tree."""
    early = tree % 17
    found = []
    for year in (2023, 2024, 2025):
        found += [Seen(dt.date(year, 9, 5 + (early + year) % 9), "green"),
                  Seen(dt.date(year, 9, 16 + (early + year) % 12), "dented")]
    return (*found, Seen(dt.date(2026, 9, 15 + early % 5), "green"),
            Seen(dt.date(2026, 10, 1), None, 2 + early % 8, 10))


def bare(trees):
    """By hand, without reasons or checks: normal-normal, the cut at "not yet", and the dents on a grid of 200 days."""
    for tree in range(trees):
        early = tree % 17
        precision, total = 1 / 14.0**2, 209 / 14.0**2
        for year in (2023, 2024, 2025):
            low, high = 188 + (early + year) % 9, 199 + (early + year) % 12
            weight = 1 / (YEARLY**2 + (high - low) ** 2 / 12)
            precision, total = precision + weight, total + weight * (low + high) / 2
        mean, sd, cut, dented = total / precision, (1 / precision + YEARLY**2) ** 0.5, 198 + early % 5, 2 + early % 8
        weights = []
        for at in range(200):
            day = cut + at * 0.2
            share = 0.5 * math.erfc((day - 214) / 8.9 / math.sqrt(2))
            weights.append(math.exp(-0.5 * ((day - mean) / sd) ** 2) * share**dented * (1 - share) ** (10 - dented))
        below = list(itertools.accumulate(weights))
        [bisect.bisect_left(below, share * below[-1]) for share in (0.1, 0.5, 0.9)]


def filled(folder, trees):
    """A book of so many trees, each with the looks of :func:`seen_at`, appended in one go."""
    from field_app.core.records import Draft

    numbers = itertools.count(1)
    book = open_book(folder, clock=lambda: NOW, new_id=lambda: f"urn:uuid:00000000-0000-7000-8000-{next(numbers):012x}")
    drafts = []
    for tree in range(trees):
        site = f"urn:uuid:00000000-0000-7000-9000-{tree:012x}"
        drafts.append(Draft(site, "site", {"name": f"Tree {tree}", "materials": ["black-walnut"]}, (44.01, -28.0)))
        for number, one in enumerate(seen_at(tree)):
            facts = LookFacts(site=site, material="black-walnut", at=f"{one.day}T12:00:00-02:00", stage=one.stage,
                              dented=one.dented, pressed=one.pressed)
            drafts.append(Draft(f"urn:uuid:00000000-0000-7000-a{number:03x}-{tree:012x}", "look", facts.as_json()))
    book.log_book.append(drafts, now_ms=int(NOW.timestamp() * 1000))
    return book


def report(name, shortest, ratio, aim):
    work, bare_work = (time * 1000 for time in shortest)
    print(f"{name}: {work:.0f} ms, {ratio:.1f} x the bare work of {bare_work:.0f} ms (aim {aim})")


def main(arguments=None):
    """Print the figures."""
    options = argparse.ArgumentParser()
    options.add_argument("--trees", type=int, default=500)
    options.add_argument("--rounds", type=int, default=5)
    chosen = options.parse_args(arguments)
    place, seen = Position(44.01, -28.0), [seen_at(tree) for tree in range(chosen.trees)]

    def forecasts():
        for one in seen:
            forecast(place, WALNUT, one, TODAY)

    shortest, (ratio,) = taking_turns(chosen.rounds, forecasts, lambda: bare(chosen.trees))
    report(f"forecast of {chosen.trees} trees with dents and reasons", shortest, ratio, "5")
    told = [forecast(place, WALNUT, one, TODAY) for one in seen]

    def planned():
        for one in told:
            plans(one, curve_of(one.belief, WALNUT), rot_of(WALNUT), TODAY, 4)

    shortest, (ratio,) = taking_turns(chosen.rounds, planned, forecasts)
    report(f"the best one to four visits to {chosen.trees} trees, beside their forecasts", shortest, ratio, "5")
    with tempfile.TemporaryDirectory() as scratch:
        book = filled(Path(scratch) / "book", chosen.trees)

        def reading():
            book.sites()
            for thing in book.log_book.things("look"):
                LookFacts.model_validate(dict(thing.facts))

        shortest, (ratio,) = taking_turns(chosen.rounds, lambda: timings(book), reading)
        report(f"forecasts of {chosen.trees} trees out of a book, beside reading it", shortest, ratio, "10")
        book.close()


if __name__ == "__main__":
    main()
