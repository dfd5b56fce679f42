"""Which warnings go with what, and when: one table, and the rule that reads it.

1. A caution is shown at each of its moments, for each material it names; naming none means all of them.
2. It says what can happen, then what to do; ``short`` is the same for a line beside a button.
3. It never stands above local rules, the label on a packet, or the word of a doctor, vet or authority.
4. The order of the table is the order on the screen: what the hand is about to do comes first.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal, get_args

from field_app.core.materials import MATERIALS, Mark, material
from field_app.core.problems import refuse
from field_app.words import later, tr

__all__ = ["CAUTIONS", "Caution", "Moment", "cautions_for"]

Moment = Literal["gather", "keep", "dye", "hand over"]
MOMENTS: tuple[Moment, ...] = get_args(Moment)

_PRACTICE = later("common practice, no source")
_HULLS = ("black-walnut", "english-walnut", "butternut")
_WALNUTS = (*_HULLS, "walnut-bark", "walnut-leaves", "walnut-wood")


@dataclass(frozen=True, slots=True)
class Caution:
    """One warning: what can happen (text), what to do (advice), and where that comes from.

    short: for a line beside a button; moments: when it is shown;
    materials: keys it is for, empty for all; groups: groups of materials it is for, beside those named.
    """

    key: str
    title: str
    text: str
    advice: str
    source: str
    mark: Mark
    short: str
    moments: tuple[Moment, ...]
    materials: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The same as plain data, without the table's own columns of where it applies."""
        return {"key": self.key, "title": self.title, "text": self.text, "advice": self.advice,
                "short": self.short, "source": self.source, "mark": self.mark, "moments": list(self.moments)}

    def said(self) -> Caution:
        """The same in the language that is spoken."""
        return Caution(self.key, tr(self.title), tr(self.text), tr(self.advice), tr(self.source), self.mark,
                       tr(self.short), self.moments, self.materials, self.groups)

    def applies(self, key: str, moment: Moment) -> bool:
        """Whether it is for a material, by its key, at a moment."""
        if moment not in self.moments:
            return False
        if not self.materials and not self.groups:
            return True
        return key in self.materials or MATERIALS[key].group in self.groups


#: Every caution, in the order in which they are shown.
CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "stain", later("The juice stains"),
        later("Walnut hull stains skin for about a week and can irritate it."),
        later("Wear gloves and old clothes, and wash at once."),
        _PRACTICE, "practice", later("Gloves: the juice stains for a week."),
        ("gather", "keep", "dye"), materials=_HULLS),
    Caution(
        "purgative", later("Alder buckthorn bark is a strong purgative"),
        later("Swallowed, the bark or its liquor purges violently, fresh bark most of all."),
        later("Keep it from mouths, label it, and ask a doctor or poison centre if any was swallowed."),
        _PRACTICE, "practice", later("Strong purgative: keep it from mouths."),
        ("gather", "keep", "dye", "hand over"), materials=("alder-buckthorn-bark",)),
    Caution(
        "butternut", later("Butternut is endangered"),
        later("It is endangered in Canada and listed in several states of the USA."),
        later("Take windfall nuts only, nothing from the tree, and follow the local rules."),
        later("from memory: endangered species lists"), "memory", later("Butternut: windfall only."),
        ("gather",), materials=("butternut",)),
    Caution(
        "bark-source", later("Bark only from wood that is down"),
        later("A full ring of bark taken kills the tree."),
        later("Take it only from felled, pruned or wind-thrown wood; it slips in the spring sap."),
        _PRACTICE, "practice", later("Bark only from felled, pruned or wind-thrown wood."),
        ("gather",), groups=("bark",)),
    Caution(
        "hemlock", later("The hemlock tree is not poison hemlock"),
        later("Poison hemlock is a tall herb of ditches, with spotted stems; the tree is a conifer."),
        later("Take bark only, from wood that you know for sure."),
        _PRACTICE, "practice", later("A conifer, not the poisonous herb: be sure."),
        ("gather", "hand over"), materials=("hemlock-tree-bark",)),
    Caution(
        "yew", later("Yew looks alike and is poisonous"),
        later("Yew has flat dark needles much like the hemlock tree's, and nearly all of it is poisonous."),
        later("If you are not sure which it is, leave it."),
        _PRACTICE, "practice", later("Not yew? If unsure, leave it."),
        ("gather",), materials=("hemlock-tree-bark",)),
    Caution(
        "horse-chestnut", later("Horse-chestnut is not sweet chestnut"),
        later("Horse-chestnut has leaves like a hand; sweet chestnut has single, long, toothed leaves."),
        later("Look at leaf and husk before taking bark."),
        _PRACTICE, "practice", later("Not horse-chestnut? Look at the leaf."),
        ("gather",), materials=("sweet-chestnut-bark",)),
    Caution(
        "not-walnut", later("Tree-of-heaven and sumac pass for young walnut"),
        later("Their leaves are feathered like a walnut's; the sap of some sumacs blisters the skin."),
        later("Look for the nut and the smell of the leaf; if you are not sure, leave it."),
        _PRACTICE, "practice", later("Not sumac or tree-of-heaven? If unsure, leave it."),
        ("gather",), materials=_WALNUTS),
    Caution(
        "poison-ivy", later("Poison ivy climbs trunks"),
        later("Where it grows, every part of it blisters the skin, also in winter and also as smoke."),
        later("Look at the trunk and the ground first; wash at once if you touched it."),
        _PRACTICE, "practice", later("Poison ivy on the trunk? Look first."),
        ("gather",)),
    Caution(
        "falling", later("Falling fruit"),
        later("Fruit and dead wood come down when limbs are shaken."),
        later("Wear a hard hat, and have nobody stand below."),
        _PRACTICE, "practice", later("Hard hat when shaking limbs."),
        ("gather",), materials=(*_HULLS, "alder-cones", "acorn-cups")),
    Caution(
        "leave", later("Leave of the owner"),
        later("Somebody owns the ground and what falls on it, and some species and places are protected."),
        later("Ask the land owner, and follow the local rules on protected species."),
        later("from memory: rights of land owners, and nature protection"), "memory", later("Leave of the owner?"),
        ("gather",)),
    Caution(
        "sprayed", later("Sprayed ground and busy roadsides"),
        later("Sprays, and dust from heavy traffic, stay on what lies there."),
        later("Take nothing from sprayed ground or from the side of a busy road."),
        _PRACTICE, "practice", later("Nothing sprayed, nothing from busy roadsides."),
        ("gather",)),
    Caution(
        "nut-allergy", later("Tree-nut allergy"),
        later("Who is allergic to tree nuts may react to hulls, juice and dust."),
        later("Ask before you share or hand over; follow the doctor's advice."),
        _PRACTICE, "practice", later("Tree-nut allergy: ask first."),
        ("gather", "keep", "hand over"), materials=_HULLS),
    Caution(
        "dogs", later("Dogs"),
        later("Of 65 dogs that ate nuts or hulls, 48 % vomited and 23 % had nerve or muscle signs; mouldy nuts "
              "carry tremor toxins."),
        later("Keep pails and heaps where no dog gets at them; if one has eaten some, call a vet."),
        later("Coleman & Merola 2016, JAVMA 248(2):195"), "seen", later("Keep dogs from nuts and hulls."),
        ("gather", "keep", "hand over"), materials=_HULLS),
    Caution(
        "horses", later("Horses"),
        later("More than 20 % of black walnut shavings in the bedding gives laminitis within 12–18 hours."),
        later("Let no walnut wood, bark or hull get into a stable; if it did, call a vet."),
        later("Purdue University; Colorado State University"), "seen", later("No walnut in a stable."),
        ("keep", "hand over"), materials=_WALNUTS),
    Caution(
        "fermenting", later("Fermenting pails"),
        later("Hulls under water ferment: a tight lid can burst off, and mould grows on top."),
        later("Use a vented lid, skim the mould with gloves on, and keep the pail from children."),
        _PRACTICE, "practice", later("Vented lid, gloves for the mould, away from children."),
        ("keep",), materials=_HULLS),
    Caution(
        "juglone", later("Juglone harms fish and plants"),
        later("Walnut liquor stuns fish, and spent hull harms tomatoes and animals that lie on it."),
        later("Never tip liquor into water; keep spent hull from tomatoes, stable, kennel and pond; follow the "
              "local rules for waste."),
        later("Northern Nut Growers Association, 34th Report 1943"), "seen",
        later("Never tip walnut liquor into water."),
        ("keep", "dye"), materials=_WALNUTS),
    Caution(
        "iron-children", later("Iron salts and children"),
        later("20 mg of iron per kg of body makes the stomach ill, 60 mg per kg poisons the whole body. Green "
              "vitriol is 20.09 % iron: for a child of 10 kg that is 1.0 g and 3.0 g."),
        later("Lock it up, label it, never use a food pot; if any was swallowed, call a poison centre at once."),
        later("McGuigan 1996, Pediatr. Ann. 25:33; the grams are worked out"), "seen",
        later("Iron salt: locked up, labelled."),
        ("dye", "hand over")),
    Caution(
        "soda-lye", later("Washing soda and lye burn"),
        later("They burn eyes and skin, lye at once."),
        later("Wear gloves and eye cover, and add them to water, never water to them; the label has the last "
              "word."),
        _PRACTICE, "practice", later("Soda or lye: gloves, eye cover, into water."),
        ("dye",)),
    Caution(
        "chrome-tin", later("No chrome, no tin"),
        later("Chrome and tin mordants poison the dyer and the water."),
        later("Don't use them: alum and iron do the work. Give old stock to the local hazardous waste."),
        _PRACTICE, "practice", later("Chrome and tin: don't use them."),
        ("dye",)),
    Caution(
        "copper", later("Copper is poisonous to water"),
        later("Copper salts harm water life, and people who swallow them."),
        later("Do without it, or use a trace and treat what is left as the label and the local rules say."),
        _PRACTICE, "practice", later("Copper: better without; never down the drain."),
        ("dye",)),
    Caution(
        "iron-wool", later("Too much iron makes wool brittle"),
        later("Iron in excess makes wool harsh and brittle."),
        later("Weigh it, and stay with a few per cent of the weight of the wool."),
        _PRACTICE, "practice", later("Weigh the iron: too much makes wool brittle."),
        ("dye",)),
    Caution(
        "scald", later("Full kettles scald"),
        later("A full kettle of hot liquor is heavy, and spills when it is lifted."),
        later("Ladle it out or let it cool before lifting; keep children away."),
        _PRACTICE, "practice", later("Don't lift a full hot kettle."),
        ("dye",)),
    Caution(
        "own-pots", later("Pots of their own"),
        later("Dye and mordant stay in pots and spoons."),
        later("Keep pots for dyeing only, and never cook food in them again."),
        _PRACTICE, "practice", later("Dye pots never for food again."),
        ("dye",)),
    Caution(
        "air", later("Fresh air"),
        later("Steam and dust from dye and mordant irritate the lungs."),
        later("Work outdoors, or with a fan that blows out."),
        _PRACTICE, "practice", later("Outdoors, or a fan."),
        ("dye",)),
    Caution(
        "move-wood", later("Moving walnut wood and bark"),
        later("Thousand-cankers rules (North Carolina, Nebraska) restrict walnut bark, wood and branches; they "
              "exempt nuts and hulls. The copies read are old."),
        later("Ask the local authority before it leaves the county."),
        later("thousand-cankers quarantines of North Carolina and Nebraska"), "seen",
        later("Walnut wood or bark: ask before moving it."),
        ("gather", "hand over"), materials=("walnut-bark", "walnut-wood")),
    Caution(
        "move-hulls", later("Moving walnuts in the hull to California"),
        later("California restricts unhusked walnuts and hulls from every state but Arizona. The copy read is "
              "old."),
        later("Ask the local authority before you send any."),
        later("California plant quarantine manual 317"), "seen", later("Walnut hulls to California: ask first."),
        ("hand over",), materials=_HULLS),
)


def cautions_for(key: str, part: str, moment: Moment | Iterable[Moment] = "gather") -> tuple[Caution, ...]:
    """The cautions for a material and part, by their keys, at one moment or several, in the table's order.

    Raises Refused if the material, the part or a moment is unknown.

    >>> [caution.key for caution in cautions_for("black-walnut", "hull", "keep")]
    ['stain', 'nut-allergy', 'dogs', 'horses', 'fermenting', 'juglone']
    """
    stuff = material(key)
    stuff.part(part)
    asked: tuple[Moment, ...] = (moment,) if isinstance(moment, str) else tuple(moment)
    for one in asked:
        if one not in MOMENTS:
            raise refuse("moment", tr("{word!r} is not known", word=one),
                         tr("Choose one of: {choices}.", choices=", ".join(MOMENTS)))
    return tuple(caution.said() for caution in _asked_for(key, asked))


@lru_cache(maxsize=256)
def _asked_for(key: str, asked: tuple[Moment, ...]) -> tuple[Caution, ...]:
    # A file of a thousand lots asks for the same few a thousand times.
    return tuple(caution for caution in CAUTIONS if any(caution.applies(key, one) for one in asked))
