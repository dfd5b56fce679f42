"""Light as cloth sends it back: reflectance in sixteen bands, and the colour that an eye makes of it.

A dye takes light away band by band, and every band only ever gets darker: three channels of a screen can't say that.
A colour alone doesn't tell its reflectance; taken is the smoothest one that has this colour
(least change from band to band of z, where R = (tanh z + 1)/2, which keeps R between 0 and 1;
S. A. Burns 2020, Color Res. Appl. 45:33, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import TypeAlias

from field_app.core.colour import Triple, linear_of_hex, read_hex, xyz_of_linear
from field_app.core.linear import solved

__all__ = ["BANDS", "WEIGHTS", "Spectrum", "reflectance_of", "xyz_of"]

#: One value for each band.
Spectrum: TypeAlias = tuple[float, ...]

#: The middle of each band [nm].
BANDS: tuple[int, ...] = tuple(range(400, 701, 20))
#: What each band adds to X, Y and Z of sRGB's white [1]: the CIE 1931 observer times D65 (5 nm, 380 to 780 nm),
#: with reflectance taken as straight from band to band and level beyond the ends, scaled so that R = 1 is that white.
WEIGHTS: tuple[Triple, ...] = (
    (0.003514, 0.000098, 0.016726), (0.026078, 0.000943, 0.126379), (0.063995, 0.004921, 0.324843),
    (0.060982, 0.013848, 0.350524), (0.023155, 0.031168, 0.184413), (0.003113, 0.070498, 0.061546),
    (0.015684, 0.139547, 0.018465), (0.058592, 0.186301, 0.004701), (0.112356, 0.186050, 0.000938),
    (0.160240, 0.153643, 0.000295), (0.175378, 0.107046, 0.000133), (0.138153, 0.063476, 0.000033),
    (0.071978, 0.028642, 0.000004), (0.027140, 0.010128, 0.000000), (0.007782, 0.002838, 0.000000),
    (0.002360, 0.000853, 0.000000))

# No cloth sends back all light or none; so near to both ends no colour of eight bits changes.
_DARKEST, _BRIGHTEST = 5e-5, 0.999
_CLOSE = 1e-9
#: Strides tried one after the other: the longest change of z at a time [1], and how many [1].
_STRIDES = ((2.0, 60), (0.5, 200), (0.1, 1000))


def xyz_of(reflectance: Sequence[float]) -> Triple:
    """XYZ [1] of a reflectance [1] band by band, seen in daylight (D65) by the CIE 1931 observer."""
    x, y, z = (sum(row[at] * share for row, share in zip(WEIGHTS, reflectance, strict=True)) for at in range(3))
    return x, y, z


def reflectance_of(colour: str) -> Spectrum:
    """The smoothest reflectance [1], band by band, of a colour in hexadecimal; Refused if it is no colour.

    >>> from field_app.core.colour import hex_of
    >>> hex_of(xyz_of(reflectance_of("#7f5a38")))
    '#7f5a38'
    """
    return _smoothest(read_hex(colour))


@lru_cache(maxsize=512)
def _smoothest(colour: str) -> Spectrum:
    linear = linear_of_hex(colour)
    wanted = xyz_of_linear(_inside(linear))
    return _solve(wanted)


def _inside(linear: Triple) -> Triple:
    red, green, blue = (_DARKEST + (_BRIGHTEST - _DARKEST) * light for light in linear)
    return red, green, blue


def _solve(wanted: Triple) -> Spectrum:
    for longest, steps in _STRIDES:
        if (found := _walked(wanted, longest, steps)) is not None:
            return found
    raise ValueError(f"no reflectance found for {wanted}")


def _walked(wanted: Triple, longest: float, steps: int) -> Spectrum | None:
    """The smoothest reflectance with this XYZ, by Newton's way on the sum of squared steps and three multipliers."""
    count = len(BANDS)
    grey = min(max(wanted[1], _DARKEST), _BRIGHTEST)
    state = [math.atanh(2 * grey - 1)] * count + [0.0] * 3
    for _ in range(steps):
        tanh = [math.tanh(z) for z in state[:count]]
        slopes = [(1 - t * t) / 2 for t in tanh]
        pulls = [sum(weight * force for weight, force in zip(row, state[count:], strict=True)) for row in WEIGHTS]
        missing = [want - got for want, got in zip(wanted, xyz_of([(t + 1) / 2 for t in tanh]), strict=True)]
        if max(map(abs, missing)) < _CLOSE:
            return tuple((t + 1) / 2 for t in tanh)
        matrix = [[0.0] * (count + 3) for _ in state]
        right = [0.0] * (count + 3)
        for at in range(count):
            for near in (at - 1, at + 1):
                if 0 <= near < count:
                    matrix[at][at] += 2
                    matrix[at][near] -= 2
                    right[at] -= 2 * (state[at] - state[near])
            matrix[at][at] -= 2 * slopes[at] * tanh[at] * pulls[at]
            right[at] -= slopes[at] * pulls[at]
            for axis in range(3):
                matrix[at][count + axis] = matrix[count + axis][at] = slopes[at] * WEIGHTS[at][axis]
        right[count:] = missing
        step = solved(matrix, right)
        # A long step would jump to where tanh is flat and nothing can be steered any more.
        short = min(1.0, longest / max(longest, *map(abs, step[:count])))
        state = [value + short * change for value, change in zip(state, step, strict=True)]
    return None
