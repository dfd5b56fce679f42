"""Versions from elsewhere: union, whatever the order; what is odd is kept and told of."""

import contextlib
import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.hlc import LEAP_MS, read_stamp
from field_app.core.problems import Refused
from field_app.core.records import Draft, name_of, settle
from field_app.core.trust import LIMITS
from field_app.store import merging
from field_app.store.holding import COLUMNS
from field_app.store.inspection import inspect, mixed
from field_app.store.log import Log
from field_app.store.merging import uncollected
from tests.store.making import NOW_MS, Devices, feature_of, text_of

SITE = "urn:uuid:01890000-0000-7000-8000-000000000001"
LOT = "urn:uuid:01890000-0000-7000-8000-000000000002"


def standing_of(log):
    """What holds of every thing, by the names of versions, so that two logs can be compared."""
    with log.reading() as connection:
        return connection.execute(
            f"select {COLUMNS.replace('held', 'v.name').replace('kind, ', 't.kind, ').replace('deleted', 't.deleted')} "
            "from thing t join version v on v.number = t.held order by t.id").fetchall()


def site(**more):
    return text_of(feature_of(SITE, "site", {"name": "Mill lane"}, **more))


@settings(max_examples=40)
@given(st.integers(0, 10_000), st.integers(1, 60), st.data())
def test_a_merge_is_a_union(tmp_path_factory, seed, count, data):
    """In whatever order and portions versions come, once or twice, the same holds, and nothing is wrong."""
    texts = Devices(3, seed=seed, edits=0.5).many(count)
    folder = tmp_path_factory.mktemp("union")
    with contextlib.closing(Log(folder / "a", new_device="a" * 16)) as one, \
            contextlib.closing(Log(folder / "b", new_device="b" * 16)) as other:
        one.take_in_texts(texts, now_ms=NOW_MS)
        shuffled = data.draw(st.permutations(texts))
        cut = data.draw(st.integers(0, count))
        back = data.draw(st.integers(0, cut))
        other.take_in_texts(shuffled[:cut], now_ms=NOW_MS)
        other.take_in_texts(shuffled[back:] + shuffled[back:], now_ms=NOW_MS)
        assert standing_of(one) == standing_of(other)
        assert [*one.texts()] == [*other.texts()]
        assert (inspect(one), inspect(other)) == ((), ())
        for thing in {version.thing for version in one.versions()}:
            assert one.thing(thing) == settle(one.versions(thing))


def test_what_is_known_changes_nothing(log):
    """Taking in the same versions again adds nothing, counts them as known, and leaves clock and file alone."""
    texts = Devices(2).many(40)
    assert (log.take_in_texts(texts, now_ms=NOW_MS).new, len(log.versions())) == (40, 40)
    own, mark = log._own(), log.change_mark()
    taken = log.take_in_texts(texts * 2, now_ms=NOW_MS + 1000)
    assert (taken.new, taken.known, taken.refused, taken.left_out, taken.flagged) == (0, 80, 0, (), ())
    assert (log._own(), log.change_mark()) == (own, mark)


def test_versions_are_taken_in_as_objects_too(log, opened):
    """What one log gives as versions another one takes in."""
    log.append([Draft(SITE, "site", {"name": "Mill lane"}, (44.01234, -28.00567))], now_ms=NOW_MS)
    other = opened("other")
    assert other.take_in(log.versions(), now_ms=NOW_MS).new == 1
    assert other.things("site") == log.things("site")


def test_bytes_that_are_no_version_are_left_out_and_told(log):
    """Of a file with faults the good records are kept, and each bad one is named by its number."""
    texts = Devices(1).many(5)
    taken = log.take_in_texts([*texts[:2], b"nonsense", texts[2], texts[3] + b" ", texts[4]], now_ms=NOW_MS,
                              where="lots.zip record")
    assert (taken.new, taken.known, taken.refused, len(log.versions())) == (4, 0, 2, 4)
    assert [problem.where for problem in taken.left_out] == ["lots.zip record 3", "lots.zip record 5"]


def test_only_the_first_faults_are_told_one_by_one(log):
    """A thousand bad records are counted, but don't drown the person in messages."""
    taken = log.take_in_texts([b"nonsense %d" % number for number in range(1000)], now_ms=NOW_MS)
    assert (taken.refused, len(taken.left_out)) == (1000, 100)


def test_more_than_is_taken_at_once_is_refused_whole(log, monkeypatch):
    """A file with more records than the limit is refused, and not one of them is kept."""
    monkeypatch.setattr(merging, "LIMITS", type(LIMITS)(records=1500))
    with pytest.raises(Refused, match="more than 1,500"):
        log.take_in_texts(Devices(1).many(1600), now_ms=NOW_MS)
    assert log.versions() == ()


def test_a_fault_in_the_source_takes_nothing_in(log):
    """When the file breaks off with an error, none of its records is kept."""
    def source():
        yield from Devices(1).many(1500)
        raise OSError("the stick was pulled out")

    with pytest.raises(OSError, match="stick"):
        log.take_in_texts(source(), now_ms=NOW_MS)
    assert (log.versions(), log.things("lot")) == ((), ())
    assert log.take_in_texts(Devices(1).many(10), now_ms=NOW_MS).new == 10


# The clock: Kulkarni and others (2014), figure 5; the numbers are those of core/hlc.py.

def test_the_clock_follows_what_it_sees(log):
    """After a stamp from elsewhere the next own one is later, though this device's clock is behind."""
    log.take_in_texts([site(ms=NOW_MS + 5000, counter=7)], now_ms=NOW_MS)
    version = log.append([Draft(LOT, "lot", {})], now_ms=NOW_MS)[0]
    assert (read_stamp(version.hlc).ms, read_stamp(version.hlc).counter) == (NOW_MS + 5000, 9)


@pytest.mark.parametrize(("ahead", "followed"), [(LEAP_MS, True), (LEAP_MS + 1, False)])
def test_a_leap_of_more_than_a_day_is_kept_but_not_followed(log, ahead, followed):
    """A stamp exactly a day ahead is followed; one beyond that is kept, told of, and moves no clock."""
    taken = log.take_in_texts([site(ms=NOW_MS + ahead)], now_ms=NOW_MS)
    assert (taken.new, len(log.versions())) == (1, 1)
    assert (taken.flagged == ()) is followed
    version = log.append([Draft(LOT, "lot", {})], now_ms=NOW_MS)[0]
    assert (read_stamp(version.hlc).ms == NOW_MS + ahead) is followed


def test_one_leap_does_not_keep_the_clock_from_following_the_others(log):
    """Beside a record of a wrong clock, the stamps of the right ones are followed as ever."""
    texts = [site(ms=NOW_MS + 10 * LEAP_MS, device="c" * 16), site(ms=NOW_MS + 60_000, device="d" * 16)]
    for order in itertools.permutations(texts):
        log.take_in_texts(order, now_ms=NOW_MS)
    version = log.append([Draft(LOT, "lot", {})], now_ms=NOW_MS)[0]
    assert read_stamp(version.hlc).ms == NOW_MS + 60_000


def test_digits_of_other_scripts_don_t_move_the_clock(log):
    """A stamp in digits that sort after all others is not followed."""
    odd = site().replace(str(NOW_MS).encode(), "".join(chr(0x660 + int(sign)) for sign in str(NOW_MS)).encode())
    log.take_in_texts([odd], now_ms=NOW_MS)
    version = log.append([Draft(LOT, "lot", {})], now_ms=NOW_MS)[0]
    assert read_stamp(version.hlc).ms == NOW_MS


# Chains of devices

def test_a_number_used_twice_is_kept_and_told(log):
    """Two versions with one number of one device are both kept, whether they come together or apart."""
    first, second, third = (site(seq=3, ms=NOW_MS + ms) for ms in (0, 1, 2))
    assert [problem.where for problem in log.take_in_texts([first, second], now_ms=NOW_MS).flagged] == [
        f"device {'a' * 16}"]
    assert "number 3" in log.take_in_texts([third], now_ms=NOW_MS).flagged[0].what
    assert len(log.versions()) == 3


def test_numbers_out_of_order_are_no_fault(log):
    """The later records of a device may come before the earlier ones."""
    texts = Devices(1).many(30)
    assert log.take_in_texts(texts[20:], now_ms=NOW_MS).flagged == ()
    assert log.take_in_texts(texts[:20][::-1], now_ms=NOW_MS).flagged == ()
    assert inspect(log) == ()


def test_kinds_of_newer_programs_are_kept(log, opened):
    """A version of an unknown kind is kept, listed under its kind, and handed on to the byte."""
    text = text_of(feature_of(LOT, "smell", {"of": "nuts", "strength": {"low": "1"}}))
    assert log.take_in_texts([text], now_ms=NOW_MS).flagged == ()
    assert [*log.texts()] == [text]
    thing = log.thing(LOT)
    assert (thing.kind, thing.facts["strength"], thing.of, log.count("smell")) == ("smell", {"low": "1"}, None, 1)
    assert inspect(log) == ()


def test_a_thing_told_of_as_two_kinds_is_kept_and_told(log, opened):
    """Two kinds for one id: both versions stay, the latest holds on every device, and the person is told."""
    texts = [text_of(feature_of(LOT, "lot", {"site": SITE}, ms=NOW_MS)),
             text_of(feature_of(LOT, "leave", {"site": SITE}, ms=NOW_MS + 1, device="c" * 16))]
    other = opened("other")
    log.take_in_texts(texts, now_ms=NOW_MS)
    other.take_in_texts(texts[::-1], now_ms=NOW_MS)
    assert standing_of(log) == standing_of(other)
    assert (log.thing(LOT).kind, inspect(log)) == ("leave", ())
    assert [problem.record for problem in mixed(log)] == [LOT]
    assert "leave" in mixed(log)[0].what
    assert "lot" in mixed(log)[0].what


@pytest.mark.parametrize("owner", [5, None, True, {"a": "b"}, ["x"], "", LOT])
def test_odd_owners_don_t_stop_a_merge(log, owner):
    """A lot whose site is no id is kept, and belongs to nothing; one that belongs to itself is kept too."""
    log.take_in_texts([text_of(feature_of(LOT, "lot", {"site": owner}))], now_ms=NOW_MS)
    assert log.count("lot") == 1
    assert inspect(log) == ()


def test_a_parent_of_another_thing_replaces_nothing(log):
    """A version that names one of another thing as its parent takes nothing away there."""
    first = site()
    log.take_in_texts([first, text_of(feature_of(LOT, "lot", {"site": SITE}, parents=(name_of(first),), seq=2,
                                                 prev=name_of(first), ms=NOW_MS + 1))], now_ms=NOW_MS)
    assert log.thing(SITE).heads == (name_of(first),)
    assert inspect(log) == ()


def test_the_search_for_cycles_goes_on_after_a_merge():
    """Python's collector is as it was before, also after an error, and one that was off stays off."""
    import gc

    def failing():
        with uncollected():
            assert not gc.isenabled()
            raise ValueError("the power went")

    with pytest.raises(ValueError, match="power"):
        failing()
    assert gc.isenabled()
    gc.disable()
    try:
        with uncollected():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()
