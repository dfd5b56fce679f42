"""How fast the store is, each figure beside what SQLite and the standard library take for the bare work.

Run as ``python -m tests.bench.store``; it prints one line an aim, and never fails for being slow.
The store and the bare work take turns for several rounds.
"""

import argparse
import contextlib
import datetime as dt
import hashlib
import json
import sqlite3
import statistics
import tempfile
import time
from pathlib import Path

from field_app.core.intake import row_of
from field_app.core.records import Draft
from field_app.handover.sequence import sequence
from field_app.handover.take import take
from field_app.store.book import FieldBook
from field_app.store.folder import DATABASE, set_up
from field_app.store.holding import COLUMNS, THINGS
from field_app.store.log import Log
from field_app.store.schema import MIGRATIONS
from field_app.store.sync import merge
from tests.store.making import NOW_MS, Devices, urn

INSERT = ("insert into version (name, thing, kind, hlc, device, seq, deleted, parents, text) "
          "values (?, ?, ?, ?, ?, ?, ?, ?, ?)")

INSERT_THING = f"insert into thing ({COLUMNS}) values (?, ?, ?, ?, ?, ?, ?, ?, ?)"


def seconds(work):
    """How long the work takes [s]."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def taking_turns(rounds, *works):
    """The shortest time of each work [s], and how much longer the first takes than each of the others.

    The ratio is the median of those of single rounds, since the machine's speed changes from one to the next.
    """
    times = [[seconds(work) for work in works] for _ in range(rounds)]
    ratios = [statistics.median(first / other for first, other in zip(column(times, 0), column(times, at), strict=True))
              for at in range(1, len(works))]
    return [min(column(times, at)) for at in range(len(works))], ratios


def column(rows, at):
    return [row[at] for row in rows]


def bare_database(path):
    """A database with our tables and settings, used without our program."""
    connection = sqlite3.connect(path, isolation_level=None)
    set_up(connection)
    for step in MIGRATIONS:
        step(connection)
    return connection


def columns(text):
    row = row_of(text)
    return (*row[:6], int(row.deleted), " ".join(row.parents), text)


class Bench:
    def __init__(self, folder, count, rounds):
        self.folder, self.count, self.rounds = folder, count, rounds
        self.texts = Devices(5).many(count)
        self.rows = [columns(text) for text in self.texts]
        self.things = []
        self.turn = 0

    def fresh(self):
        self.turn += 1
        return self.folder / f"data-{self.turn}"

    def imports(self):
        """Versions taken in: read strictly, hashed, written, settled."""
        def ours():
            with contextlib.closing(Log(self.fresh(), new_device="b" * 16)) as log:
                taken = log.take_in_texts(self.texts, now_ms=NOW_MS * 2)
            assert taken.new == self.count, "all versions are new"

        def bare(things=True):
            folder = self.fresh()
            folder.mkdir()
            with contextlib.closing(bare_database(folder / DATABASE)) as connection:
                connection.execute("begin immediate")
                for text in self.texts:
                    json.loads(text)
                    hashlib.sha256(text).digest()
                connection.executemany(INSERT, self.rows)
                if things:
                    connection.executemany(INSERT_THING, self.things)
                connection.execute("commit")

        ours()
        with contextlib.closing(sqlite3.connect(self.folder / "data-1" / DATABASE)) as connection:
            self.things = connection.execute(f"select {COLUMNS} from thing order by held").fetchall()
        times, ratios = taking_turns(self.rounds, ours, bare, lambda: bare(things=False))
        return (f"import: {self.count / times[0]:,.0f} versions/s (aim 15,000), {ratios[0]:.2f} x bare (aim 3), "
                f"{ratios[1]:.2f} x bare without what holds")

    def files(self):
        """A list of versions taken in as a stranger's file is: told apart, judged by the facts of its kind, kept."""
        # A file may be as large as 50 MB, and so many fit well into one.
        count = min(50_000, self.count)
        data = sequence(self.texts[:count])

        def ours():
            with contextlib.closing(Log(self.fresh(), new_device="b" * 16)) as log:
                merged = merge(log, take(data).versions, name="others.geojsons", now_ms=NOW_MS * 2)
            assert merged.new == count, "all versions are new"

        times, _ = taking_turns(1, ours)
        return f"the same as a file: {count / times[0]:,.0f} versions/s (no aim)"

    def merges(self):
        """The same versions taken in again."""
        with contextlib.closing(Log(self.folder / "data-1", new_device="b" * 16)) as log:
            times, _ = taking_turns(self.rounds, lambda: log.take_in_texts(self.texts, now_ms=NOW_MS))
        return f"merge of what is known: {self.count / times[0]:,.0f} versions/s (aim 150,000)"

    def appends(self):
        """One save after the other, each on the disk before the next, into what is there."""
        count = min(300, self.count)
        rng = Devices(1, seed=9).rng
        log = Log(self.folder / "data-1", new_device="b" * 16)
        drafts = [Draft(urn(rng), "lot", json.loads(json.dumps({
            "site": urn(rng), "material": "black-walnut", "part": "whole-fruit", "basis": "weighed",
            "gathered": "2026-10-08T15:24:00-02:00", "gross": {"unit": "kg", "value": "14.2"}})), (44.01234, -28.00567))
            for _ in range(count)]
        connection = sqlite3.connect(self.folder / "data-2" / DATABASE, isolation_level=None)
        set_up(connection)
        extra = iter([columns(text) for text in Devices(1, seed=9).many(count * self.rounds)])

        def ours(draft):
            log.append([draft], now_ms=NOW_MS)

        def bare():
            connection.execute("begin immediate")
            connection.execute(INSERT, next(extra))
            connection.execute("commit")

        with contextlib.closing(log), contextlib.closing(connection):
            drafts = iter(drafts)
            times, ratios = taking_turns(count, lambda: ours(next(drafts)), bare)
        return f"one append: {times[0] * 1000:.2f} ms, {ratios[0]:.2f} x bare (aim 2)"

    def pages(self):
        """The first 50 lots of all, as the log gives them and as the screen needs them.

        The bare query reads the columns of the same rows and, since the facts are kept as JSON, parses them; the
        naked one leaves them as bytes. The screen's page also has the sites, steps and draws of its lots.
        """
        naked = f"{THINGS} where t.kind = 'lot' and t.deleted = 0 order by t.sort desc, t.id desc limit 50"
        log = Log(self.folder / "data-1", new_device="b" * 16)
        book = FieldBook(log, clock=lambda: dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00"), new_id=str)
        connection = sqlite3.connect(self.folder / "data-1" / DATABASE, isolation_level=None)

        def read(sql, *values):
            rows = connection.execute(sql, values).fetchall()
            return [(row, json.loads(row[-1])) for row in rows]

        def bare():
            lots = read(naked)
            of = f"{THINGS} where t.of in (select value from json_each(?)) and t.kind = ? and t.deleted = 0"
            ids = json.dumps([row[0] for row, _ in lots])
            sites = json.dumps([feature["properties"]["site"] for _, feature in lots])
            return (lots, read(of, ids, "step"), read(of, ids, "draw"),
                    read(f"{THINGS} where t.id in (select value from json_each(?))", sites))

        with contextlib.closing(log), contextlib.closing(connection):
            times, ratios = taking_turns(50 * self.rounds,
                                         lambda: log.things("lot", limit=50, newest_first=True),
                                         lambda: read(naked), lambda: connection.execute(naked).fetchall())
            screen, more = taking_turns(10 * self.rounds, lambda: book.lots(limit=50), bare)
        return (f"first page: {times[0] * 1000:.2f} ms, {ratios[0]:.2f} x bare (aim 2), {ratios[1]:.2f} x naked; "
                f"as the screen needs it {screen[0] * 1000:.1f} ms, {more[0]:.2f} x bare")

    def openings(self):
        """A folder opened that holds everything, and one that holds nothing."""
        with contextlib.closing(Log(self.folder / "none", new_device="b" * 16)):
            pass
        times, ratios = taking_turns(20 * self.rounds,
                                     lambda: Log(self.folder / "data-1", new_device="b" * 16).close(),
                                     lambda: Log(self.folder / "none", new_device="b" * 16).close())
        return f"opening: {times[0] * 1000:.2f} ms, {ratios[0]:.2f} x an empty folder (aim 1.3)"

    def lines(self):
        """One line an aim."""
        yield from (aim() for aim in (self.imports, self.files, self.merges, self.appends, self.pages, self.openings))


def main(arguments=None):
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--versions", type=int, default=100_000, help="how many versions [1]")
    parser.add_argument("--rounds", type=int, default=3, help="rounds, of which the best counts [1]")
    chosen = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory() as folder:
        for line in Bench(Path(folder), chosen.versions, chosen.rounds).lines():
            print(line, flush=True)


if __name__ == "__main__":
    main()
