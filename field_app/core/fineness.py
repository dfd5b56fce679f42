"""Reads how finely a load was measured: the division of the scale, and a sample of counted pieces."""

from __future__ import annotations

from field_app.core.forms import Reader, WindfallForm
from field_app.core.scales import CLASSES
from field_app.core.units import Measure, read_measure, read_number, show_round
from field_app.words import tr

__all__ = ["read_sample", "read_scale"]

# One piece is told in the small unit of the scale that weighs the load.
_SMALL = {"kg": "g", "g": "g", "t": "g"}


def _small(form: WindfallForm) -> str:
    return _SMALL.get(form.unit, "oz")


def read_scale(reader: Reader, form: WindfallForm) -> dict[str, object]:
    """The facts of the scale, as they were typed: its smallest step, and its class."""
    found: dict[str, object] = {}
    if form.division.strip():
        found["division"] = reader.read(lambda: read_measure(form.division, kind="mass", where="scale division",
                                                             default_unit=_small(form)))
    if form.scale.strip():
        known = form.scale.strip().upper()
        if known not in CLASSES:
            reader.wrong("scale class", tr("{scale!r} is none of {choices}", scale=form.scale.strip(),
                                           choices=", ".join(CLASSES)),
                         tr("It stands in an oval on the plate of a verified scale; leave it out if there is none."))
        elif not form.division.strip():
            reader.wrong("scale division", tr("is missing beside the class of the scale"),
                         tr("Give the smallest step that it shows, as in {example}.", example=show_round(0.02, "g")))
        else:
            found["scale"] = known
    return found


def read_sample(reader: Reader, form: WindfallForm) -> dict[str, object]:
    """The facts of a weighed sample, as they were typed: its masses, and how many were weighed at a time."""
    if not form.sample.strip():
        if form.sample_each.strip():
            reader.wrong("sample", tr("is missing beside how many were weighed at a time"),
                         tr("Give what they weighed, as in {example}.",
                            example=f"{show_round(0.68, 'g')}; {show_round(0.705, 'g')}"))
        return {}
    found: list[Measure] = []
    for text in form.sample.replace("\n", ";").split(";"):
        if text.strip():
            mass = reader.read(lambda text=text: read_measure(  # type: ignore[misc]  # a lambda's default
                text, kind="mass", where="sample", default_unit=_small(form)))
            found += [mass] if mass is not None else []
    each = 1
    if form.sample_each.strip():
        number = reader.read(lambda: read_number(form.sample_each, where="sample each"))
        if number is not None and (number != number.to_integral_value() or number < 1):
            reader.wrong("sample each", tr("{text} is not a whole number from 1 on", text=form.sample_each.strip()),
                         tr("Give how many were weighed at a time."))
        elif number is not None:
            each = int(number)
    return {"sample": tuple(found), "sample_each": each}
