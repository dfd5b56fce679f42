"""Helpers of the dye bath, fibre by fibre: what scours, what mordants, what saddens, how often one rinses.

The law of this file:

1. Amounts are on the weight of air-dry, scoured cloth, or in grams to the litre; low, usual, high.
2. Every helper has its cautions, and the label on the packet stands above every figure here.
3. What has no figure in the table gets none: the label has it.
4. Chrome and tin are refused; copper is warned of and gets no figure.
5. Wool and silk never go into hot soda, and cotton and linen take little without a base of tannin or alum.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from field_app.core.cautions import CAUTIONS, Caution
from field_app.core.cloths import ClothItem, by_fibre
from field_app.core.estimate import Range, Reason, product
from field_app.core.fibres import FIBRES
from field_app.core.materials import Mark
from field_app.core.problems import refuse
from field_app.core.units import show_number
from field_app.words import later, tr

__all__ = [
    "CELLULOSE_WORDS",
    "HELPERS",
    "IRON_IN_VITRIOL",
    "LABEL",
    "Helper",
    "HelperDose",
    "Rinsing",
    "helper",
    "helpers_for",
    "on_weight",
    "rinsing",
    "vitriol_grams",
]

_PRACTICE = later("common practice, no source")
LABEL = later("The label on the packet and the local rules have the last word.")
#: Iron in green vitriol, FeSO₄·7H₂O [1]: worked out from the atomic masses (IUPAC 2021, abridged).
IRON_IN_VITRIOL = 55.845 / (55.845 + 32.06 + 4 * 15.999 + 7 * (2 * 1.008 + 15.999))
CELLULOSE_WORDS = (later("Cotton, linen, hemp and jute take little of the dye without a base of tannin or alum; the "
                         "figures suppose one."))
_CAUTIONS: Mapping[str, Caution] = MappingProxyType({caution.key: caution for caution in CAUTIONS})


@dataclass(frozen=True, slots=True)
class Helper:
    """A helper: what it does, for which kind of fibre, how much, and with which cautions.

    wof: on the weight of cloth [1], or None; bath: in the bath [g/L], or None; celsius: heat of it [°C], or None;
    order: when it is used, the earliest first; words: how; cautions: keys of CAUTIONS.
    """

    key: str
    name: str
    does: str
    kinds: tuple[str, ...]
    order: int
    words: str
    cautions: tuple[str, ...]
    wof: Range | None = None
    bath: Range | None = None
    celsius: tuple[int, int] | None = None
    mark: Mark = "practice"
    source: str = _PRACTICE

    def told(self) -> tuple[Caution, ...]:
        """Its cautions."""
        return tuple(_CAUTIONS[key].said() for key in self.cautions)

    def said(self) -> Helper:
        """The same in the language that is spoken."""
        return replace(self, name=tr(self.name), does=tr(self.does), words=tr(self.words), source=tr(self.source))


def _share(low: float, central: float, high: float) -> Range:
    return Range(low / 100, central / 100, high / 100, "1")


_BOTH, _ANIMAL, _PLANT = ("protein", "cellulose"), ("protein",), ("cellulose",)
#: Every helper that is offered, in the order in which they are used.
HELPERS: Mapping[str, Helper] = MappingProxyType({one.key: one for one in (
    Helper("soap", later("neutral soap"), later("scours"), _ANIMAL, 1,
           later("As much as its label says, warm, never hot, without soda; cool slowly and don't rub, or it felts."),
           (), celsius=(40, 60)),
    Helper("soda", later("washing soda"), later("scours"), _PLANT, 1,
           later("Near the boil for an hour or two, then rinse well."),
           ("soda-lye", "scald"), bath=Range(1.0, 3.0, 5.0, "g/L"), celsius=(90, 100)),
    Helper("tannin", later("tannin"), later("is the base for the dye"), _PLANT, 2,
           later("Before the dye, in warm water, some hours; then alum if a warmer brown is wanted."),
           ("own-pots",), wof=_share(5, 8, 10)),
    Helper("alum", later("alum"), later("mordants; browns turn warmer and brighter"), _ANIMAL, 3,
           later("Before the dye, dissolved in hot water first; walnut dyes without it too."),
           ("own-pots", "air"), wof=_share(10, 12, 15)),
    Helper("alum-base", later("alum"), later("mordants; browns turn warmer and brighter"), _PLANT, 3,
           later("After the tannin. The table has no amount for plant fibres: take that of the label."),
           ("own-pots", "air")),
    Helper("tartar", later("cream of tartar"), later("keeps wool soft with alum and brightens"), _ANIMAL, 4,
           later("Together with the alum, or a little at the end of the bath."), ("own-pots",), wof=_share(5, 6, 7)),
    Helper("iron", later("iron (green vitriol, copperas)"), later("saddens: much darker and greyer"), _BOTH, 5,
           later("After the dye, dissolved, a few minutes at a time, in a pot of its own; rinse well."),
           ("iron-children", "iron-wool", "own-pots"), wof=_share(1, 2, 4)),
)})

#: What is refused, by how people write it, and why.
_REFUSED = {
    "chrome": ("chrome", "chromium", "potassium dichromate", "bichromate", "bichromate of potash", "chrome alum",
               "chrom", "chromalaun", "kaliumdichromat", "chromkali"),
    "tin": ("tin", "stannous chloride", "tin crystals", "tin salt", "muriate of tin", "zinn", "zinnchlorid",
            "zinnsalz"),
}
_COPPER = ("copper", "blue vitriol", "copper sulphate", "copper sulfate", "bluestone", "verdigris", "copper acetate",
           "kupfer", "kupfervitriol", "blaustein", "kupfersulfat", "kupferacetat", "grünspan")
_ALIASES = {"copperas": "iron", "green vitriol": "iron", "ferrous sulphate": "iron", "ferrous sulfate": "iron",
            "iron sulphate": "iron", "cream of tartar": "tartar", "argol": "tartar", "washing soda": "soda",
            "soda ash": "soda", "sodium carbonate": "soda", "neutral soap": "soap", "tannic acid": "tannin",
            "potash alum": "alum", "gall nuts": "tannin", "eisenvitriol": "iron", "eisensulfat": "iron",
            "eisen": "iron", "weinstein": "tartar", "waschsoda": "soda", "neutralseife": "soap", "seife": "soap",
            "alaun": "alum", "galläpfel": "tannin"}


@dataclass(frozen=True, slots=True)
class HelperDose:
    """A helper for some cloth of one fibre, in grams, or in grams to the litre of its bath."""

    helper: Helper
    fibre: str
    cloth: Range
    grams: Range | None

    @property
    def words(self) -> str:
        """How it is used, and where its amount comes from if not from this fibre."""
        of_wool = self.fibre == "silk" and self.helper.key in ("alum", "tartar")
        return tr("{words} The amount is that of wool.", words=self.helper.words) if of_wool else self.helper.words

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; grams in [g], wof in [1], bath in [g/L], heat in [°C]."""
        one = self.helper
        return {"helper": one.key, "name": one.name, "fibre": self.fibre, "does": one.does, "how": self.words,
                "grams": self.grams.as_json() if self.grams else None,
                "wof": one.wof.as_json() if one.wof else None, "bath": one.bath.as_json() if one.bath else None,
                "celsius": list(one.celsius) if one.celsius else None, "mark": one.mark, "source": one.source,
                "cautions": [caution.as_json() for caution in one.told()], "label": LABEL}


@dataclass(frozen=True, slots=True)
class Rinsing:
    """Rinsing after the bath: how many changes [1], how much water in all [L], and where it may not go."""

    changes: Range
    litres: Range
    words: str

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; changes in [1], litres in [L]."""
        return {"changes": self.changes.as_json(), "litres": self.litres.as_json(), "where": self.words}


def helper(name: str) -> Helper:
    """The helper that people call so; Refused for chrome, tin and copper, with why, and for what is not known.

    >>> helper("copperas").key
    'iron'
    """
    asked = " ".join(name.casefold().replace("-", " ").split())
    for key, spellings in _REFUSED.items():
        if asked in spellings or asked == key:
            why = _CAUTIONS["chrome-tin"].said()
            raise refuse("helper", tr("{name!r:.60} is not offered. {why}", name=name, why=why.text.rstrip(".")),
                         why.advice)
    if asked in _COPPER:
        why = _CAUTIONS["copper"].said()
        raise refuse("helper", tr("no amount of {name!r:.60} is offered. {why}", name=name,
                                  why=why.text.rstrip(".")), why.advice)
    found = HELPERS.get(_ALIASES.get(asked, asked))
    if found is None:
        raise refuse("helper", tr("{word!r:.60} is not known", word=name),
                     tr("Choose one of: {choices}.", choices=", ".join(HELPERS)), kind="unknown")
    return found


def helpers_for(items: tuple[ClothItem, ...]) -> tuple[HelperDose, ...]:
    """What may be used for some cloth, fibre by fibre, in the order of use; none of them is a must.

    >>> from field_app.core.cloths import weighed
    >>> [(dose.helper.key, dose.grams and round(dose.grams.central)) for dose in helpers_for((weighed("wool", 1, ""),))]
    [('soap', None), ('alum', 120), ('tartar', 60), ('iron', 20)]
    """
    found = []
    for one in (known.said() for known in HELPERS.values()):
        for fibre, mass in by_fibre(items).items():
            if FIBRES[fibre].kind in one.kinds:
                found.append(HelperDose(one, fibre, mass, _grams(one, mass)))
    return tuple(found)


def _grams(one: Helper, cloth: Range) -> Range | None:
    if one.wof is None:
        return None
    shown = "{} % ({}–{})".format(*(show_number(value * 100) for value in (one.wof.central, one.wof.low, one.wof.high)))
    share = one.wof.because(Reason(tr("{name} on the weight of cloth", name=one.name), shown, "default", one.source,
                                   one.mark))
    return product(cloth, share, Range(1000.0, 1000.0, 1000.0, "g/kg"), unit="g")


def rinsing(cloth: Range, ratio: float, *, walnut: bool = True) -> Rinsing:
    """Rinsing for some cloth [kg] at the bath's liquor ratio [L/kg], to clear water.

    >>> from field_app.core.estimate import exact
    >>> rinsing(exact(2.0, "kg"), 30.0).litres.central
    180.0
    """
    changes = Range(2.0, 3.0, 5.0, "1",
                    (Reason(tr("changes of rinsing water"), tr("3 (2–5), to clear water"), "default",
                            tr(_PRACTICE), "practice"),))
    each = Range(ratio, ratio, ratio, "L/kg")
    words = (tr("Rinsing water, mordant and spent liquor never go into a stream, a pond or a ditch, nor where tomatoes "
                "grow, horses or dogs are kept; ask the local authority whether the drain may have them.") if walnut
             else tr("Rinsing water, mordant and spent liquor never go into a stream, a pond or a ditch; ask the local "
                     "authority whether the drain may have them."))
    return Rinsing(changes, product(cloth, each, changes, unit="L"), words)


def vitriol_grams(body: float, iron: float) -> float:
    """Green vitriol [g] that holds so much iron [mg for each kg of body] for a body [kg].

    >>> round(vitriol_grams(10, 60), 3)
    2.987
    """
    return body * iron / 1000 / IRON_IN_VITRIOL


def on_weight(stuff: float, cloth: float) -> float:
    """What stuff [kg] is on the weight of cloth [kg], as a share [1]. Raises ValueError for no cloth.

    Half an ounce of copperas on a pound of wool (E. Mairet):

    >>> on_weight(0.5 * 0.028349523125, 0.45359237)
    0.03125
    """
    if not cloth > 0:
        raise ValueError("there is no weight of cloth to count on")
    return stuff / cloth
