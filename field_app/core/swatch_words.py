"""What is said of a swatch in one line."""

from __future__ import annotations

from field_app.core.durations import show_hours
from field_app.core.materials import MATERIALS
from field_app.core.palette import GROUND_WORDS
from field_app.core.preview import BASES, UNDYED
from field_app.core.swatches import Swatch, SwatchFacts
from field_app.core.units import read_number
from field_app.words import shade_words, state_words, tr

__all__ = ["cloth_words", "result_words", "swatch_words"]


def cloth_words(colour: str) -> str:
    """Cloth by its colour, in plain words where it is one to choose from."""
    return next((tr(words) for _, words, known in BASES if known == colour), colour)


def result_words(facts: SwatchFacts) -> str:
    """What came out: a shade, a measured lightness or a colour."""
    if facts.band is not None:
        return shade_words(facts.band)
    return (tr("L* {lightness}, measured", lightness=facts.lightness) if facts.lightness is not None
            else tr("{colour}, by eye", colour=facts.colour))


def swatch_words(one: Swatch) -> str:
    """What it was dyed with, on what, how long, and what came out."""
    facts, stuff = one.facts, MATERIALS.get(one.material)
    treated = [] if facts.mordant == "none" else [tr(GROUND_WORDS[facts.mordant])]
    time = ", ".join((*treated, show_hours(float(read_number(facts.hours, where="time")))))
    told = {"amount": facts.stuff, "name": stuff.said if stuff else one.material, "state": state_words(one.state),
            "cloth": facts.cloth, "time": time, "result": result_words(facts)}
    if facts.base == UNDYED:
        return tr("{amount} of {name}, {state}, on {cloth} of cloth, {time}: {result}", **told)
    return tr("{amount} of {name}, {state}, on {cloth} of cloth of {base}, {time}: {result}",
              base=cloth_words(facts.base), **told)
