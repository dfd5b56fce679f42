"""What to carry on a round: how much room the load takes, and which pails of one's own give it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from field_app.core.estimate import Range, product, quotient
from field_app.core.materials import Material
from field_app.core.totals import total
from field_app.core.vessels import VesselNow

__all__ = ["enough_pails", "room_of", "room_of_all"]


def room_of(stuff: Material, mass: Range) -> Range | None:
    """The room [L] that a mass [kg] of the part that is picked up takes, or None where nobody weighed a full pail."""
    poured = stuff.parameter(f"pour-{stuff.parts[0].key}")
    if poured is None or mass.high <= 0:
        return None
    return product(quotient(mass, poured.range("poured"), unit="m3"), Range(1000.0, 1000.0, 1000.0, "L"), unit="L")


def room_of_all(rooms: Iterable[Range | None]) -> Range:
    """The room [L] of all loads together; what is not known counts as nothing."""
    return total((one for one in rooms if one is not None), unit="L")


def enough_pails(pails: Sequence[VesselNow], litres: float) -> tuple[VesselNow, ...]:
    """The fewest pails that hold so much [L], the largest first; all of them, if they are too small together."""
    chosen: list[VesselNow] = []
    for one in sorted(pails, key=lambda pail: (-pail.litres, pail.name)):
        if sum(pail.litres for pail in chosen) >= litres:
            break
        chosen.append(one)
    return tuple(chosen)
