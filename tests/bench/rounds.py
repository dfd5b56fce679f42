"""How fast a round is planned, each figure beside what the bare distances between its places take.

Run as ``python -m tests.bench.rounds``; it prints one line an aim, and never fails for being slow.
"""

import argparse
import datetime as dt
import random

from field_app.core.estimate import Range
from field_app.core.positions import Position, distance_m
from field_app.core.rounds import Candidate, Wish, plan_round
from field_app.core.tours import length, matrix, short_path
from tests.bench.store import taking_turns
from tests.outside.tsplib import BERLIN52, euclid

HOME = Position(44.01, -28.005)
NOON = dt.datetime.fromisoformat("2026-10-08T12:00:00-02:00")


def trees(count, seed=4):
    """So many trees within a few kilometres, each with a few kilograms."""
    rng = random.Random(seed)
    found = []
    for at in range(count):
        kg = rng.uniform(0.5, 15)
        place = Position(HOME.lat + rng.uniform(-0.03, 0.03), HOME.lon + rng.uniform(-0.04, 0.04))
        found.append(Candidate(f"{at}", f"Tree {at}", place, Range(kg / 2, kg, kg * 2, "kg"), kg,
                               rng.choice([0.0, kg / 3])))
    return found


def planned(count, rounds, wish, words):
    """A round, beside the distances between all its places."""
    scene = trees(count)
    places = [HOME, *(one.position for one in scene)]
    times, ratios = taking_turns(rounds, lambda: plan_round(scene, HOME, NOON, wish),
                                 lambda: matrix(places, distance_m))
    aim = 1 if count <= 52 else 5
    return (f"round of {count}{words}: {times[0]:.2f} s (aim {aim}), {ratios[0]:.2f} x the bare distances "
            f"({times[1]:.2f} s)")


def ordered(rounds):
    """The order of 52 places whose shortest tour is published."""
    legs = matrix(BERLIN52, euclid)
    above = length(short_path(legs), legs) / 7542 - 1
    times, _ = taking_turns(rounds, lambda: short_path(legs))
    return f"order of 52: {times[0]:.2f} s (aim 1), {above:.2%} above the shortest (aim 1 %)"


def lines(counts, rounds):
    """One line an aim."""
    yield ordered(rounds)
    for count in counts:
        yield planned(count, rounds, Wish(), "")
        yield planned(count, rounds, Wish(until=NOON + dt.timedelta(hours=4), carry=40), " in 4 h with 40 kg")


def main(arguments=None):
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--stops", type=int, nargs="*", default=[52, 200], help="how many stops [1]")
    parser.add_argument("--rounds", type=int, default=3, help="rounds, of which the best counts [1]")
    chosen = parser.parse_args(arguments)
    for line in lines(chosen.stops, chosen.rounds):
        print(line, flush=True)


if __name__ == "__main__":
    main()
