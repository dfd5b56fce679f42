"""What the figures of the table are called, in a dyer's words, and in what order a person reads them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from field_app.core.materials import CONDITIONS, Mark, Material, Parameter
from field_app.core.sources import source_said
from field_app.core.units import show_si
from field_app.words import later, state_words, tr

__all__ = ["DISAGREE", "MARK_WORDS", "SECTIONS", "figure_words", "said_source", "sections_of", "sourced"]

#: What a mark says to a person.
MARK_WORDS: Mapping[Mark, str] = MappingProxyType({
    "seen": later("read in the source"), "weak": later("rule of thumb"), "derived": later("worked out"),
    "memory": later("from memory"),
    "practice": later("common practice"), "own": later("your own")})
#: Why the worth of a ripeness is a range and never a fact.
DISAGREE = (later("The sources disagree. E. Mairet holds in 1938 that only hull that has not yet oxidised dyes; in "
                  "1916 she says that hulls kept a year under water get better; a sample journal of 1876 says that "
                  "packing moist raises the power. So the worth is a working range, common practice, and never a "
                  "fact."))

_WORDS: Mapping[str, str] = MappingProxyType({
    "hull-share": later("hull in the whole fruit"),
    "dry": later("dry matter"),
    "tannin": later("tannin in the dry matter"),
    "extract": later("share that hot water takes out in the end"),
    "washed-25": later("of that, out at once in water of {heat}"),
    "washed-70": later("of that, out at once in water of {heat}"),
    "washed-90": later("of that, out at once in water of {heat}"),
    "half-time-20": later("half of the rest is out at {heat} after"),
    "half-time-90": later("half of the rest is out at a simmer after"),
    "kept-drained": later("liquor that the spent stuff keeps, drained, on its dry matter"),
    "kept-squeezed": later("liquor that the spent stuff keeps, squeezed, on its dry matter"),
    "kettle-ratio": later("liquor in the kettle, on the dry stuff"),
    "boil-off": later("water that an open pot loses at a boil"),
    "simmer-off": later("water that an open pot loses at a simmer"),
    "keep-fallen": later("fallen hull is firm for"),
    "keep-water": later("under water the hull is good for"),
    "keep-liquor-cool": later("liquor kept cool is good for"),
    "keep-liquor-warm": later("liquor in the warm is good for"),
    "keep-liquor-frozen": later("frozen liquor is good for"),
    "wof-pale": later("dry stuff for pale, on the weight of cloth"),
    "wof-light": later("dry stuff for light, on the weight of cloth"),
    "wof-medium": later("dry stuff for medium, on the weight of cloth"),
    "wof-dark": later("dry stuff for dark, on the weight of cloth"),
    "wof-from-light": later("a shade is called light from"),
    "wof-from-medium": later("a shade is called medium from"),
    "wof-from-dark": later("a shade is called dark from"),
    "crop": later("whole fruit that a grown tree bears"),
    "crop-spread": later("spread of the days on which it falls (one deviation)"),
    "stay-sound": later("half of what fell is still firm after"),
    "fall-after": later("from half taking a dent to half fallen"),
})
#: The heat of the water that a figure is of [°C].
_HEATS = {"washed-25": 25.0, "washed-70": 70.0, "washed-90": 90.0, "half-time-20": 20.0}
#: The headings under which figures are read, and the beginnings of the names that stand under each.
SECTIONS: Mapping[str, tuple[str, ...]] = MappingProxyType({
    later("What was brought in"): ("piece-", "pour-", "hull-share"),
    later("What is in it"): ("dry-", "tannin", "extract"),
    later("Into the liquor"): ("washed-", "half-time-", "kept-", "kettle-", "boil-", "simmer-"),
    later("How long it keeps"): ("keep-",),
    later("How much for a shade"): ("wof-pale", "wof-light", "wof-medium", "wof-dark", "wof-from-"),
    later("What a tree gives"): ("crop", "stay-", "fall-"),
})


def figure_words(name: str, stuff: Material) -> str:
    """What a figure of a material is called; a name that is not known speaks for itself.

    >>> from field_app.core.materials import material
    >>> walnut = material("black-walnut")
    >>> [figure_words(name, walnut) for name in ("dry-browned", "pour-hull-air-dry", "piece-whole-fruit")]
    ['dry matter, browned', 'hull as poured, air-dry', 'one whole fruit']
    """
    if name in _HEATS:
        return tr(_WORDS[name], heat=show_si(_HEATS[name], "degC"))
    if name in _WORDS:
        return tr(_WORDS[name])
    base, state = name, ""
    for ending in (*CONDITIONS, "browned"):
        if name.endswith(f"-{ending}"):
            base, state = name.removesuffix(f"-{ending}"), ending
    quantity, _, part = base.partition("-")
    found = next((one for one in stuff.parts if one.key == part), None)
    if quantity == "piece" and found is not None:
        words = found.one_said
    elif quantity == "pour" and found is not None:
        words = tr("{name} as poured", name=found.said)
    elif base in _WORDS:
        words = tr(_WORDS[base])
    else:
        return name.replace("-", " ")
    return f"{words}, {state_words(state)}" if state else words


def sections_of(stuff: Material) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The headings with the names of the figures of a material under them, in the order of the table."""
    left = dict.fromkeys(stuff.parameters)
    found = []
    for heading, starts in SECTIONS.items():
        names = tuple(name for start in starts for name in left if name.startswith(start))
        for name in names:
            del left[name]
        if names:
            found.append((tr(heading), names))
    return (*found, *(((tr("More"), tuple(left)),) if left else ()))


def sourced(row: Parameter) -> str:
    """Where a figure comes from and how far it is to be trusted, in one line.

    >>> from field_app.core.materials import material
    >>> sourced(material("black-walnut").parameters["hull-share"]).partition(";")[0]
    'rule of thumb'
    """
    return source_said(row.source) if row.mark == "own" else said_source(row.mark, row.source)


def said_source(mark: Mark, source: str) -> str:
    """A source and how far it is to be trusted, which many a source says by itself.

    >>> said_source("practice", "common practice, no source"), said_source("memory", "a paper on husk")
    ('common practice, no source', 'from memory; a paper on husk')
    """
    words = MARK_WORDS[mark]
    return source_said(source) if words in source else f"{tr(words)}; {source_said(source)}"
