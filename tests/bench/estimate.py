"""How fast one whole estimate is, beside the same chain by 10,000 draws with numpy.

Run as ``python -m tests.bench.estimate``; it prints one line an aim, and never fails for being slow.
The estimate goes from the facts of a lot to hull, dry matter, liquor, cloth, shares of the variance and reasons;
the draws go from the same inputs to the same quantities and their quantiles, without any words.
Both take turns for several rounds.
"""

import argparse
import math

import numpy as np

from field_app.core.brew import Brew
from field_app.core.liquor import liquor_of
from field_app.core.liquor_chain import chain, factors_of, fixed
from field_app.core.load import estimate_lot
from field_app.core.materials import material
from field_app.core.spread import spread
from field_app.core.units import Measure
from tests.bench.store import taking_turns
from tests.core.drawn import brewed, draws_of, ends_of
from tests.core.lots_for_tests import fruit

DRAWS = 10_000
LOT = fruit(basis="poured", pails="1", pail=Measure("1", "bu-us"), ripeness="fallen")


class Bench:
    def __init__(self, rounds):
        self.rounds = rounds
        self.stuff, self.brew = material(LOT.material), Brew()
        load = estimate_lot(LOT, self.stuff)
        self.factors = factors_of(load, self.stuff, self.brew)
        self.numbers = fixed(self.factors, self.stuff, self.brew)
        rest = [one for name, one in self.factors.items() if name != "fresh"]
        self.inputs = [load.factors["net"], load.factors["hull share"], *rest]
        self.cloth = [load.factors["strength"], *(shade.wof for shade in load.shades)]
        self.rng = np.random.default_rng(1)

    def whole(self):
        """Everything that a screen shows of a lot and its liquor."""
        return liquor_of(estimate_lot(LOT, self.stuff), self.stuff, self.brew)

    def figures(self):
        """The liquor's figures alone, from its inputs."""
        return spread(list(self.factors.values()), lambda values: chain(values, self.numbers))

    def drawn(self):
        """The same figures by draws."""
        net, share, *rest = (draws_of(one, DRAWS, self.rng) for one in self.inputs)
        hull = net * share
        dry = hull * rest[0]
        numbers = self.numbers
        liquor = brewed(hull, *rest, water=numbers.first, further=numbers.further, surface=numbers.surface,
                        hours=numbers.hours, gains=numbers.gains)
        strength, *wofs = (draws_of(one, DRAWS, self.rng) for one in self.cloth)
        cloth = [dry / 0.9 * strength / wof for wof in wofs]
        return [ends_of(values) for values in (hull, dry, *liquor, *cloth)]

    def chained(self):
        """The chain once for each of the draws, as a program without numpy would do it."""
        columns = [draws_of(one, DRAWS, self.rng).tolist() for one in self.factors.values()]
        return [chain(values, self.numbers) for values in zip(*columns, strict=True)]

    def lines(self):
        """One line an aim."""
        (whole, _), (ratio,) = taking_turns(self.rounds, self.whole, self.drawn)
        yield (f"whole estimate: {whole * 1000:.2f} ms (aim 1), {1 / ratio:.1f} x faster than {DRAWS:,} draws "
               "with numpy (aim 100)")
        (figures, _), (ratio,) = taking_turns(self.rounds, self.figures, self.drawn)
        yield (f"its figures alone: {figures * 1000:.2f} ms, {1 / ratio:.1f} x faster than {DRAWS:,} draws with numpy "
               "(aim 100)")
        (whole, _), (ratio,) = taking_turns(max(3, math.ceil(self.rounds / 20)), self.whole, self.chained)
        yield f"whole estimate: {1 / ratio:.0f} x faster than {DRAWS:,} draws without numpy (aim 100)"


def main(arguments=None):
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--rounds", type=int, default=200, help="rounds, of which the best counts [1]")
    for line in Bench(parser.parse_args(arguments).rounds).lines():
        print(line, flush=True)


if __name__ == "__main__":
    main()
