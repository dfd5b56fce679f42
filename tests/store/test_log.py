"""The log: what is appended is there, in order, for every reader; what can't be kept is refused whole."""

import contextlib
import sqlite3
import subprocess
import sys
import threading

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.problems import FolderFault, NoRoom, Refused
from field_app.core.records import Draft, read_version, settle
from field_app.store import folder as folder_module
from field_app.store.folder import DATABASE
from field_app.store.holding import COLUMNS
from field_app.store.inspection import inspect
from field_app.store.log import Log
from tests.store.making import NOW_MS, Devices

SITE = "urn:uuid:01890000-0000-7000-8000-0000000000ff"


def thing(number):
    return f"urn:uuid:01890000-0000-7000-8000-{number:012x}"


def lot(number, **more):
    facts = {"site": SITE, "gathered": f"2026-10-{number % 28 + 1:02d}T15:24:00-02:00"}
    return Draft(thing(number), "lot", facts, **more)


def rows(log, table="thing", columns=COLUMNS, order="id"):
    with log.reading() as connection:
        return connection.execute(f"select {columns} from {table} order by {order}").fetchall()


def test_drafts_are_stamped_in_their_order(log):
    """Each version has its number, names the one before, and its stamp comes after that one's."""
    versions = log.append([lot(1), lot(2), lot(3)], now_ms=NOW_MS) + log.append([lot(4)], now_ms=NOW_MS - 60_000)
    assert [version.seq for version in versions] == [1, 2, 3, 4]
    assert [version.prev for version in versions] == [None, *(version.name for version in versions[:3])]
    assert [version.hlc for version in versions] == sorted({version.hlc for version in versions})
    assert log.versions() == versions
    assert log.last_own() == versions[-1]


def test_nothing_appended_writes_nothing(log):
    """Without drafts nothing is written, and there is no last version."""
    mark = log.change_mark()
    assert (log.append([], now_ms=NOW_MS), log.change_mark(), log.last_own()) == ((), mark, None)


@pytest.mark.parametrize(("draft", "words"), [
    (Draft(SITE, "site", {"note": "x" * 4_001}), "4,001 characters"),
    (Draft(SITE, "site", {"share": 0.5}), "decimal text"),
    (Draft(SITE, "site", {"share": float("nan")}), "can't be kept"),
    (Draft(SITE, "site", {"note": "\ud800"}), "can't be kept"),
    (Draft(SITE, "site", {"count": 2**53}), "can't be kept"),
    (Draft(SITE, "site", {}, position=(91, 0)), "Point on the globe"),
    (Draft(SITE, "site", {}, position=(44.1234567, -28)), "Point on the globe"),
    (Draft("the mill", "site", {}), "urn:uuid"),
    (Draft(SITE, "", {}), "must be a word"),
    (Draft(SITE, "site", {}, parents=("the one before",)), "names"),
])
def test_what_could_not_be_read_back_is_refused(log, draft, words):
    """A draft that no device could take in is refused with its fault; those beside it are not kept either."""
    with pytest.raises(Refused, match=words):
        log.append([lot(1), draft], now_ms=NOW_MS)
    assert (log.versions(), log.things("lot"), inspect(log)) == ((), (), ())
    assert log.append([lot(2)], now_ms=NOW_MS)[0].seq == 1


def test_a_fact_can_t_take_the_name_of_another_member(log):
    """A fact called like a member of every version is a mistake of ours, and is not lost in silence."""
    with pytest.raises(ValueError, match="'device'"):
        log.append([Draft(SITE, "site", {"device": "the pail"})], now_ms=NOW_MS)


@pytest.mark.parametrize("now_ms", [-1, 10**13])
def test_a_clock_out_of_its_mind_is_told(log, now_ms):
    """A time that no stamp can hold is refused with advice, before anything is written."""
    for deed in (lambda: log.append([lot(1)], now_ms=now_ms), lambda: log.take_in_texts([], now_ms=now_ms)):
        with pytest.raises(Refused, match="Set the clock"):
            deed()
    assert log.versions() == ()


def test_pages_follow_each_other_without_gaps(log):
    """Page after page, every lot comes once, newest gathered first, also where many were gathered at once."""
    log.append([lot(number) for number in range(100)], now_ms=NOW_MS)
    found, before = [], None
    while page := log.things("lot", limit=7, newest_first=True, before=before):
        found += page
        before = (page[-1].facts["gathered"].replace("15:24:00-02:00", "17:24:00+00:00"), page[-1].id)
    assert [one.id for one in found] == [one.id for one in reversed(log.things("lot"))]
    assert len({one.id for one in found}) == 100
    days = [one.facts["gathered"] for one in found]
    assert days == sorted(days, reverse=True)


def test_things_are_found_by_owner_code_and_kind(log):
    """Lots of one site, lots whose code starts so, and how many there are: deleted ones are in none of them."""
    parent = log.append([lot(1), Draft(SITE, "site", {"name": "Mill lane"}, (44.5, -28))], now_ms=NOW_MS)[0]
    log.append([lot(2)], now_ms=NOW_MS)
    from field_app.core.records import code_of

    code = code_of(thing(1), 12)
    assert [one.id for one in log.by_code(code[:6], "lot")] == [thing(1)]
    assert log.by_code(code[:6], "site") == ()
    assert (log.count("lot"), log.count("lot", of=SITE), log.count("lot", of=thing(1))) == (2, 2, 0)
    assert log.thing(SITE).position == (44.5, -28.0)
    log.append([lot(1, parents=(parent.name,), deleted=True)], now_ms=NOW_MS)
    assert (log.by_code(code[:6], "lot"), log.count("lot"), log.count("lot", of=SITE)) == ((), 1, 1)
    assert log.thing(thing(1)).deleted
    assert log.thing("urn:uuid:nowhere") is None


def test_pages_of_lots_use_the_index(log):
    """Lists are read in their order from an index, so that the first page takes as long among many as among few."""
    with log.reading() as connection:
        plan = " ".join(row[3] for row in connection.execute(
            "explain query plan select t.id from thing t join version v on v.number = t.held "
            "where t.kind = 'lot' and t.deleted = 0 order by t.sort desc, t.id desc limit 50"))
    assert "thing_kind" in plan
    assert "TEMP B-TREE" not in plan


DEEDS = st.lists(st.tuples(st.sampled_from(["new", "edit", "fork", "delete", "merge", "reopen", "rebuild"]),
                           st.integers(0, 1), st.integers(0, 5)), max_size=25)


@settings(max_examples=40)
@given(DEEDS)
def test_what_holds_is_always_what_a_rebuild_gives(tmp_path_factory, deeds):
    """After any deeds on two devices nothing is wrong, each table is that of a rebuild, and both agree in the end."""
    folder = tmp_path_factory.mktemp("deeds")
    devices = ["a" * 16, "b" * 16]
    logs = [Log(folder / device[0], new_device=device) for device in devices]
    try:
        for turn, (deed, at, number) in enumerate(deeds):
            log, other = logs[at], logs[1 - at]
            known = log.thing(thing(number))
            if deed == "new" or (deed in ("edit", "fork", "delete") and known is None):
                log.append([lot(number)], now_ms=NOW_MS + turn)
            elif deed == "edit":
                log.append([lot(number, parents=known.heads)], now_ms=NOW_MS + turn)
            elif deed == "fork":
                log.append([lot(number, parents=known.heads[-1:])], now_ms=NOW_MS + turn)
            elif deed == "delete":
                log.append([lot(number, parents=known.heads, deleted=True)], now_ms=NOW_MS + turn)
            elif deed == "merge":
                log.take_in(other.versions(), now_ms=NOW_MS + turn)
            elif deed == "reopen":
                log.close()
                logs[at] = Log(folder / devices[at][0], new_device="c" * 16)
            else:
                log.rebuild()
        for log in logs:
            before = rows(log)
            assert inspect(log) == ()
            log.rebuild()
            assert rows(log) == before
            assert [log.device, log.notices] == [devices[logs.index(log)], ()]
            for one in {version.thing for version in log.versions()}:
                assert log.thing(one) == settle(log.versions(one))
        logs[0].take_in_texts(logs[1].texts(), now_ms=NOW_MS)
        logs[1].take_in_texts(logs[0].texts(), now_ms=NOW_MS)
        assert [*logs[0].texts()] == [*logs[1].texts()]
        assert logs[0].things("lot") == logs[1].things("lot")
    finally:
        for log in logs:
            log.close()


def test_a_rebuild_of_many_things_leaves_none_out(log):
    """The rebuild goes through all things, also when they are more than it takes at a time."""
    log.take_in_texts(Devices(2).many(3_000), now_ms=NOW_MS)
    before = rows(log)
    assert len(before) > 2_048
    with log.writing() as connection:
        connection.execute("delete from thing where deleted = 0")
    log.rebuild()
    assert rows(log) == before


def test_texts_come_in_the_order_of_their_stamps(log):
    """All versions come out as the bytes they were, by stamp and then by name, however they came in."""
    texts = Devices(3).many(2_500)
    log.take_in_texts(texts[::-1], now_ms=NOW_MS)
    versions = [read_version(text) for text in texts]
    assert [*log.texts()] == [one.text for one in sorted(versions, key=lambda one: (one.hlc, one.name))]


# Several programs and threads

PROGRAM = """
import sys, pathlib, contextlib
from field_app.core.records import Draft
from field_app.store.log import Log
folder, first, count = pathlib.Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
with contextlib.closing(Log(folder, new_device="b" * 16)) as log:
    sys.stdin.readline()
    for number in range(first, first + count):
        log.append([Draft(f"urn:uuid:01890000-0000-7000-8000-{number:012x}", "lot", {})], now_ms=1)
"""


def test_two_programs_append_at_once(log, tmp_path):
    """Two programs that save into one folder at the same time lose nothing and share one chain without gaps."""
    programs = [subprocess.Popen([sys.executable, "-c", PROGRAM, str(tmp_path / "data"), str(first), "40"],
                                 stdin=subprocess.PIPE, text=True) for first in (1, 1_000)]
    for program in programs:
        program.stdin.write("\n")
        program.stdin.flush()
    for number in range(2_000, 2_040):
        log.append([lot(number)], now_ms=1)
    assert [program.wait(60) for program in programs] == [0, 0]
    for program in programs:
        program.stdin.close()
    versions = log.versions()
    assert sorted(version.seq for version in versions) == [*range(1, 121)]
    assert {version.device for version in versions} == {log.device}
    assert inspect(log) == ()


def test_threads_take_turns(log):
    """Screens and their server may save and read from several threads of one program."""
    faults = []

    def work(first):
        try:
            for number in range(first, first + 20):
                log.append([lot(number)], now_ms=NOW_MS)
                log.things("lot", limit=5, newest_first=True)
                log.change_mark()
        except BaseException as error:
            faults.append(error)
            raise

    threads = [threading.Thread(target=work, args=(first,)) for first in (100, 200, 300)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (faults, log.count("lot"), inspect(log)) == ([], 60, ())


def test_a_folder_that_stays_busy_is_told(opened, tmp_path, monkeypatch):
    """When another program does not let go, saving gives up with words, keeps nothing, and works afterwards."""
    monkeypatch.setattr(folder_module, "PATIENCE", 0.2)
    log = opened()
    with contextlib.closing(sqlite3.connect(tmp_path / "data" / DATABASE, isolation_level=None)) as other:
        other.execute("begin immediate")
        with pytest.raises(NoRoom, match="another program"):
            log.append([lot(1)], now_ms=NOW_MS)
        other.execute("rollback")
        # A reader that never ends keeps the writer from finishing.
        other.execute("begin")
        other.execute("select * from version").fetchall()
        with pytest.raises(NoRoom, match="another program"):
            log.append([lot(2)], now_ms=NOW_MS)
        other.execute("rollback")
    assert [version.seq for version in log.append([lot(3)], now_ms=NOW_MS)] == [1]
    assert (log.count("lot"), inspect(log)) == (1, ())


def test_the_mark_of_changes_moves_when_anybody_writes(opened):
    """The mark stays while nothing happens, and moves for own and for others' versions."""
    log, other = opened(), opened()
    marks = [log.change_mark(), log.change_mark()]
    log.append([lot(1)], now_ms=NOW_MS)
    marks.append(log.change_mark())
    other.append([lot(2)], now_ms=NOW_MS)
    marks.append(log.change_mark())
    assert marks[0] == marks[1]
    assert len(set(marks)) == 3


@pytest.mark.skipif(sys.platform == "win32", reason="Windows lets nobody replace a file that is open")
def test_a_file_replaced_while_it_is_open_is_not_written(opened, tmp_path):
    """When the file was replaced underfoot, saving says so instead of writing into a file that nobody sees."""
    log = opened()
    log.append([lot(1)], now_ms=NOW_MS)
    opened("other").close()
    (tmp_path / "other" / DATABASE).replace(tmp_path / "data" / DATABASE)
    with pytest.raises(FolderFault, match="replaced while it was open"):
        log.append([lot(2)], now_ms=NOW_MS)


def test_a_reader_sees_one_moment(opened):
    """What is read within one reading does not change while another program tries to write."""
    log, other = opened(), opened()
    log.append([lot(1)], now_ms=NOW_MS)
    with log.reading() as connection, log.reading() as inner:
        first = connection.execute("select count(*) from version").fetchone()
        assert inner is connection
        assert other.count("lot") == 1
        assert connection.execute("select count(*) from version").fetchone() == first
    assert log.append([lot(2)], now_ms=NOW_MS)[0].seq == 2
