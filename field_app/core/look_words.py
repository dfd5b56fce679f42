"""What was seen at a tree, as a person says it."""

from __future__ import annotations

from field_app.core.looks import GROUND, LookFacts, stages_of
from field_app.core.materials import MATERIALS
from field_app.words import tr

__all__ = ["look_words"]


def look_words(facts: LookFacts) -> str:
    """Stage, dents and what lies there, on one line.

    >>> look_words(LookFacts(site="", material="black-walnut", at="2026-10-01T09:00:00-02:00", dented=7, pressed=10,
    ...                      ground_words="a-handful"))
    '7 of 10 took a dent, a handful on the ground'
    """
    said = []
    stuff = MATERIALS.get(facts.material)
    if facts.stage is not None:
        said.append(tr(stages_of(stuff).get(facts.stage, facts.stage)) if stuff else facts.stage)
    if facts.pressed:
        said.append(tr("{dented} of {pressed} took a dent", dented=facts.dented, pressed=facts.pressed))
    if facts.ground is not None:
        said.append(tr("{ground} on the ground", ground=facts.ground) if facts.ground else tr("none on the ground"))
    elif facts.ground_words is not None:
        row = GROUND.get(facts.ground_words)
        amount = tr(row.words) if row else facts.ground_words
        said.append(amount if facts.ground_words == "covered" else tr("{ground} on the ground", ground=amount))
    return ", ".join(said) or tr("a note")
