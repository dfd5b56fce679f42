"""The tables come into being in order, whole or not at all."""

import contextlib
import sqlite3

import pytest

from field_app.store import log as log_module
from field_app.store import schema
from field_app.store.folder import DATABASE
from field_app.store.inspection import inspect
from field_app.store.schema import APPLICATION_ID, FORMAT, MIGRATIONS, due, migrate
from tests.store.making import NOW_MS, Devices


def m900_notes(connection):
    """A later step, as a newer program would have it."""
    connection.execute("create table note (text)")


def m901_breaks(connection):
    """A step that fails half-way."""
    connection.execute("create table half (text)")
    raise sqlite3.OperationalError("the power went")


@pytest.fixture
def database(tmp_path):
    with contextlib.closing(sqlite3.connect(tmp_path / "x.sqlite", isolation_level=None)) as connection:
        yield connection


def tables(connection):
    return {name for (name,) in connection.execute("select name from sqlite_schema where type = 'table'")}


def marks(connection):
    return tuple(connection.execute(f"pragma {name}").fetchone()[0] for name in ("application_id", "user_version"))


def apply(connection, steps):
    connection.execute("begin immediate")
    try:
        migrate(connection, steps)
        connection.execute("commit")
    except BaseException:
        connection.execute("rollback")
        raise


def test_steps_are_done_once_and_in_order(database):
    """What was done is not due again; what came later is, alone."""
    assert due(database) == list(MIGRATIONS)
    apply(database, MIGRATIONS)
    assert due(database) == []
    assert due(database, (*MIGRATIONS, m900_notes)) == [m900_notes]
    apply(database, (*MIGRATIONS, m900_notes))
    assert [name for (name,) in database.execute("select name from migration order by number")] == [
        *(step.__name__ for step in MIGRATIONS), "m900_notes"]


def test_a_step_that_fails_leaves_nothing_behind(database):
    """When a step breaks off, the tables, the records of steps and the marks are those of before."""
    with pytest.raises(sqlite3.OperationalError):
        apply(database, (*MIGRATIONS, m901_breaks))
    assert (tables(database), marks(database)) == (set(), (0, 0))
    apply(database, MIGRATIONS)
    before = tables(database)
    with pytest.raises(sqlite3.OperationalError):
        apply(database, (*MIGRATIONS, m900_notes, m901_breaks))
    assert (tables(database), marks(database)) == (before, (APPLICATION_ID, FORMAT))


def test_a_folder_of_an_older_program_is_brought_up_to_date(opened, monkeypatch):
    """A folder without the latest step gets it when it is opened, and keeps its data."""
    log = opened()
    log.take_in_texts(Devices(2).many(30), now_ms=NOW_MS)
    texts = list(log.texts())
    log.close()
    monkeypatch.setattr(log_module, "due", lambda connection: due(connection, (*MIGRATIONS, m900_notes)))
    monkeypatch.setattr(log_module, "migrate", lambda connection: migrate(connection, (*MIGRATIONS, m900_notes)))
    log = opened()
    with log.reading() as connection:
        assert "note" in tables(connection)
    assert (list(log.texts()), inspect(log)) == (texts, ())


def test_a_step_that_a_newer_program_did_is_left_alone(opened, tmp_path):
    """A newer program that keeps the format may have added a step; the older one goes on with the folder."""
    opened().close()
    with contextlib.closing(sqlite3.connect(tmp_path / "data" / DATABASE, isolation_level=None)) as connection:
        apply(connection, (*MIGRATIONS, m900_notes))
    log = opened()
    log.take_in_texts(Devices(1).many(5), now_ms=NOW_MS)
    assert inspect(log) == ()


def test_what_holds_is_worked_out_anew_when_the_rules_change(opened, monkeypatch):
    """A kind that the program learns is listed under what it belongs to, also for versions taken in before."""
    from field_app.core import records

    log = opened()
    log.take_in_texts([Devices(1).write(Devices(1).devices[0], "urn:uuid:01890000-0000-7000-8000-00000000000a",
                                        "smell", {"lot": "urn:uuid:01890000-0000-7000-8000-00000000000b"})],
                      now_ms=NOW_MS)
    assert (log.count("smell"), log.count("smell", of="urn:uuid:01890000-0000-7000-8000-00000000000b")) == (1, 0)
    log.close()
    monkeypatch.setattr(records, "KINDS", {**records.KINDS, "smell": "lot"})
    monkeypatch.setattr(log_module, "RULES", schema.RULES + " and smells")
    log = opened()
    assert log.count("smell", of="urn:uuid:01890000-0000-7000-8000-00000000000b") == 1


@pytest.mark.parametrize("deed", ["update version set kind = 'x'", "delete from version"])
def test_what_happened_is_never_changed(opened, deed):
    """The table of versions itself refuses to change or lose a row."""
    log = opened()
    log.take_in_texts(Devices(1).many(3), now_ms=NOW_MS)
    with pytest.raises(sqlite3.IntegrityError, match="never changed"), log.writing() as connection:
        connection.execute(deed)
    assert len(log.versions()) == 3
