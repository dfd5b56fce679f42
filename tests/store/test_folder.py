"""The data folder: whose it is, who may read it, and that a refused one is not touched."""

import contextlib
import shutil
import sqlite3
import stat
import subprocess
import sys

import pytest

from field_app.core.problems import DamagedFolder, ForeignFolder, NewerFolder, NoRoom
from field_app.core.records import Draft
from field_app.store.folder import DATABASE, JOURNAL, check_folder, holds_data, told
from field_app.store.inspection import inspect
from field_app.store.log import Log
from field_app.store.schema import APPLICATION_ID, FORMAT
from tests.store.files import contents
from tests.store.making import NOW_MS, Devices


def refused(folder, fault):
    """The words with which the folder is refused, after which it is as it was before."""
    before = contents(folder)
    with pytest.raises(fault) as caught:
        Log(folder, new_device="b" * 16)
    assert contents(folder) == before
    return str(caught.value)


def header(folder, pragma, value):
    with contextlib.closing(sqlite3.connect(folder / DATABASE)) as connection:
        connection.execute(f"pragma {pragma}={value}")


def test_a_new_folder_is_for_its_owner_alone(opened, tmp_path):
    """The folder gets the rights 0700 and the file 0600, also the journal while it is written."""
    log = opened("deep/down/data")
    log.take_in_texts(Devices(1).many(3), now_ms=NOW_MS)
    assert stat.S_IMODE((tmp_path / "deep/down/data").stat().st_mode) == 0o700
    assert stat.S_IMODE((tmp_path / "deep/down/data" / DATABASE).stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "deep/down/data" / JOURNAL).stat().st_mode) == 0o600


def test_rights_that_a_copy_has_too_many_are_taken_away(opened, tmp_path):
    """A folder that everybody could read is for its owner alone after it is opened."""
    opened().close()
    (tmp_path / "data").chmod(0o755)
    (tmp_path / "data" / DATABASE).chmod(0o644)
    opened()
    assert [stat.S_IMODE((tmp_path / "data" / name).stat().st_mode) for name in (".", DATABASE)] == [0o700, 0o600]


def test_the_marks_are_in_the_header(log, tmp_path):
    """The file says whose it is and which format it has, in the places that SQLite keeps for this."""
    data = (tmp_path / "data" / DATABASE).read_bytes()
    assert (int.from_bytes(data[68:72], "big"), int.from_bytes(data[60:64], "big")) == (APPLICATION_ID, FORMAT)


def test_a_newer_folder_is_refused_untouched(opened, tmp_path):
    """A folder of a newer format is told to be newer; not a byte of it changes, and no journal is left."""
    opened().close()
    (tmp_path / "data" / JOURNAL).unlink()
    header(tmp_path / "data", "user_version", FORMAT + 1)
    words = refused(tmp_path / "data", NewerFolder)
    assert "newer version" in words
    assert "Update this program" in words
    assert [path.name for path in (tmp_path / "data").iterdir()] == [DATABASE]


def test_a_folder_that_becomes_newer_while_it_is_open_is_not_written(opened, tmp_path):
    """When a newer program changes the format of an open folder, saving is refused and nothing is added."""
    log = opened()
    header(tmp_path / "data", "user_version", FORMAT + 1)
    with pytest.raises(NewerFolder):
        log.take_in_texts(Devices(1).many(3), now_ms=NOW_MS)
    header(tmp_path / "data", "user_version", FORMAT)
    assert log.versions() == ()


@pytest.mark.parametrize("make", [
    lambda folder: (folder / "letters.txt").write_text("Dear miller"),
    lambda folder: (folder / DATABASE).write_text("not a database"),
    lambda folder: (folder / DATABASE).write_bytes(b"SQLite format 3\x00" + bytes(20)),
    lambda folder: (folder / DATABASE).write_bytes(b"\x00" * 8192),
    lambda folder: (folder / "photos").mkdir(),
], ids=["text", "not-a-database", "cut-header", "zeros", "folder"])
def test_a_foreign_folder_is_refused_untouched(tmp_path, make):
    """A folder with other things in it is refused, and they stay as they are."""
    make(tmp_path)
    assert "--data" in refused(tmp_path, ForeignFolder)


def test_another_programs_database_is_refused_untouched(tmp_path):
    """A database by the same name that another program made is refused, also one without a mark."""
    for mark in (0, 0x47504B47):
        with contextlib.closing(sqlite3.connect(tmp_path / DATABASE)) as connection:
            connection.execute(f"pragma application_id={mark}")
            connection.execute("create table if not exists layer (id)")
        assert "another program" in refused(tmp_path, ForeignFolder)


def test_a_file_in_place_of_the_folder_is_refused(tmp_path):
    """A file where the folder should be is told to be a file."""
    (tmp_path / "data").write_text("x")
    with pytest.raises(ForeignFolder, match="is a file"):
        Log(tmp_path / "data", new_device="b" * 16)


def test_a_journal_without_its_database_is_not_taken_for_an_empty_folder(opened, tmp_path):
    """Where only the journal is left, the data are told to be missing instead of starting anew."""
    opened().close()
    (tmp_path / "data" / DATABASE).unlink()
    assert "missing" in refused(tmp_path / "data", DamagedFolder)


def test_a_cut_off_file_is_told_as_damage(opened, tmp_path):
    """A database that lost its end is told to be unreadable, not to be empty."""
    log = opened()
    log.take_in_texts(Devices(1).many(200), now_ms=NOW_MS)
    log.close()
    data = (tmp_path / "data" / DATABASE).read_bytes()
    (tmp_path / "data" / DATABASE).write_bytes(data[:len(data) // 2])
    with pytest.raises(DamagedFolder, match="backup"):
        Log(tmp_path / "data", new_device="b" * 16)


def test_hidden_files_don_t_make_a_folder_foreign(opened, tmp_path):
    """A folder that holds nothing but hidden files counts as empty."""
    (tmp_path / "data").mkdir()
    (tmp_path / "data" / ".directory").write_text("x")
    assert not holds_data(tmp_path / "data")
    assert not check_folder(tmp_path / "data")
    opened()
    assert check_folder(tmp_path / "data")


def test_a_folder_that_can_t_be_made_is_told(tmp_path):
    """Where no folder can be made, the message names it and says what to do."""
    (tmp_path / "file").write_text("x")
    with pytest.raises(NoRoom, match=r"can't be used .*--data"):
        Log(tmp_path / "file" / "data", new_device="b" * 16)


def test_a_founding_that_was_cut_off_is_begun_again(tmp_path):
    """When the power goes while the first tables are written, the next opening takes back the half-written ones."""
    source, image = tmp_path / "source", tmp_path / "image"
    source.mkdir()
    image.mkdir()
    connection = sqlite3.connect(source / DATABASE, isolation_level=None)
    connection.execute("pragma journal_mode=truncate")
    connection.execute("pragma cache_size=1")
    connection.execute("begin immediate")
    connection.execute("create table filler (text)")
    connection.executemany("insert into filler values (?)", [("x" * 3000,)] * 20)
    for name in (DATABASE, JOURNAL):
        shutil.copyfile(source / name, image / name)
    connection.execute("rollback")
    connection.close()
    pages = (image / DATABASE).read_bytes()
    # The first page may not have reached the disk yet.
    (image / DATABASE).write_bytes(bytes(4096) + pages[4096:])
    with contextlib.closing(Log(image, new_device="b" * 16)) as log:
        log.append([Draft("urn:uuid:01890000-0000-7000-8000-000000000001", "site", {"name": "Mill lane"})],
                   now_ms=NOW_MS)
        assert inspect(log) == ()


@pytest.mark.parametrize(("code", "fault", "word"), [
    ("SQLITE_FULL", NoRoom, "Make room"), ("SQLITE_IOERR_WRITE", NoRoom, "Make room"),
    ("SQLITE_READONLY_DIRECTORY", NoRoom, "right to write"), ("SQLITE_CANTOPEN", NoRoom, "right to write"),
    ("SQLITE_BUSY", NoRoom, "another program"), ("SQLITE_CORRUPT", DamagedFolder, "backup"),
    ("SQLITE_IOERR_READ", DamagedFolder, "backup"), ("SQLITE_NOTADB", DamagedFolder, "backup"),
])
def test_every_fault_of_the_database_is_told_with_what_to_do(tmp_path, code, fault, word):
    """An error of SQLite becomes the fault of the one who can mend it, and names the folder."""
    error = sqlite3.OperationalError("as SQLite says it")
    error.sqlite_errorname = code
    with pytest.raises(fault, match=word) as caught, told(tmp_path):
        raise error
    assert str(tmp_path) in caught.value.problem.where


def test_misuse_of_the_database_is_not_told_as_damage(log):
    """A log used after it was closed is a mistake of ours, not of the person."""
    log.close()
    with pytest.raises(sqlite3.ProgrammingError):
        log.things("lot")


def test_a_folder_opens_while_another_program_writes(opened, tmp_path):
    """Opening and reading wait for nobody, so the screens come up while a long import runs."""
    opened().take_in_texts(Devices(1).many(5), now_ms=NOW_MS)
    with contextlib.closing(sqlite3.connect(tmp_path / "data" / DATABASE, isolation_level=None)) as other:
        other.execute("begin immediate")
        assert len(opened().versions()) == 5


def test_two_programs_found_a_folder_at_once(tmp_path):
    """Of two programs that open the same new folder, both find the same device and one set of tables."""
    code = ("import sys, pathlib, contextlib\n"
            "from field_app.store.log import Log\n"
            "sys.stdin.readline()\n"
            "with contextlib.closing(Log(pathlib.Path(sys.argv[1]), new_device=sys.argv[2])) as log:\n"
            "    print(log.device)\n")
    for turn in range(3):
        programs = [subprocess.Popen([sys.executable, "-c", code, str(tmp_path / f"data-{turn}"), sign * 16],
                                     stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) for sign in "ab"]
        for program in programs:
            program.stdin.write("\n")
            program.stdin.flush()
        said = [program.communicate()[0].strip() for program in programs]
        assert said[0] == said[1] != ""
        assert [program.returncode for program in programs] == [0, 0]
