"""The log kept as a journal: what was kept is there again, whatever happens to the end of the file."""

from __future__ import annotations

import contextlib
import itertools
import random
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.problems import NewerFolder, NoRoom, Problem
from field_app.core.records import Draft
from field_app.store import HEAD, JournalLog, Log, read_journal
from field_app.store.holding import COLUMNS
from field_app.store.inspection import inspect
from field_app.store.journal import entry
from field_app.store.sync import merge, set_aside
from tests.store.making import NOW_MS, Devices, urn

RNG = random.Random(4)


class Paper:
    """A journal in memory: what was kept so far, as one file would hold it."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.data, self.full, self.turn = folder, HEAD, False, itertools.count(1)

    def keep(self, data: bytes) -> None:
        if self.full:
            raise NoRoom(Problem("records", "there is no room", "Make room."))
        self.data += data

    def open(self, data: bytes | None = None) -> contextlib.closing[JournalLog]:
        number = next(self.turn)
        journal = read_journal(self.data if data is None else data)
        return contextlib.closing(JournalLog(self.folder / str(number), new_device=f"{number:016x}",
                                             entries=journal.entries, keep=self.keep))


@pytest.fixture
def paper(tmp_path: Path) -> Paper:
    return Paper(tmp_path)


def lots(count: int) -> list[Draft]:
    return [Draft(urn(RNG), "lot", {"site": urn(RNG), "gathered": "2026-10-08T15:24:00-02:00", "note": f"nº {number}"})
            for number in range(count)]


def state(log: Log) -> tuple[object, ...]:
    with log.reading() as connection:
        things = connection.execute(f"select {COLUMNS} from thing order by id").fetchall()
        own = dict(connection.execute("select key, value from own where key != 'place'").fetchall())
    return tuple(log.texts()), things, own, set_aside(log)


def test_what_was_kept_is_there_at_the_next_start(paper: Paper) -> None:
    """Versions, what holds, the device with its clock and chain, and what was set aside outlive the memory."""
    odd = (b"no version", Problem("record 3", "is no version", "Ask for it again."))
    with paper.open() as log:
        log.append(lots(3), now_ms=NOW_MS)
        log.take_in_texts(Devices(3).many(200), now_ms=NOW_MS * 2)
        merge(log, [], aside=[odd], name="group.zip", now_ms=NOW_MS)
        log.append(lots(1), now_ms=NOW_MS)
        expected = state(log)
    with paper.open() as log:
        assert state(log) == expected
        assert inspect(log) == ()
        assert log.notices == ()
        log.append(lots(1), now_ms=NOW_MS)
        assert log.device == expected[2]["device"]  # type: ignore[index]  # a dictionary, as above
        assert log.last_own().seq == 5
        assert inspect(log) == ()


def test_reading_keeps_nothing(paper: Paper) -> None:
    """A start, a look and taking in what is known add no entry."""
    texts = Devices(2).many(10)
    with paper.open() as log:
        log.take_in_texts(texts, now_ms=NOW_MS * 2)
    before = paper.data
    with paper.open() as log:
        log.things("lot")
        log.take_in_texts(texts, now_ms=NOW_MS * 2)
    assert paper.data == before


def test_what_can_not_be_kept_is_not_saved(paper: Paper) -> None:
    """If the journal takes nothing, the save is refused, nothing of it is seen, and the next one goes on rightly."""
    with paper.open() as log:
        log.append(lots(1), now_ms=NOW_MS)
        expected, data = state(log), paper.data
        paper.full = True
        with pytest.raises(NoRoom):
            log.append(lots(2), now_ms=NOW_MS)
        assert (state(log), paper.data) == (expected, data)
        paper.full = False
        log.append(lots(1), now_ms=NOW_MS)
        expected = state(log)
    with paper.open() as log:
        assert state(log) == expected
        assert inspect(log) == ()


def test_a_torn_end_costs_only_what_was_not_saved(paper: Paper) -> None:
    """Cut off at any byte, the journal gives every save before that byte, whole, and the rest as torn."""
    ends = [len(HEAD)]
    with paper.open() as log:
        for number in (1, 2, 1):
            log.append(lots(number), now_ms=NOW_MS)
            ends.append(len(paper.data))
    for cut in range(len(HEAD), len(paper.data)):
        journal = read_journal(paper.data[:cut])
        whole = max(end for end in ends if end <= cut)
        assert journal.whole == whole
        assert sum(len(content.get("versions", ())) for content in journal.entries) == (0, 1, 3, 4)[ends.index(whole)]
        assert (journal.torn.data if journal.torn else b"") == paper.data[whole:cut]


@settings(max_examples=60)
@given(st.data())
def test_damage_is_given_back_and_what_comes_after_is_read(data: st.DataObject) -> None:
    """A changed byte spoils its own entry alone, whose bytes are given back; nothing wrong is ever read."""
    entries = [entry({"versions": [f"text {number}"], "own": {}}) for number in range(4)]
    whole = b"".join([HEAD, *entries])
    at = data.draw(st.integers(len(HEAD), len(whole) - 1))
    changed = data.draw(st.integers(0, 255).filter(lambda byte: byte != whole[at]))
    spoiled = whole[:at] + bytes([changed]) + whole[at + 1:]
    journal = read_journal(spoiled)
    told = [content["versions"][0] for content in journal.entries[1:]]
    struck = next(number for number in range(4) if at < len(HEAD) + sum(map(len, entries[:number + 1])))
    assert told == [f"text {number}" for number in range(4) if number != struck]
    found = b"".join(damage.data for damage in journal.damages)
    assert found in spoiled
    assert len(found) == len(entries[struck])


def test_a_newer_journal_is_refused() -> None:
    """What a newer program wrote is refused with a word, not read in part."""
    with pytest.raises(NewerFolder, match="newer version"):
        read_journal(entry({"format": "field-app journal", "v": 2}) + entry({"versions": []}))


def test_an_entry_that_is_there_twice_is_told_once(paper: Paper) -> None:
    """The same entry twice gives the same state as once."""
    with paper.open() as log:
        log.append(lots(2), now_ms=NOW_MS)
        expected = state(log)
    last = paper.data[len(HEAD):]
    with paper.open(paper.data + last) as log:
        assert state(log) == expected


def test_every_table_is_kept_or_follows_from_what_is(paper: Paper) -> None:
    """A table that the journal does not know of would be lost at the next start: none may be added unseen."""
    with paper.open() as log, log.reading() as connection:
        tables = {name for (name,) in connection.execute("select name from sqlite_schema where type = 'table'")}
        columns = {row[1] for row in connection.execute("pragma table_info(quarantine)")}
        own = {key for (key,) in connection.execute("select key from own")}
    assert tables == {"version", "quarantine", "own", "photograph", "thing", "migration"}
    assert columns == {"number", "name", "file", "at_ms", "place", "what", "fix", "record", "text"}
    assert own == {"device", "hlc", "seq", "prev", "former", "place", "rules"}


def test_an_entry_has_no_sign_of_a_frame_inside() -> None:
    """Whatever is kept, RS and LF stand only at an entry's ends, so that the next one is always found."""
    data = entry({"versions": ["\x1e\n\u2028 ½"], "own": {}})
    assert re.findall(rb"[\x1e\n]", data) == [b"\x1e", b"\n"]
    assert read_journal(data).entries[0]["versions"] == ["\x1e\n\u2028 ½"]
