"""Dye on cloth, by Kubelka and Munk: what a dye takes away adds up on what the cloth takes away already.

The law of this file (Kubelka & Munk 1931, for cloth too thick to see through):

1. K/S = (1 − R)² / 2R: how strongly a band is taken away against how strongly it is scattered.
2. On one cloth the K/S of its own colour and of every dye on it add up, band by band.
3. A dye adds strength · depth · exp(−(wavelength − 550 nm) / fall): most in the violet, falling off towards the red.

Rule 3 is an assumption for browns, tans and greys: a short fall is yellow or rust, a middling one brown,
a long one grey.
Since a dye only adds, cloth never gets lighter from it, and deeper is never lighter.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from field_app.core.colour import Lab, difference, hex_of, lab_of
from field_app.core.spectrum import BANDS, Spectrum, xyz_of

__all__ = ["MIDDLE", "Colour", "colour_of", "dyed", "k_over_s", "reflectance"]

#: The wavelength at which the strength of a dye is told [nm].
MIDDLE = 550


@dataclass(frozen=True, slots=True)
class Colour:
    """A colour as it is shown: in hexadecimal and in CIELAB [1]."""

    hex: str
    lab: Lab

    def as_json(self) -> dict[str, Any]:
        """``{hex, L, a, b}``."""
        return {"hex": self.hex, **self.lab.as_json()}

    def apart(self, other: Colour) -> float:
        """How far another colour lies from it, CIEDE2000 [1]."""
        return difference(self.lab, other.lab)


def k_over_s(share: float) -> float:
    """K/S [1] of a reflectance [1] above 0 and up to 1; ValueError beyond.

    >>> k_over_s(0.5), round(k_over_s(0.05), 3)
    (0.25, 9.025)
    """
    if not 0 < share <= 1:
        raise ValueError(f"a reflectance is above 0 and up to 1: {share}")
    return (1 - share) ** 2 / (2 * share)


def reflectance(taken: float) -> float:
    """The reflectance [1] of a K/S [1], which is from 0 on; ValueError below.

    >>> reflectance(4.05)
    0.1
    """
    if not taken >= 0:
        raise ValueError(f"K/S is not below 0: {taken}")
    # The textbook's 1 + K/S − √(…) loses its digits where the cloth is dark; this is the same, divided out.
    return 1 / (1 + taken + math.sqrt(taken * (taken + 2)))


def dyed(base: Spectrum, strength: float, fall: float) -> Spectrum:
    """The reflectance [1] of cloth after a dye was laid on it.

    base: the cloth's own reflectance [1]; strength: what the dye adds to K/S at 550 nm [1]; fall: how far towards
    the red until it is the e-th part [nm]. ValueError if strength is below 0 or fall not above it.
    """
    if not (strength >= 0 and fall > 0):
        raise ValueError(f"a dye adds, and falls off towards the red: {strength}, {fall}")
    return tuple(
        min(share, reflectance(k_over_s(share) + strength * math.exp((MIDDLE - band) / fall)))
        for band, share in zip(BANDS, base, strict=True))


def colour_of(spectrum: Spectrum) -> Colour:
    """The colour of a reflectance [1], in daylight."""
    xyz = xyz_of(spectrum)
    return Colour(hex_of(xyz), lab_of(xyz))
