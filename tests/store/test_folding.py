"""However many versions come at once, what holds is what a rebuild gives, and the table keeps its orders."""

import pytest

from field_app.core.intake import Reader
from field_app.core.problems import FolderFault
from field_app.core.records import name_of
from field_app.store import folding
from field_app.store.inspection import inspect
from tests.store.making import NOW_MS, Devices, feature_of, text_of, urn

ORDERS = {"thing_kind", "thing_of", "thing_code"}


def things(log):
    with log.reading() as connection:
        return connection.execute("select * from thing order by id").fetchall()


def orders(log):
    with log.reading() as connection:
        return {name for (name,) in connection.execute(
            "select name from sqlite_schema where type = 'index' and tbl_name = 'thing'")}


@pytest.fixture
def many(monkeypatch):
    """Few things count as many, and few versions fill the memory."""
    monkeypatch.setattr(folding, "MANY", 10)
    monkeypatch.setattr(folding, "MOST", 70)


def test_what_is_gathered_is_what_a_rebuild_gives(log, many):
    """Things of before, new ones, and ones told of before and after the memory was emptied come out the same."""
    texts = Devices(3, edits=0.5).many(400)
    log.take_in_texts(texts[:50], now_ms=NOW_MS)
    log.take_in_texts(reversed(texts[50:]), now_ms=NOW_MS)
    found = things(log)
    log.rebuild()
    assert (things(log), inspect(log)) == (found, ())


def test_the_orders_are_there_again(log, many):
    """The orders that are left out while many things come are there afterwards, and list what came."""
    log.take_in_texts(Devices(3).many(200), now_ms=NOW_MS)
    lots = log.things("lot", newest_first=True)
    assert orders(log) >= ORDERS
    assert len(lots) == log.count("lot") > 50
    with log.reading() as connection:
        plan = connection.execute("explain query plan select id from thing where kind = 'lot' and deleted = 0 "
                                  "order by sort, id").fetchall()
        assert "thing_kind" in plan[0][-1]
        assert connection.execute("pragma integrity_check").fetchone() == ("ok",)


def test_a_fault_on_the_way_leaves_the_orders(log, many, monkeypatch):
    """When the things can't be written, neither things nor orders nor versions are other than before."""
    log.take_in_texts(Devices(1, seed=2).many(5), now_ms=NOW_MS)
    before = (things(log), orders(log), [*log.texts()])
    with monkeypatch.context() as patch:
        patch.setattr(folding, "_ROOM", "1, 2")  # SQLite refuses it once the orders are gone
        with pytest.raises(FolderFault, match="values for 9 columns"):
            log.take_in_texts(Devices(1, seed=3).many(100), now_ms=NOW_MS)
    assert (things(log), orders(log), [*log.texts()]) == before


def test_a_lot_without_a_moment_is_sorted_by_its_first_stamp(log):
    """Neither the order in which versions come nor a name of one odd sign changes by what a thing is sorted."""
    rng = Devices(1).rng
    lot, site = urn(rng), urn(rng)
    first = text_of(feature_of(lot, "lot", {"site": site}, ms=NOW_MS))
    second = text_of(feature_of(lot, "lot", {"site": site}, ms=NOW_MS + 5, seq=2, prev=name_of(first),
                                parents=(name_of(first),)))
    odd = text_of(feature_of(site, "site", {"name": "\x00"}, ms=NOW_MS + 6, seq=3, prev=name_of(second)))
    log.take_in_texts([second, odd, first], now_ms=NOW_MS)
    assert {row[0]: row[3] for row in things(log)} == {lot: f"{NOW_MS:013d}-0000-{'a' * 16}", site: "\x00"}
    assert inspect(log) == ()


def test_what_was_read_elsewhere_is_taken_in_alike(log, opened):
    """Versions given as rows end as the same things and the same bytes as their texts; known ones change nothing."""
    texts = Devices(2).many(60)
    rows = [Reader().read(text, name_of(text), where="record") for text in texts]
    other = opened("other")
    other.take_in_texts(texts, now_ms=NOW_MS)
    first, again = (log.take_in_read([*rows, rows[0]], now_ms=NOW_MS) for _ in range(2))
    assert ([*log.texts()], things(log)) == ([*other.texts()], things(other))
    assert (first.new, first.known, again.new, again.known) == (60, 1, 0, 61)
