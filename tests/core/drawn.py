"""Draws of the stated distributions with numpy, and the chain of the liquor once more, for many draws at once."""

import math

import numpy as np

from field_app.core.estimate import Z90


def draws_of(one, count, rng):
    """So many draws of a range: log-normal through low and high, or straight on either side where low is nothing."""
    if one.low == one.high:
        return np.full(count, one.central)
    deviations = rng.standard_normal(count)
    if one.low > 0:
        low, high = math.log(one.low), math.log(one.high)
        return np.exp((low + high) / 2 + (high - low) / (2 * Z90) * deviations)
    ends = np.where(deviations < 0, one.central - one.low, one.high - one.central)
    return np.maximum(0, one.central + deviations / Z90 * ends)


def brewed(fresh, dry, extract, washed, slow, kept, rate, *, water, further, surface, hours, gains):
    """Liquor [L], extract [kg] and strength [g/L] of many draws, straining by straining."""
    dry_mass = fresh * np.minimum(dry, 1)
    first = np.minimum(washed, 1)
    put, volume, gone = water + fresh - dry_mass, 0.0, 0.0
    dissolved, before = 0.0, 0.0
    for gain in gains:
        whole = np.maximum(put - surface * hours * rate, 0.05 * put)
        stays = np.minimum(kept * dry_mass, 0.95 * whole)
        out = first + (1 - first) * (1 - np.exp(-slow * gain))
        dissolved = dissolved + out - before
        before = out
        off = dissolved * (1 - stays / whole)
        dissolved, gone = dissolved - off, gone + off
        volume, put = volume + whole - stays, stays + further
    in_it = extract * dry_mass * gone
    return volume, in_it, 1000 * in_it / volume


def ends_of(values):
    """The 10 % and the 90 % quantile of draws."""
    return tuple(float(end) for end in np.quantile(values, [0.1, 0.9]))
