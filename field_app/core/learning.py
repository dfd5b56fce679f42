"""How own measurements narrow a factor: normal prior, normal observations, in closed form.

A positive factor is log-normal, so everything here is done with its logarithm.
Precisions (1 / variance) add, so the order of observations plays no part, an observation left out is as if it
had never been made, and what is known never becomes less sure.

Own measurements come from lots, and lots from sites. A lot differs from the others of its site, a site from the
other sites, and both are part of the spread of the prior: what one lot teaches of another is less than what it
teaches of itself. The shares of that spread are a working assumption without source (``LOT_SHARE``, ``SITE_SHARE``).
The levels form a tree, so passing what is known up and down gives the exact answer of the joint normal
distribution.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from field_app.core.estimate import Z90, Range

__all__ = ["LOT_SHARE", "SITE_SHARE", "Known", "Seen", "known_of", "learn", "pooled", "range_of", "spread_of",
           "updated"]

#: Share of the prior's variance by which the lots of one site differ [1]; a working assumption, no source.
LOT_SHARE = 0.25
#: Share of the prior's variance by which sites differ [1]; a working assumption, no source.
SITE_SHARE = 0.25


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of a quantity, as a normal distribution; for a factor, of its logarithm [1].

    mean, sd: in the unit of the quantity; centre: the value that custom holds for the most usual one, which an
    observation moves as it moves the mean (the mean itself, if left out).
    Raises ValueError if the standard deviation is below zero, or anything is not finite.
    """

    mean: float
    sd: float
    centre: float | None = None

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.mean, self.sd, self.mid))) or self.sd < 0:
            raise ValueError(f"mean and deviation must be finite, the latter not below zero: {self}")

    @property
    def mid(self) -> float:
        """The usual value: the centre, or the mean where none was given."""
        return self.mean if self.centre is None else self.centre


@dataclass(frozen=True, slots=True)
class Seen:
    """One observation: its value, its own standard deviation, and the site and lot it was made on, if known.

    For a factor, value and sd are those of the logarithm. Raises ValueError if sd is not above zero.
    """

    value: float
    sd: float
    site: str = ""
    lot: str = ""

    def __post_init__(self) -> None:
        if not math.isfinite(self.value) or not 0 < self.sd < math.inf:
            raise ValueError(f"an observation needs a finite value and a deviation above zero: {self}")


def updated(prior: Known, seen: Iterable[Seen]) -> Known:
    """The posterior of a normal mean with known deviations: precisions add, means weigh by them.

    The law is that of the conjugate normal (A. Gelman et al., Bayesian Data Analysis, 3rd ed., section 2.5).
    Five observations on a prior of 30 ± 4, each with a variance of 7.335:

    >>> told = [Seen(value, 7.335 ** 0.5) for value in (31.1, 28.2, 34.2, 35, 31.5)]
    >>> after = updated(Known(30, 4), told)
    >>> round(after.mean, 4), round(after.sd, 4)
    (31.832, 1.1592)
    """
    if prior.sd == 0:
        return prior  # what is certain can't be taught
    # Sorted and summed exactly, so that the order can't even change the last digit.
    told = sorted(seen, key=lambda one: (one.value, one.sd))
    if not told:
        return prior
    own = 1 / prior.sd**2
    weights = [1 / one.sd**2 for one in told]
    precision = math.fsum([own, *weights])
    pull = math.fsum(weight * one.value for weight, one in zip(weights, told, strict=True))
    after = [(own * start + pull) / precision for start in (prior.mean, prior.mid)]
    return Known(after[0], min(precision**-0.5, prior.sd), after[1])


def pooled(seen: Iterable[Seen]) -> Seen | None:
    """Several observations of one quantity as one, without any prior; None if there are none.

    >>> pooled([Seen(1.0, 1.0), Seen(3.0, 1.0)]).value
    2.0
    """
    told = sorted(seen, key=lambda one: (one.value, one.sd))
    if not told:
        return None
    weights = [1 / one.sd**2 for one in told]
    precision = math.fsum(weights)
    value = math.fsum(weight * one.value for weight, one in zip(weights, told, strict=True)) / precision
    return Seen(value, precision**-0.5, told[0].site, told[0].lot)


def learn(prior: Known, seen: Sequence[Seen], *, site: str = "", lot: str = "") -> Known:
    """What is known of a lot, or of the next lot at a site, from a prior for any lot and all observations.

    site, lot: of which it is asked; empty for a lot of a site that is not known, or a lot not yet seen.
    An observation without lot counts as one of a lot of its own; one without site, as of a site of its own.
    The result is never less sure than the prior, which it is where nothing was observed.
    """
    if not seen or prior.sd == 0:
        return prior
    lot_sd, site_sd = prior.sd * LOT_SHARE**0.5, prior.sd * SITE_SHARE**0.5
    base = Known(prior.mean, prior.sd * (1 - LOT_SHARE - SITE_SHARE) ** 0.5, prior.mid)
    sites: dict[str, dict[str, list[Seen]]] = {}
    for number, one in enumerate(seen):
        lots = sites.setdefault(one.site or f"site of {one.lot or number}", {})
        lots.setdefault(one.lot or f"lot of {number}", []).append(one)
    own_lots = sites.pop(site, {}) if site else {}
    own = own_lots.pop(lot, []) if lot else []
    elsewhere = [_wider(of_site, site_sd) for lots in sites.values()
                 if (of_site := pooled(_lots(lots, lot_sd))) is not None]
    here = _loosened(updated(base, elsewhere), site_sd)
    here = updated(here, _lots(own_lots, lot_sd))
    after = updated(_loosened(here, lot_sd), own)
    return Known(after.mean, min(after.sd, prior.sd), after.mid)


def _lots(lots: dict[str, list[Seen]], lot_sd: float) -> list[Seen]:
    return [_wider(one, lot_sd) for told in lots.values() if (one := pooled(told)) is not None]


def _wider(seen: Seen, sd: float) -> Seen:
    return Seen(seen.value, math.hypot(seen.sd, sd), seen.site, seen.lot)


def _loosened(known: Known, sd: float) -> Known:
    return Known(known.mean, math.hypot(known.sd, sd), known.mid)


def spread_of(factor: float) -> float:
    """The standard deviation of a logarithm [1] whose 10 % and 90 % lie this factor either way.

    >>> round(spread_of(1.03), 4)
    0.0231
    """
    return math.log(factor) / Z90


def known_of(factor: Range) -> Known:
    """The logarithm of a positive factor, log-normal through its low and high, its centre at the central value.

    Raises ValueError if it reaches zero.
    """
    if factor.low <= 0:
        raise ValueError("only a factor above zero has a logarithm")
    low, high = math.log(factor.low), math.log(factor.high)
    return Known((low + high) / 2, (high - low) / (2 * Z90), math.log(factor.central))


def range_of(known: Known, unit: str, *, most: float = math.inf) -> Range:
    """The factor of a logarithm, as low, central and high [unit]; none of the three is above ``most``.

    >>> back = range_of(known_of(Range(0.12, 0.15, 0.25, "1")), "1")
    >>> [round(value, 3) for value in (back.low, back.central, back.high)]
    [0.12, 0.15, 0.25]
    """
    half = Z90 * known.sd
    low, high = (min(most, math.exp(known.mean + step)) for step in (-half, half))
    return Range(low, min(max(math.exp(known.mid), low), high), high, unit)
