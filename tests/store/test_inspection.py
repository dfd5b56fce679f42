"""Every kind of damage in a folder is found, and a sound folder is told to be sound."""

import contextlib
import sqlite3

import pytest

from field_app.core.records import Draft, name_of
from field_app.store.folder import DATABASE
from field_app.store.inspection import inspect
from field_app.store.log import Log
from field_app.store.schema import m001_versions
from tests.store.making import NOW_MS, Devices, feature_of, text_of

SITE = "urn:uuid:01890000-0000-7000-8000-000000000001"
LOT = "urn:uuid:01890000-0000-7000-8000-000000000002"


@pytest.fixture
def full(log):
    """A log with versions of its own and of others."""
    log.append([Draft(SITE, "site", {"name": "Mill lane"}), Draft(LOT, "lot", {"site": SITE})], now_ms=NOW_MS)
    log.take_in_texts(Devices(3, edits=0.4).many(60), now_ms=NOW_MS)
    return log


def harm(log, sql, *values):
    """Change the folder as no program of ours would."""
    with log.writing() as connection:
        guards = connection.execute("select name, sql from sqlite_schema where type = 'trigger'").fetchall()
        for name, _ in guards:
            connection.execute(f"drop trigger {name}")
        assert connection.execute(sql, values).rowcount > 0
        for _, guard in guards:
            connection.execute(guard)


def words(log):
    problems = inspect(log)
    assert all(problem.fix for problem in problems)
    return [f"{problem.where}: {problem.what}" for problem in problems]


def test_a_sound_folder_has_no_problem(full):
    """Versions of several devices with corrections, and nothing is wrong; looking changes nothing."""
    mark = full.change_mark()
    assert (inspect(full), full.change_mark()) == ((), mark)


@pytest.mark.parametrize(("sql", "found"), [
    ("update version set text = cast(replace(cast(text as text), 'Mill', 'Bill') as blob) where number = 1",
     "not those it is named by"),
    ("update version set text = 'no bytes' where number = 2", "not those it is named by"),
    ("update version set hlc = '0' where number = 2", "columns differ"),
    ("update version set kind = 'leave' where number = 2", "columns differ"),
    ("update version set seq = 77 where number = 2", "columns differ"),
    ("update version set deleted = 1 where number = 2", "columns differ"),
    ("update version set parents = name where number = 2", "columns differ"),
    ("delete from thing where id = (select min(id) from thing)", "is not listed"),
    ("delete from thing where id = (select max(id) from thing)", "is not listed"),
    ("update thing set id = 'urn:uuid:0' where id = (select min(id) from thing)", "nothing was ever said"),
    ("update thing set id = 'urn:uuid:f' where id = (select max(id) from thing)", "nothing was ever said"),
    ("update thing set sort = 'x' where kind = 'lot'", "differs from what was said"),
    ("update thing set code = 'x' where kind = 'lot'", "differs from what was said"),
    ("update thing set deleted = 1 - deleted where kind = 'lot'", "differs from what was said"),
    ("update thing set heads = heads || ' x' where kind = 'lot'", "differs from what was said"),
    ("update thing set held = held + 1 where kind = 'lot'", "differs from what was said"),
    ("update thing set of = null where kind = 'lot'", "differs from what was said"),
    ("update own set value = '9' where key = 'seq'", "has counted 9"),
    ("update own set value = 'ni:///sha-256;' || substr(hex(zeroblob(22)), 1, 43) where key = 'prev'", "has counted"),
    ("update own set value = 'x' where key = 'prev'", "changed by the disk"),
    ("update own set value = 'x' where key = 'rules'", "other rules"),
    ("delete from own", "has no id"),
])
def test_what_was_changed_is_found(full, sql, found):
    """A row that no longer fits what was said is told of, with what to do."""
    harm(full, sql)
    assert any(found in one for one in words(full))


@pytest.mark.parametrize(("sql", "found"), [
    ("drop trigger version_no_delete", "trigger version_no_delete: is missing"),
    ("alter table thing add column colour text", "table thing: is missing or was changed"),
])
def test_a_frame_that_another_program_changed_is_found(full, sql, found):
    """A guard that was taken off, or a table that was altered, is told, though every record is still whole."""
    with full.writing() as connection:
        connection.execute(sql)
    assert [text for text in words(full) if found in text]


def test_a_rebuild_mends_what_holds(full):
    """Whatever is wrong with what holds, working it out anew mends it."""
    harm(full, "update thing set sort = 'x', held = 1, heads = 'y'")
    assert len(words(full)) > 10
    full.rebuild()
    assert words(full) == []


def test_a_missing_version_is_found_by_its_place_in_the_chain(full):
    """When a version of a chain is gone, its device and number are told."""
    device = Devices(3, edits=0.4).devices[1]
    harm(full, "delete from version where device = ? and seq = 5", device)
    assert f"device {device}: record 5 is missing" in words(full)
    harm(full, "delete from version where device = ? and seq in (1, 2, 6)", device)
    assert f"device {device}: records 1 to 2 are missing" in words(full)
    assert f"device {device}: records 5 to 6 are missing" in words(full)


def test_a_version_that_does_not_follow_is_found(log):
    """A record that names another one than that before it, or one before the first, is told of."""
    first = text_of(feature_of(SITE, "site", {"name": "Mill lane"}))
    stranger = text_of(feature_of(SITE, "site", {"name": "Ford bend"}, seq=2, prev="ni:///sha-256;" + "A" * 43))
    log.take_in_texts([first, stranger], now_ms=NOW_MS)
    log.take_in_texts([text_of(feature_of(LOT, "lot", {}, device="c" * 16, prev=name_of(first)))], now_ms=NOW_MS)
    assert words(log) == [f"device {'a' * 16}: its record 2 does not follow one before it",
                          f"device {'c' * 16}: its record 1 does not follow one before it"]


def test_two_ends_of_a_copied_chain_are_no_damage(log):
    """Two versions with one number that both follow the one before are whole chains, and so is what follows them."""
    def say(seq, before, ms, name):
        return text_of(feature_of(SITE, "site", {"name": name}, seq=seq, ms=NOW_MS + ms,
                                  prev=before and name_of(before)))

    first = say(1, None, 0, "Mill lane")
    second, rival = say(2, first, 1, "Ford bend"), say(2, first, 2, "Oak ride")
    third, rival_third = say(3, second, 3, "Heron marsh"), say(3, rival, 4, "Schoolyard")
    log.take_in_texts([first, second, rival, third, rival_third], now_ms=NOW_MS)
    assert words(log) == []


def test_a_replaced_version_that_is_missing_is_found(log):
    """A version whose parent never came is told of by the missing name."""
    missing = "ni:///sha-256;" + "B" * 43
    log.take_in_texts([text_of(feature_of(SITE, "site", {"name": "Mill lane"}, parents=(missing,)))], now_ms=NOW_MS)
    assert words(log) == [f"version 1: the version it replaces is missing ({missing})"]


def test_text_that_is_not_canonical_is_found(tmp_path):
    """Bytes that fit their name, but are no version, are told of."""
    with contextlib.closing(Log(tmp_path / "data", new_device="a" * 16)) as log:
        text = text_of(feature_of(SITE, "site", {"name": "Mill lane"})) + b" "
        with log.writing() as connection:
            connection.execute("insert into version values (1, ?, ?, 'site', '', '', 1, 0, '', ?)",
                               (name_of(text), SITE, text))
        assert any("canonical form of RFC 8785" in one for one in words(log))


@pytest.mark.parametrize("page", [3, 5, 8])
def test_damage_to_the_file_is_found(tmp_path, page):
    """Zeros over any page are found by SQLite's own check, or refused when the folder is opened."""
    from field_app.core.problems import DamagedFolder

    with contextlib.closing(Log(tmp_path / "data", new_device="a" * 16)) as log:
        log.take_in_texts(Devices(2).many(80), now_ms=NOW_MS)
    with (tmp_path / "data" / DATABASE).open("r+b") as file:
        file.seek(4096 * (page - 1))
        file.write(bytes(4096))
    try:
        with contextlib.closing(Log(tmp_path / "data", new_device="a" * 16)) as log:
            found = words(log)
    except DamagedFolder as fault:
        found = [str(fault)]
    assert found != []


def test_the_triggers_are_part_of_the_tables():
    """The table of versions is made with the two triggers that keep it as it is."""
    with contextlib.closing(sqlite3.connect(":memory:")) as connection:
        m001_versions(connection)
        assert {name for (name,) in connection.execute("select name from sqlite_schema where type = 'trigger'")} == {
            "version_no_update", "version_no_delete"}
