"""How much was brought in: net mass from a weighing, a count, or pails filled.

A weighing has the spread of the scale alone; a count that of one piece, or of the few that were weighed (counted.py);
pails those of fill and of density.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from field_app.core.counted import counted_mass, sample_problems
from field_app.core.estimate import Z90, Range, Reason, exact, product
from field_app.core.facts import LotFacts
from field_app.core.materials import Material, Parameter, Part, material
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.scales import UNVERIFIED, least_load, net_deviation
from field_app.core.surer import SCALE
from field_app.core.units import Measure, read_number, show_measure, show_number, show_round, show_si
from field_app.words import later, state_words, tr

__all__ = ["MOST_FILL", "amount_problems", "net_mass", "row_of"]

#: A pail filled to a heap [1]: a heaped bushel is 1.28 struck ones (from memory: NIST Handbook 44).
MOST_FILL = Decimal("1.3")
# How far a fill judged by eye may be off, as a factor either way [1].
_FILL = 1.1
_PRACTICE = later("common practice, no source")


def amount_problems(facts: LotFacts) -> tuple[Problem, ...]:
    """Everything that stands in the way of a net mass, all at once; empty if it can be worked out."""
    checks: dict[str, Callable[[LotFacts], list[Problem]]] = {
        "weighed": _weighed_problems, "counted": _counted_problems, "poured": _poured_problems}
    return tuple(checks[facts.basis](facts))


def net_mass(facts: LotFacts, stuff: Material | None = None) -> Range:
    """Net mass of a lot [kg] as it was weighed, counted or poured; stuff: its material, if not that of the table.

    Raises Refused with every problem of its amounts, or if a count or pails meet an unknown material or part.
    A weighing needs no table, so it is read even for a material that this program doesn't know.
    """
    if problems := amount_problems(facts):
        raise Refused(problems)
    if facts.basis == "weighed":
        return _weighed(facts)
    return _counted(facts, stuff) if facts.basis == "counted" else _poured(facts, stuff)


def row_of(stuff: Material, quantity: str, state: str) -> Parameter:
    """The parameter of a quantity for stuff in a state; Refused if the table has none."""
    row = stuff.parameter(quantity, state)
    if row is None:
        raise refuse("material", tr("nothing is known of {quantity} of {name}, {state}", quantity=quantity,
                                    name=stuff.said, state=state_words(state)),
                     tr("Weigh it air-dry."))
    return row


def _shown(measure: Measure) -> str:
    return measure.typed or show_measure(measure)


def _mass_problems(where: str, mass: Measure) -> list[Problem]:
    if mass.kind != "mass":
        return [Problem(where, tr("{amount} is not a mass", amount=_shown(mass)),
                        tr("Give what the scale showed, as in {example}.", example=show_round(14.2, "kg")))]
    if not mass.si > 0 and where == "gross":
        return [Problem(where, tr("{amount} is nothing", amount=_shown(mass)), tr("Give what the scale showed."))]
    return []


def _weighed_problems(facts: LotFacts) -> list[Problem]:
    if facts.gross is None:
        return [Problem("gross", tr("what the scale showed is missing"), tr("Give the weight with the pail."))]
    found = _mass_problems("gross", facts.gross)
    if facts.tare is not None:
        found += _mass_problems("tare", facts.tare)
        if not found and facts.tare.si >= facts.gross.si:
            found.append(Problem("tare",
                                 tr("{tare} is not less than the gross of {gross}", tare=_shown(facts.tare),
                                    gross=_shown(facts.gross)),
                                 tr("Swap them, or weigh the empty pail again.")))
    return found or _division_problems(facts)


def _division_problems(facts: LotFacts) -> list[Problem]:
    step = facts.division
    if step is None:
        return []
    if step.kind != "mass" or not step.si > 0:
        return [Problem("scale division", tr("{amount} is not the step of a scale", amount=_shown(step)),
                        tr("Give the smallest step that it shows, as in {example}.", example=show_round(0.02, "g")))]
    net, half = _by_division(facts)
    if half >= net:
        return [Problem("scale division", tr("a load of {mass} can't be told on a scale with steps of {step}",
                                             mass=show_si(net, "kg"), step=_shown(step)),
                        tr("Weigh it on a finer scale, or more of it at a time."))]
    return []


def _by_division(facts: LotFacts) -> tuple[float, float]:
    """The net mass [kg], and how far it may be off either way in 80 of 100 cases [kg]."""
    assert facts.gross is not None
    assert facts.division is not None
    gross, tare = facts.gross.si, 0.0 if facts.tare is None else facts.tare.si
    return gross - tare, Z90 * net_deviation(gross, tare, facts.division.si, facts.scale)


def _counted_problems(facts: LotFacts) -> list[Problem]:
    if facts.count is None:
        return [Problem("count", tr("how many there are is missing"), tr("Give how many you counted."))]
    if facts.count < 1:
        return [Problem("count", tr("{count} is nothing", count=facts.count),
                        tr("Give how many you counted, 1 at least."))]
    return sample_problems(facts)


def _poured_problems(facts: LotFacts) -> list[Problem]:
    found: list[Problem] = []
    pails = _number(found, "pails", facts.pails, tr("Give how many pails were filled, as in 2.5."))
    if pails is not None and not pails > 0:
        found.append(Problem("pails", tr("{pails} is nothing", pails=facts.pails),
                             tr("Give how many pails were filled.")))
    if facts.pail is None:
        found.append(Problem("pail", tr("the size of the pail is missing"),
                             tr("Give what one pail holds, as in {example}.", example=show_round(12, "L"))))
    elif facts.pail.kind != "volume" or not facts.pail.si > 0:
        found.append(Problem("pail", tr("{amount} is not the size of a pail", amount=_shown(facts.pail)),
                             tr("Give what one pail holds, as in {example}.", example=show_round(12, "L"))))
    if facts.fill is not None:
        fill = _number(found, "fill", facts.fill, tr("Give the share that was full, as in 0.5."))
        if fill is not None and not 0 < fill <= MOST_FILL:
            found.append(Problem("fill", tr("{fill} is not a share of a pail", fill=facts.fill),
                                 tr("Give 0.5 for half full, 1 for level with the rim, {most} at most.",
                                    most=MOST_FILL)))
    return found


def _number(found: list[Problem], where: str, text: str | None, fix: str) -> Decimal | None:
    if text is None:
        found.append(Problem(where, tr("a number is missing"), fix))
        return None
    try:
        return read_number(text, where=where)
    except Refused as refused:
        found.extend(refused.problems)
        return None


def _weighed(facts: LotFacts) -> Range:
    assert facts.gross is not None  # amount_problems has seen to it
    gross = facts.gross.si
    tare = 0.0 if facts.tare is None else facts.tare.si
    net = gross - tare
    if facts.division is not None:
        half = _by_division(facts)[1]
        return Range(net - half, net, net + half, "kg", (*_scale_reasons(facts), _division_reason(facts, net)))
    # Each of the two weighings is off by its own 3 %, so a heavy pail makes a light load less sure.
    off = 1 + (SCALE - 1) * (gross**2 + tare**2) ** 0.5 / net
    each = tr("± {share:.0f} % at each weighing", share=(SCALE - 1) * 100)
    reason = Reason(tr("scale"), each, "default", tr(_PRACTICE), "practice")
    return Range(net / off, net, net * off, "kg", (*_scale_reasons(facts), reason))


def _scale_reasons(facts: LotFacts) -> tuple[Reason, ...]:
    assert facts.gross is not None
    on_scale = Reason(tr("on the scale"), _shown(facts.gross), "weighed")
    return (on_scale,) if facts.tare is None else (on_scale,
                                                   Reason(tr("pail, taken off"), _shown(facts.tare), "weighed"))


def _division_reason(facts: LotFacts, net: float) -> Reason:
    assert facts.division is not None
    step = _shown(facts.division)
    if facts.scale is None:
        return Reason(tr("scale"), tr("steps of {step}, ± {share:g} of them at each weighing", step=step,
                                      share=UNVERIFIED), "said", tr(_PRACTICE), "practice")
    small = net < least_load(facts.division.si, facts.scale)
    shown = (tr("steps of {step}, class {scale}, below the least load that it is meant for", step=step,
                scale=facts.scale) if small
             else tr("steps of {step}, class {scale}", step=step, scale=facts.scale))
    return Reason(tr("scale"), shown, "said", tr("OIML R 76-1, Table 6, in service"), "seen")


def _stuff(facts: LotFacts, stuff: Material | None) -> tuple[Material, Part]:
    stuff = stuff or material(facts.material)
    part = stuff.part(facts.part)
    if facts.basis == "counted" and not part.countable:
        raise refuse("count", tr("{name} can't be counted", name=part.said), tr("Weigh it, or say how many pails."))
    if facts.basis == "poured" and not part.pourable:
        raise refuse("pails", tr("{name} can't be measured in pails", name=part.said), tr("Weigh it, or count it."))
    return stuff, part


def _counted(facts: LotFacts, known: Material | None) -> Range:
    assert facts.count is not None  # amount_problems has seen to it
    stuff, part = _stuff(facts, known)
    row = row_of(stuff, f"piece-{part.key}", facts.condition)
    return counted_mass(facts, row.range(f"{part.one_said}, {state_words(facts.condition)}"), part.one_said)


def _poured(facts: LotFacts, known: Material | None) -> Range:
    assert facts.pail is not None  # amount_problems has seen to it
    assert facts.pails is not None
    stuff, part = _stuff(facts, known)
    pails = read_number(facts.pails, where="pails")
    fill = Decimal(1) if facts.fill is None else read_number(facts.fill, where="fill")
    cubic_metres = float(pails) * facts.pail.si / 1000
    said = (tr("level with the rim") if fill == 1
            else tr("{share} % full", share=show_number(float(fill * 100))))
    by_eye = tr("{fill}, ± {share:.0f} % by eye", fill=said, share=(_FILL - 1) * 100)
    basis = "default" if facts.fill is None else "said"
    full = Range(float(fill) / _FILL, float(fill), float(fill) * _FILL, "1",
                 (Reason(tr("filled"), by_eye, basis, tr(_PRACTICE), "practice"),))
    row = row_of(stuff, f"pour-{part.key}", facts.condition)
    poured = Reason(tr("poured"), f"{facts.pails} × {_shown(facts.pail)}", "poured")
    density = row.range(tr("{name} as poured, {condition}", name=part.said, condition=state_words(facts.condition)))
    return product(exact(cubic_metres, "m³", poured), full, density, unit="kg")
