"""What was said of a thing over time, in words: who, when, what, and whether it still counts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from field_app.core.differences import differences
from field_app.core.hlc import read_stamp
from field_app.core.records import Version, settle
from field_app.words import later, tr

__all__ = ["Standing", "Told", "tell"]

Standing = Literal["holds", "disagrees", "replaced"]
_FIRST = {"lot": later("logged"), "site": later("added"), "leave": later("told"), "step": later("done"),
          "draw": later("drawn"), "look": later("seen"), "plan": later("planned"), "value": later("set"),
          "test": later("noted"), "cloth": later("listed"), "vessel": later("added")}
_KINDS_SAID = (later("lot"), later("site"), later("leave"), later("step"), later("draw"), later("look"), later("plan"),
               later("value"), later("test"), later("cloth"), later("vessel"), later("warmth"))


@dataclass(frozen=True, slots=True)
class Told:
    """One version in words.

    hlc: its stamp, by which several are put in order; deed: what was done, as a key such as "logged" or "corrected";
    facts: what it says, of a correction only what is new, as pairs of what it is about and the words;
    standing: whether it holds, or disagrees with what holds, or was replaced.
    """

    version: str
    thing: str
    kind: str
    device: str
    hlc: str
    deed: str
    facts: tuple[tuple[str, str], ...]
    standing: Standing

    @property
    def at(self) -> dt.datetime:
        """When it was told, by the clock of its device."""
        return dt.datetime.fromtimestamp(read_stamp(self.hlc).ms / 1000, dt.UTC)

    @property
    def words(self) -> str:
        """What was done and what was said, on one line."""
        said = "; ".join(f"{tr(about)}: {tr(words)}" for about, words in self.facts)
        done = tr("{kind} {deed}", kind=tr(self.kind), deed=tr(self.deed))
        return f"{done}: {said}" if said else done


def tell(versions: Sequence[Version]) -> tuple[Told, ...]:
    """Everything that was said of one thing, oldest first. Raises ValueError for versions of several things.

    A version whose replaced one is not known is told like a first one.
    """
    by_name = {version.name: version for version in versions}
    heads = settle(by_name.values()).heads
    told = []
    for version in sorted(by_name.values(), key=lambda version: (version.hlc, version.name)):
        parents = [by_name[name] for name in version.parents if name in by_name]
        standing: Standing = "replaced"
        if version.name in heads:
            standing = "holds" if version.name == heads[0] else "disagrees"
        told.append(Told(
            version.name, version.thing, version.kind, version.device, version.hlc, _deed(version, parents),
            _facts(version, parents), standing))
    return tuple(told)


def _deed(version: Version, parents: Sequence[Version]) -> str:
    if version.deleted:
        return later("withdrawn")
    if len(parents) > 1:
        return later("settled")
    if not parents:
        return _FIRST.get(version.kind, later("told")) if not version.parents else "corrected"
    return later("brought back") if parents[0].deleted else later("corrected")


def _facts(version: Version, parents: Sequence[Version]) -> tuple[tuple[str, str], ...]:
    if version.deleted:
        return ()
    # Beside a version that says nothing, all that is said stands out; beside the one it replaces, what is new.
    before = replace(version, facts={}, position=None, parents=()) if len(parents) != 1 else parents[0]
    other = replace(before, deleted=False)
    return tuple((one.about, one.holds.words) for one in differences((version, other)))
