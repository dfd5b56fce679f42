"""What came of sharing, as those say it who gather: what is new, what could not be read, what to see to."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from field_app.core.problems import Problem, Refused
from field_app.core.units import show_si
from field_app.store import FieldBook
from field_app.store.sync import SetAside, clock_notes, copy_notes, drawn_from
from field_app.sync import SyncReport
from field_app.ui.history_words import Names
from field_app.ui.sharing import CameIn
from field_app.words import begun, later, listed, tr, tr_n

__all__ = ["Heed", "aloud", "folder_words", "grouped", "in_words", "plain_problems"]

_ASK_AGAIN = later("Ask for the file once more; what was good in it is kept.")
#: What is wrong with a file, by its kind, for somebody who doesn't know what is inside such a file; and what to do.
_PLAIN = MappingProxyType({
    "planners-file": (later("is what goes to a dye day: it tells what there is, and can't be taken in"),
                      later("Ask for the group file, which each device writes on this screen.")),
    "cut": (later("is not whole: its end is missing"), _ASK_AGAIN),
    "damaged": (later("was changed or damaged on its way here"), _ASK_AGAIN),
    "records-missing": (later("{missing} of its {all} records are missing or damaged"), _ASK_AGAIN),
    "newer-file": (later("was written by a newer field book than this one"),
                   later("Update this one, then take the file in again.")),
    "not-ours": (later("is no file of a field book"), later("Choose another file.")),
})
#: A member of a group file, which nobody who gathers ever opens; and what may stand before a record in it.
_MEMBER = re.compile(r",? ?(versions|lots|sites|names|differences|datapackage)\.(geojsons?|csv|json)\b.*$")
_COPIED = (later("This field book was copied from another device, or brought back from an older state. Nothing is "
                 "lost: both are kept, and this device goes on under a name of its own."))


@dataclass(frozen=True, slots=True)
class Heed:
    """Something that somebody should see to; lot: the code of the lot that it is about, or empty."""

    title: str
    words: str
    lot: str = ""


def _heading(came: CameIn) -> str:
    if came.lots or came.trees:
        return listed([*([tr_n("{n:,} new lot", "{n:,} new lots", came.lots)] if came.lots else []),
                       *([tr_n("{n:,} new tree", "{n:,} new trees", came.trees)] if came.trees else [])])
    if came.new:
        return tr("News of lots and trees you know")
    if came.draws:
        return tr_n("{n:,} draw taken from your lots", "{n:,} draws taken from your lots", came.draws)
    # Where nothing at all could be read, what is wrong is said, and nothing else.
    return "" if came.files and came.files == len({one.where for one in came.refused}) else tr("Nothing new")


def in_words(came: CameIn, names: Names) -> tuple[str, tuple[str, ...]]:
    """What came in, as a heading and sentences, the most important first; no heading if nothing could be read."""
    lines = []
    senders = ", ".join(tr("{n:,} from {device}", n=count, device=names.called(device))
                        for device, count in came.devices.items() if count)
    if came.new and senders:
        lines.append(tr_n("{n:,} record came in: {senders}.", "{n:,} records came in: {senders}.", came.new,
                          senders=senders))
    elif came.new:
        lines.append(tr_n("{n:,} record came in.", "{n:,} records came in.", came.new))
    if came.draws and came.new:
        lines.append(tr_n("{n:,} draw taken from your lots.", "{n:,} draws taken from your lots.", came.draws))
    if came.known:
        lines.append(tr_n("{n:,} record was known here already.", "{n:,} records were known here already.",
                          came.known))
    if came.aside:
        lines.append(tr_n("{n:,} record could not be read and is set aside, with the reasons below.",
                          "{n:,} records could not be read and are set aside, with the reasons below.", came.aside))
    if came.cloned:
        lines.append(tr(_COPIED))
    return _heading(came), tuple(lines)


def folder_words(report: SyncReport, came: CameIn, names: Names) -> tuple[str, tuple[str, ...]]:
    """The same of bringing a shared folder up to date."""
    heading, lines = in_words(came, names)
    own = (tr("Your own file is written there for the others.") if report.wrote
           else tr("Your own file there was up to date."))
    return heading or tr("Nothing new"), (*lines, own)


def _plain(problem: Problem) -> Problem:
    where = _MEMBER.sub("", problem.where)
    if problem.kind not in _PLAIN:
        return replace(problem, where=where, record=None)
    what, fix = (tr(text) for text in _PLAIN[problem.kind])
    if problem.kind == "records-missing":
        # The numbers stand in what the reader of files says, in any language; fewer are missing than there are.
        numbers = sorted(int(number) for number in re.findall(r"[0-9]+", problem.what))
        what = what.format(missing=numbers[0], all=numbers[-1])
    return Problem(where, what, fix, kind=problem.kind)


def plain_problems(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """What is wrong with files, in plain words; the same thing is said once of each file."""
    return tuple(dict.fromkeys(_plain(problem) for problem in problems))


def grouped(aside: Sequence[SetAside]) -> list[tuple[Problem, int, int]]:
    """What is set aside: why, of which file, how many records [1], and when the last came [ms since 1970]."""
    found: dict[Problem, tuple[int, int]] = {}
    for one in aside:
        why = _plain(replace(one.problem, where=one.file))
        count, last = found.get(why, (0, 0))
        found[why] = (count + 1, max(last, one.at_ms))
    return [(why, count, last) for why, (count, last) in found.items()]


def aloud(book: FieldBook, names: Names) -> list[Heed]:
    """What somebody should see to: overdrafts, clocks that are wrong, copied devices, lots that can't be read."""
    log, found = book.log_book, list[Heed]()
    for key in drawn_from(log):
        try:
            lot = book.lot(key)
        except (Refused, ValueError):
            continue  # it can't be worked out, which is told below
        if lot.life.overdraft:
            more = show_si(lot.life.overdraft, lot.life.left.unit)
            found.append(Heed(tr("Lot {lot}: {more} more was taken than there was", lot=lot.code, more=more),
                              tr("Weigh what is there, or put back on its page what was not taken."), lot.code))
    notes = (*clock_notes(log, now_ms=int(book.now().timestamp() * 1000)), *copy_notes(log))
    return [*found, *(Heed(begun(names.within(note.what)), names.within(note.fix)) for note in notes)]
