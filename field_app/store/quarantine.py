"""What could not be taken in: kept as it came, with the reason, for a person to look at.

The law of this file:

1. Bytes are set aside once, under their own hash, and stay; taking the same file again adds nothing.
2. What a newer program takes in after all is no longer listed, though its bytes stay.
3. It concerns this device alone and is never handed on.
4. The reason is kept in English, and told in the language of who asks where it can be found again in the bytes.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass, replace

from field_app.core.intake import Reader
from field_app.core.problems import Problem, Refused
from field_app.core.records import name_of
from field_app.core.trust import read_trusted
from field_app.words import english, language

__all__ = ["SetAside", "keep", "listing", "m003_quarantine"]


@dataclass(frozen=True, slots=True)
class SetAside:
    """Bytes that were set aside: their name, from which file, when [ms since 1970], why, and themselves."""

    name: str
    file: str
    at_ms: int
    problem: Problem
    text: bytes


def m003_quarantine(connection: sqlite3.Connection) -> None:
    """The table of what was set aside."""
    connection.execute("""
        create table quarantine (
            number integer primary key,
            name text not null unique,
            file text not null,
            at_ms integer not null,
            place text not null,
            what text not null,
            fix text not null,
            record text,
            text blob not null
        )""")


def keep(connection: sqlite3.Connection, found: Iterable[tuple[bytes, Problem]], *, file: str, now_ms: int) -> int:
    """Set bytes aside, and say how many were not there yet [1]. To be called within a transaction."""
    new = 0
    for text, problem in found:
        new += connection.execute(
            "insert or ignore into quarantine (name, file, at_ms, place, what, fix, record, text) "
            "values (?, ?, ?, ?, ?, ?, ?, ?)",
            (name_of(text), file, now_ms, problem.where, problem.what, problem.fix, problem.record, text)).rowcount
    return new


def listing(connection: sqlite3.Connection) -> tuple[SetAside, ...]:
    """What is set aside and was not taken in since, in the order in which it came."""
    return tuple(
        SetAside(name, file, at_ms, _told(Problem(place, what, fix, record, _kind(what)), name, text), text)
        for name, file, at_ms, place, what, fix, record, text in connection.execute(
            "select name, file, at_ms, place, what, fix, record, text from quarantine "
            "where name not in (select name from version) order by number"))


def _kind(what: str) -> str:
    """The kind of a problem, by the English words in which it is kept."""
    if what.startswith(("is not what was written", "is not a text of its own")):
        return "damaged"
    return "newer-file" if "this program reads " in what else ""


def _told(kept: Problem, name: str, text: bytes) -> Problem:
    """The reason in the language that is spoken, if what is read now is what was read then."""
    if language() == "en":
        return kept
    with english():
        then = _objection(name, text)
    if then is None or then.what != kept.what:
        return kept
    now = _objection(name, text)
    return kept if now is None else replace(kept, what=now.what, fix=now.fix, kind=kept.kind or now.kind)


def _objection(name: str, text: bytes) -> Problem | None:
    try:
        read_trusted(text, name, where="record", reader=Reader())
    except Refused as refused:
        return refused.problems[0]
    return None
