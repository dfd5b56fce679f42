"""A folder goes on with its own chain, and takes a new device id as soon as it turns out to be a copy."""

import shutil

import pytest

from field_app.core.records import Draft
from field_app.store.folder import DATABASE
from field_app.store.inspection import inspect
from field_app.store.own import Own, another_device, fresh
from tests.store.making import NOW_MS


def thing(number):
    return f"urn:uuid:01890000-0000-7000-8000-{number:012x}"


def say(log, number, ms=0):
    return log.append([Draft(thing(number), "site", {"name": f"Place {number}"})], now_ms=NOW_MS + ms)[0]


def copy(source, target):
    """The folder as a person copies it, to other files on the disk."""
    shutil.copytree(source, target)


def test_a_device_keeps_its_id_and_its_chain(opened):
    """Opened again, the folder has the same device, whose versions count on and name the one before."""
    log = opened(device="a" * 16)
    first = say(log, 1)
    log.close()
    log = opened(device="b" * 16)
    second = say(log, 2)
    assert (log.notices, log.device, first.device, second.device) == ((), "a" * 16, "a" * 16, "a" * 16)
    assert (first.seq, second.seq, second.prev) == (1, 2, first.name)


def test_a_moved_folder_keeps_its_id(opened, tmp_path):
    """A folder that was moved on the same disk is still the same."""
    log = opened(device="a" * 16)
    say(log, 1)
    log.close()
    (tmp_path / "data").rename(tmp_path / "elsewhere")
    log = opened("elsewhere")
    assert (log.device, log.notices) == ("a" * 16, ())


def test_a_copied_folder_gets_an_id_of_its_own(opened, tmp_path):
    """A copy takes a new device id when it is opened, says so once, and counts from one; the other goes on."""
    log = opened(device="a" * 16)
    first = say(log, 1)
    log.close()
    copy(tmp_path / "data", tmp_path / "copy")
    twin = opened("copy", device="b" * 16)
    assert (twin.device, len(twin.notices)) == ("b" * 16, 1)
    assert "a" * 16 in twin.notices[0].what
    said = say(twin, 2)
    assert (said.device, said.seq, said.prev) == ("b" * 16, 1, None)
    twin.close()
    assert opened("copy").notices == ()
    again = opened()
    assert (again.device, again.notices, say(again, 3).prev) == ("a" * 16, (), first.name)


def test_an_older_copy_put_back_is_found_out_by_what_others_bring(opened, tmp_path):
    """An older state copied over the file is noticed when a version of this device comes back from elsewhere."""
    log, other = opened(device="a" * 16), opened("other", device="c" * 16)
    say(log, 1)
    old = (tmp_path / "data" / DATABASE).read_bytes()
    second = say(log, 2)
    other.take_in(log.versions(), now_ms=NOW_MS)
    log.close()
    (tmp_path / "data" / DATABASE).write_bytes(old)
    log = opened(device="b" * 16)
    assert (log.device, log.notices) == ("a" * 16, ())
    rival = say(log, 3, ms=5)
    assert (rival.seq, rival.device) == (second.seq, second.device)
    taken = log.take_in(other.versions(), now_ms=NOW_MS)
    assert log.device == "b" * 16
    assert [problem.where for problem in taken.flagged] == ["this device", f"device {'a' * 16}"]
    assert {version.name for version in log.versions()} >= {second.name, rival.name}
    assert (say(log, 4).seq, inspect(log)) == (1, ())
    assert log.take_in(other.versions(), now_ms=NOW_MS).flagged == ()


def test_versions_beyond_the_own_count_are_noticed_at_once(opened, tmp_path):
    """When own versions that this folder does not have come from elsewhere, there need be no conflict yet."""
    log, other = opened(device="a" * 16), opened("other", device="c" * 16)
    old = (tmp_path / "data" / DATABASE).read_bytes()
    say(log, 1)
    other.take_in(log.versions(), now_ms=NOW_MS)
    log.close()
    (tmp_path / "data" / DATABASE).write_bytes(old)
    log = opened(device="b" * 16)
    log.take_in(other.versions(), now_ms=NOW_MS)
    assert (log.device, say(log, 2).seq, inspect(log)) == ("b" * 16, 1, ())


def test_a_folder_that_holds_more_than_it_counted_is_found_out_when_opened(opened):
    """A program that did not notice leaves own versions beyond the count; the next opening does."""
    log = opened(device="a" * 16)
    say(log, 1)
    with log.writing() as connection:
        connection.execute("update own set value = '0' where key = 'seq'")
        connection.execute("update own set value = '' where key = 'prev'")
    assert [problem.where for problem in inspect(log)] == ["this device"]
    log.close()
    log = opened(device="b" * 16)
    assert (log.device, len(log.notices), inspect(log)) == ("b" * 16, 1, ())


def test_another_open_program_goes_on_under_the_new_id_too(opened):
    """Two programs with one folder: when one takes a new id, the other one's next version bears it."""
    log, screens = opened(device="a" * 16), opened(device="b" * 16)
    first = say(log, 1)
    with log.writing() as connection:
        from field_app.store.own import read_own, write_own

        own = read_own(connection)
        write_own(connection, another_device(own, "d" * 16), own)
    second = say(screens, 2)
    assert (first.device, second.device, second.seq, second.prev) == ("a" * 16, "d" * 16, 1, None)
    assert inspect(log) == ()


@pytest.mark.parametrize("turns", [1, 2, 5])
def test_ids_are_never_used_twice(turns):
    """However often a folder turns out to be a copy, each new id differs from all before, and time goes on."""
    own = fresh("a" * 16)
    for _ in range(turns):
        own = another_device(own, "a" * 16)
    assert isinstance(own, Own)
    assert len({own.device, *own.former}) == turns + 1
    assert all(len(device) == 16 and int(device, 16) >= 0 for device in own.former)
    assert own.stamp.device == own.device
