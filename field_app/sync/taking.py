"""One file into the book, and the book into one file."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from field_app.core.course import part, step
from field_app.core.deeds import draw_id
from field_app.core.facts import DrawFacts
from field_app.core.lots import LotNow
from field_app.core.problems import Problem, Refused
from field_app.core.records import code_of
from field_app.core.units import read_measure
from field_app.handover.draws import PlannedDraw, is_draws, read_draws
from field_app.handover.group import group_file
from field_app.handover.take import Taken, take
from field_app.store import FieldBook
from field_app.store.sync import Merged, known_names, merge
from field_app.sync.settling import disagreements
from field_app.words import english, tr

__all__ = ["DrawsTaken", "group_bytes", "is_list_of_draws", "merge_bytes", "merge_draws", "take_in"]

is_list_of_draws = is_draws


@dataclass(frozen=True, slots=True)
class DrawsTaken:
    """What came of a planner's list: how many draws were taken, were taken already [1], and what is wrong."""

    new: int
    known: int
    problems: tuple[Problem, ...]


def _now_ms(book: FieldBook) -> int:
    return int(book.now().timestamp() * 1000)


def take_in(book: FieldBook, data: bytes, name: str) -> tuple[Merged, Taken]:
    """Take in what a file of ours holds; also gives what was found in it.

    Raises Refused if it is none, and the faults of the folder. Every problem names the file.
    """
    log = book.log_book
    with part(0.0, 0.5):
        taken = take(data, known=lambda names: known_names(log, names))
    with english():  # as the reasons are kept
        aside_here = tuple((text, _of_file(name, problem)) for text, problem in taken.quarantined)
    named = replace(
        taken, problems=tuple(_of_file(name, problem) for problem in taken.problems),
        notes=tuple(_of_file(name, note) for note in taken.notes), quarantined=aside_here)
    with part(0.5, 1.0):
        merged = merge(log, named.versions, named.quarantined, name=name, now_ms=_now_ms(book))
    aside = {problem for _, problem in named.quarantined}
    problems = (*named.problems, *(problem for problem in merged.problems if problem not in aside))
    return replace(merged, known=merged.known + named.known, problems=problems), named


def _of_file(name: str, problem: Problem) -> Problem:
    return replace(problem, where=name if problem.where == "file" else f"{name}, {problem.where}")


def merge_bytes(book: FieldBook, data: bytes, name: str) -> Merged:
    """Take in what a group file, what is left of one, or a bare list of versions holds.

    name: of the file, for the messages. Taking the same file again adds nothing.
    Raises Refused for a planner's file or none of ours, and the faults of the folder.
    """
    return take_in(book, data, name)[0]


def merge_draws(book: FieldBook, data: bytes, name: str) -> DrawsTaken:
    """Take the draws of a planner's list; one that was taken already is not taken again.

    name: of the file, for the messages, which name the row. Rows that are wrong are left out.
    Raises the faults of the folder.
    """
    draws, problems = read_draws(data, name)
    found, new = list(problems), 0
    for number, draw in enumerate(draws):
        step(number / len(draws))
        try:
            new += _take_draw(book, draw)
        except Refused as refused:
            found.extend(replace(problem, where=f"{name} row {draw.row}, {problem.where}")
                         for problem in refused.problems)
    # The rows that were read wrongly and those that could not be taken are told in the order of the list.
    found.sort(key=_row_of)
    refused_rows = len({problem.where.split(",")[0] for problem in found} & {f"{name} row {d.row}" for d in draws})
    return DrawsTaken(new, len(draws) - new - refused_rows, tuple(found))


def _row_of(problem: Problem) -> int:
    row = re.search(r" row ([0-9]+)", problem.where)
    return int(row[1]) if row else 0


def _take_draw(book: FieldBook, draw: PlannedDraw) -> bool:
    """Whether the draw is new. Raises Refused if its id already stands for another draw, or it can't be taken."""
    held = book.log_book.thing(draw_id(draw.form.ref))
    if held is None:
        book.draw(draw.lot, draw.form)
        return True
    facts = DrawFacts.model_validate(dict(held.facts))
    kind = facts.amount.kind
    try:
        same = read_measure(draw.form.amount, kind=kind, where="amount").si == facts.amount.si
    except Refused:
        same = False
    if not same or draw.lot not in (facts.lot, code_of(facts.lot, len(draw.lot))):
        raise Refused([Problem(
            "draw_id", tr("{draw} was taken already, as {amount} from lot {code}", draw=draw.form.ref,
                          amount=facts.amount, code=code_of(facts.lot)),
            tr("Give the new draw an id that was never used."), held.id)])
    return False


def lots_of(book: FieldBook) -> tuple[LotNow, ...]:
    """All lots that can be worked out; one that can't be keeps no other from being told."""
    try:
        return book.lots(limit=-1)
    except (Refused, ValueError):
        found: list[LotNow] = []
        for thing in book.log_book.things("lot"):
            try:
                found.append(book.lot(thing.id))
            except (Refused, ValueError):
                continue
        return tuple(found)


def group_bytes(book: FieldBook, texts: list[bytes] | None = None) -> bytes:
    """The group file of everything that the book knows now; texts: of all its versions, if they are at hand."""
    with english():
        return group_file(list(book.log_book.texts()) if texts is None else texts, lots_of(book), book.sites(),
                          disagreements(book), device=book.log_book.device, made=book.now())
