"""A counted load: so many pieces, each as heavy as the table says, or as a few that were weighed say.

A weighed sample may be single pieces or handfuls of the same number. From two weighings on, their own scatter gives
the interval of the mean (sampling.py); a single one is judged by the scatter of the table. The scale is the same for
the whole sample, so its error does not shrink with it.
"""

from __future__ import annotations

import math

from field_app.core.estimate import Z90, Range, Reason, exact, product
from field_app.core.facts import LotFacts
from field_app.core.problems import Problem
from field_app.core.sampling import Mean, mean_of, t_quantile
from field_app.core.surer import SCALE
from field_app.core.units import show_ends, show_round
from field_app.words import later, tr

__all__ = ["MOST_SAMPLES", "counted_mass", "sample_problems"]

#: More weighings than anyone types in one go [1].
MOST_SAMPLES = 200
_PRACTICE = later("common practice, no source")
_RANDOM = later("mean, t-interval, finite population: Cochran 1977, section 2.7; pieces taken at random, not by "
                "size")


def sample_problems(facts: LotFacts) -> list[Problem]:
    """What is wrong with the weighed sample of a counted load; empty if there is none, or nothing is."""
    if not facts.sample:
        return []
    found = []
    if len(facts.sample) > MOST_SAMPLES:
        found.append(Problem("sample", tr("{count} weighings are more than fit", count=len(facts.sample)),
                             tr("Give {most} at most.", most=MOST_SAMPLES)))
    if facts.sample_each < 1:
        found.append(Problem("sample each", tr("{count} is nothing", count=facts.sample_each),
                             tr("Give how many were weighed at a time.")))
    for mass in facts.sample:
        if mass.kind != "mass" or not mass.si > 0:
            found.append(Problem("sample", tr("{typed} is not the mass of a piece", typed=mass.typed or mass),
                                 tr("Give what the scale showed, as in {example}.", example=show_round(0.068, "g"))))
    weighed = len(facts.sample) * facts.sample_each
    if facts.count is not None and weighed > facts.count:
        found.append(Problem("sample", tr("{weighed} were weighed, but only {count} were counted", weighed=weighed,
                                          count=facts.count),
                             tr("Count them again, or give how many were weighed at a time.")))
    return found


def counted_mass(facts: LotFacts, piece: Range, one: str) -> Range:
    """The mass of a counted load [kg]; piece: the mass of one by the table [kg]; one: a piece, in words."""
    assert facts.count is not None  # amount_problems has seen to it
    pieces = exact(float(facts.count), "1", Reason(tr("counted"), str(facts.count), "counted"))
    return product(pieces, _sampled(facts, piece, one) if facts.sample else piece, unit="kg")


def _sampled(facts: LotFacts, piece: Range, one: str) -> Range:
    assert facts.count is not None
    each, weighings = facts.sample_each, len(facts.sample)
    found = mean_of([mass.si / each for mass in facts.sample], facts.count // each)
    if weighings > 1:
        off = t_quantile(0.9, weighings - 1) * found.error / found.mean
    else:
        single = (math.log(piece.high) - math.log(piece.low)) / (2 * Z90)
        off = Z90 * Mean(1.0, single / math.sqrt(each), 1, facts.count // each).error
    factor = math.exp(math.hypot(off, math.log(SCALE)))
    shown = show_ends(1000 * found.mean / factor, 1000 * found.mean, 1000 * found.mean * factor, "g")
    handfuls = f"{weighings} × {each}" if each > 1 else str(weighings)
    scale = tr("scale ± {share:.0f} %: {source}", share=(SCALE - 1) * 100, source=tr(_PRACTICE))
    scatter = tr(_RANDOM) if weighings > 1 else tr("scatter of single pieces as in the table")
    reason = Reason(tr("{piece}, {handfuls} weighed", piece=one, handfuls=handfuls), shown, "weighed",
                    f"{scatter}; {scale}")
    return Range(found.mean / factor, found.mean, found.mean * factor, "kg", (reason,))
