"""What the disk changed is told as damage of the folder, wherever it is met, and never as something else."""

import contextlib
import random

import pytest

from field_app.core.problems import DamagedFolder, FolderFault
from field_app.core.records import Draft
from field_app.store.backup import back_up
from field_app.store.folder import DATABASE
from field_app.store.holding import COLUMNS
from field_app.store.inspection import inspect, mixed
from field_app.store.log import Log
from field_app.store.sync import apart, set_aside
from tests.store.making import NOW_MS, Devices, feature_of, text_of

SITE = "urn:uuid:01890000-0000-7000-8000-000000000001"
RIVAL = text_of(feature_of(SITE, "site", {"name": "Weir"}, device="c" * 16))


def fill(log):
    log.append([Draft(SITE, "site", {"name": "Mill lane"}, (44.01234, -28.00567))], now_ms=NOW_MS)
    log.take_in_texts([RIVAL], now_ms=NOW_MS)


def harm(log, sql, *values):
    """Change the folder as no program of ours would."""
    with log.writing() as connection:
        for deed in ("update", "delete"):
            connection.execute(f"drop trigger version_no_{deed}")
        assert connection.execute(sql, values).rowcount > 0


READERS = {
    "versions": lambda log: log.versions(),
    "last own": lambda log: log.last_own(),
    "thing": lambda log: log.thing(SITE),
    "things": lambda log: log.things("site"),
    "rebuild": lambda log: log.rebuild(),
    "apart": apart,
    "correct": lambda log: log.append([Draft(SITE, "site", {"name": "Weir"})], now_ms=0),
    "take in": lambda log: log.take_in_texts([text_of(feature_of(
        SITE, "site", {"name": "Oak ride"}, ms=NOW_MS - 10, device="d" * 16))], now_ms=NOW_MS),
}


@pytest.mark.parametrize("reader", [name for name in READERS if name != "correct"])
@pytest.mark.parametrize("text", [b"\xff{}", b"[]", b"{}", b'{"properties":0}', None], ids=repr)
def test_a_record_that_can_t_be_read_is_damage(log, reader, text):
    """Whoever reads a version that the disk has changed is told so, what to do, and nothing is written."""
    fill(log)
    harm(log, "update version set text = ?", b"" if text is None else text)
    mark = log.change_mark()
    with pytest.raises(DamagedFolder, match="changed by the disk") as caught:
        READERS[reader](log)
    assert "backup" in caught.value.problem.fix
    with log.reading() as connection:
        assert connection.execute("select count(*) from version").fetchone() == (2,)
    assert log.change_mark()[0] == mark[0]
    assert inspect(log)


@pytest.mark.parametrize(("key", "value"), [("hlc", "noon"), ("seq", "many"), ("former", None), ("prev", "x"),
                                            ("device", "miller")])
def test_what_the_device_knows_of_itself_can_be_damaged(opened, key, value):
    """A device's own clock, count or former ids that can't be read are told as damage, when saving and opening."""
    log = opened()
    fill(log)
    with log.writing() as connection:
        if value is None:
            connection.execute("delete from own where key = ?", (key,))
        else:
            connection.execute("update own set value = ? where key = ?", (value, key))
    for deed in (READERS["correct"], lambda _: log.device, lambda _: opened()):
        with pytest.raises(DamagedFolder, match="changed by the disk"):
            deed(log)
    assert ["changed by the disk" in problem.what for problem in inspect(log)] == [True]


def test_heads_that_nobody_said_are_damage(log):
    """Where people disagree, a head without its version is told as damage."""
    fill(log)
    assert len(apart(log)) == 1
    with log.writing() as connection:
        connection.execute("update thing set heads = 'a b'")
    with pytest.raises(DamagedFolder):
        apart(log)


def everything(log):
    """All that can be read of a log."""
    apart(log), set_aside(log), mixed(log)
    log.things("site"), log.things("lot"), log.versions(), log.last_own()
    with log.reading() as connection:
        return [*log.texts()], connection.execute(f"select {COLUMNS} from thing order by id").fetchall()


def test_a_changed_byte_anywhere_is_told_or_harmless(tmp_path):
    """Whatever byte of the file the disk changes: a fault of the folder, a finding, or all is as it was."""
    folder = tmp_path / "data"
    with contextlib.closing(Log(folder, new_device="b" * 16)) as log:
        fill(log)
        log.take_in_texts(Devices(2).many(40), now_ms=NOW_MS)
        whole = everything(log)
    path = folder / DATABASE
    data = path.read_bytes()
    rng = random.Random(5)
    told = harmless = 0
    for turn in range(300):
        # Many pages are empty or nearly so; every second change falls where something is written.
        at = rng.randrange(len(data))
        while turn % 2 and not data[at]:
            at = rng.randrange(len(data))
        changed = bytearray(data)
        changed[at] ^= rng.randrange(1, 256)
        path.write_bytes(changed)
        path.with_name(DATABASE + "-journal").unlink(missing_ok=True)
        try:
            with contextlib.closing(Log(folder, new_device="d" * 16)) as log:
                if inspect(log):
                    told += 1
                    # What is damaged may still be read, or is told; nothing else may come of it.
                    everything(log)
                    log.append([Draft(SITE, "site", {"name": "Weir"})], now_ms=NOW_MS)
                    back_up(log, tmp_path / "backup.zip")
                else:
                    assert everything(log) == whole, f"a change of byte {at} was not told"
                    harmless += 1
        except FolderFault:
            told += 1
    assert min(told, harmless) > 40
