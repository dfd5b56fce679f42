"""Several devices, left to chance: whatever they do, and whatever becomes of their files, they agree once they meet.

Short by default; a long run with other draws: FIELD_APP_LONG=1.
"""

import datetime as dt
import itertools
import os
import shutil
import tempfile
from pathlib import Path

import hypothesis.strategies as st
from hypothesis import settings
from hypothesis.stateful import RuleBasedStateMachine, initialize, precondition, rule

from field_app.core.forms import LeaveForm
from field_app.core.problems import Refused
from field_app.core.records import settle as law
from field_app.handover.take import take
from field_app.store import DATABASE
from field_app.store.inspection import inspect
from field_app.store.sync import copy_notes
from field_app.sync import choices, group_name, merge_bytes, settle
from tests.sync.island import DECADE, SITES, START, Device, at, digest, windfall

LONG = bool(os.environ.get("FIELD_APP_LONG"))
MOST_DEVICES = 6
SHIFTS = [dt.timedelta(0), dt.timedelta(hours=20), dt.timedelta(days=-3), DECADE, -DECADE]
WHO = st.integers(0, MOST_DEVICES - 1)
WHICH = st.integers(0, 99)
#: What two people may do to one lot before they hear of each other.
DEEDS = ("correct", "withdraw", "draw", "weigh", "settle", "leave", "undo")


def is_whole(path):
    """Whether there is a group file that nobody has harmed."""
    try:
        return bool(take(path.read_bytes()).digest)
    except (OSError, Refused):
        return False


def forged(data):
    """The file with other amounts, as by somebody with an editor: each record in it can still be read."""
    return data.replace(b'"value":"1', b'"value":"2')


def table(device):
    """What holds there, row by row; of the version that holds its name, for its number is another on each device."""
    with device.book.log_book.reading() as connection:
        return connection.execute(
            "select t.id, t.kind, t.of, t.sort, t.code, t.deleted, t.heads, t.first_hlc, v.name from thing t "
            "join version v on v.number = t.held order by t.id").fetchall()


class Meeting(RuleBasedStateMachine):
    """Devices with a data folder and a folder to share each, and somebody who carries files between these."""

    def __init__(self):
        super().__init__()
        self.root = Path(tempfile.mkdtemp(prefix="meeting-"))
        self.devices, self.shares = [], []
        self.acknowledged, self.written = set(), set()
        self.old_files = {}
        self.restored = False
        self.turn = itertools.count(1)

    @initialize(shifts=st.lists(st.sampled_from(SHIFTS), min_size=3, max_size=5))
    def begin(self, shifts):
        for shift in shifts:
            self.add(START + shift)
        self.say(self.devices[0], lambda device: device.site(SITES[0]))
        self.say(self.devices[0], lambda device: device.lot(SITES[0]))
        self.meet()

    def add(self, now, folder=None):
        number = len(self.devices) + 1
        self.devices.append(Device(folder or self.root / f"data-{number}", number, now=now))
        self.shares.append(self.root / f"share-{number}")
        self.shares[-1].mkdir()

    def pick(self, who):
        return self.devices[who % len(self.devices)]

    def say(self, device, deed):
        """Do something; what it wrote is acknowledged once the call returns."""
        before, refused = device.texts(), None
        try:
            deed(device)
        except Refused as error:
            refused = error
        new = device.texts() - before
        assert bool(new) != bool(refused)
        assert refused is None or all(problem.what and problem.fix for problem in refused.problems)
        self.acknowledged |= new
        self.written |= new

    def a_lot(self, device, which):
        # Few lots, so that people often mean the same one.
        lots = device.book.lots()[-3:]
        if not lots:
            raise Refused([])
        return lots[which % len(lots)]

    def deed(self, name, which):
        """A deed by its name."""
        def settle_one(device):
            for lot in device.book.lots():
                if found := choices(device.book, lot.id):
                    settle(device.book, lot.id, which % len(found) + 1)
                    return
            raise Refused([])

        def leave(device):
            places = device.book.sites()
            device.book.set_leave(places[which % len(places)].id,
                                  LeaveForm(("given", "refused", "not-asked")[which % 3], by="the parish"))

        def correct(device):
            lot = self.a_lot(device, which)
            device.book.correct(lot.id, windfall(lot.facts.site, gross=f"{2 + which % 40} kg"))

        def draw(device):
            lot = self.a_lot(device, which)
            device.draw(lot.id, f"{1 + which % 9} {lot.life.left.unit}", by="the dye house")

        return {
            "correct": correct, "draw": draw, "settle": settle_one, "leave": leave,
            "withdraw": lambda device: device.book.withdraw(self.a_lot(device, which).id),
            "weigh": lambda device: device.step(self.a_lot(device, which).id, "weighed", mass=f"{1 + which % 20} kg"),
            "undo": lambda device: device.book.undo()}[name]

    # What people do

    @rule(who=WHO, which=WHICH)
    def add_site(self, who, which):
        self.say(self.pick(who), lambda device: device.site(f"{SITES[which % len(SITES)]} {next(self.turn)}"))

    @rule(who=WHO, which=WHICH, kilos=st.integers(2, 40))
    def log(self, who, which, kilos):
        def deed(device):
            places = device.book.sites()
            if not places:
                raise Refused([])
            device.lot(places[which % len(places)].id, gross=f"{kilos} kg",
                       position=at(44.0 + which / 1e4, -28.0) if which % 2 else "")
        self.say(self.pick(who), deed)

    @rule(who=WHO, which=WHICH, name=st.sampled_from(DEEDS))
    def do(self, who, which, name):
        self.say(self.pick(who), self.deed(name, which))

    @rule(which=WHICH, names=st.lists(st.sampled_from(DEEDS), min_size=2, max_size=MOST_DEVICES))
    def do_at_once(self, which, names):
        """Several people do something to one lot before they hear of each other."""
        for device, name in zip(self.devices, names, strict=False):
            self.say(device, self.deed(name, which))

    @rule(who=WHO, which=WHICH, step=st.sampled_from(["weighed", "soaked", "strained", "dried", "spent"]),
          amount=st.integers(1, 20))
    def step(self, who, which, step, amount):
        more = {"volume": f"{amount} L"} if step == "strained" else {"mass": f"{amount} kg"}
        self.say(self.pick(who), lambda device: device.step(self.a_lot(device, which).id, step, **more))

    @rule(who=WHO, which=WHICH)
    def draw_from_a_list(self, who, which):
        """A planner's draw, which several devices may take from the same list."""
        def deed(device):
            lot = self.a_lot(device, which)
            before = device.texts()
            device.draw(lot.id, f"0.5 {lot.life.left.unit}", ref=f"list-{which}", at="2016-01-02")
            if device.texts() == before:
                raise Refused([])
        self.say(self.pick(who), deed)

    # What becomes of devices

    @rule(who=WHO, shift=st.sampled_from([DECADE, -DECADE, dt.timedelta(hours=5), dt.timedelta(hours=-5)]))
    def turn_the_clock(self, who, shift):
        clock = self.pick(who).clock
        if dt.datetime(2001, 1, 1, tzinfo=dt.UTC) < clock.now + shift < dt.datetime(2060, 1, 1, tzinfo=dt.UTC):
            clock.now += shift

    @rule(who=WHO)
    def reopen(self, who):
        self.pick(who).reopen()

    @precondition(lambda self: len(self.devices) < MOST_DEVICES)
    @rule(who=WHO)
    def clone(self, who):
        """Somebody copies a data folder to another machine."""
        device = self.pick(who)
        device.close()
        folder = self.root / f"data-{len(self.devices) + 1}"
        shutil.copytree(device.folder, folder)
        device.reopen()
        self.add(device.clock.now, folder)
        assert self.devices[-1].id != device.id
        for one in (device, self.devices[-1]):
            self.say(one, lambda device: device.site(f"{SITES[0]} {next(self.turn)}"))

    @rule(who=WHO, which=WHICH, names=st.lists(st.sampled_from(DEEDS), min_size=1, max_size=3), told=st.booleans())
    def put_an_old_copy_back(self, who, which, names, told):
        """The database is the same file with older contents: what was in no file of its own is lost, by its owner."""
        place = who % len(self.devices)
        device = self.devices[place]
        device.close()
        old = (device.folder / DATABASE).read_bytes()
        device.reopen()
        self.say(device, lambda device: device.site(f"{SITES[1]} {next(self.turn)}"))
        for name in names:
            self.say(device, self.deed(name, which))
        if told:
            self.sync(place)
        before = device.texts()
        device.close()
        (device.folder / DATABASE).write_bytes(old)
        device.reopen()
        own = self.shares[place] / group_name(device.id)
        saved = {version.text for version in take(own.read_bytes()).versions} if is_whole(own) else set()
        self.acknowledged -= before - device.texts() - saved
        self.restored = True
        self.say(device, lambda device: device.site(f"{SITES[2]} {next(self.turn)}"))
        self.sync(place)

    # What becomes of files

    @rule(who=WHO)
    def sync(self, who):
        place = who % len(self.devices)
        before = self.devices[place].texts()
        report = self.devices[place].sync(self.shares[place])
        after = self.devices[place].texts()
        assert before <= after <= self.written
        assert len(after) - len(before) == report.new == sum(report.devices.values())
        self.old_files.setdefault(place, []).append((report.file.name, report.file.read_bytes()))

    @precondition(lambda self: self.old_files)
    @rule(giver=WHO, taker=WHO, how=st.sampled_from(["whole", "copy", "stale", "cut", "harmed", "forged", "twice"]),
          share=st.floats(0, 1))
    def carry(self, giver, taker, how, share):
        """A file comes to another's folder: whole, as a copy, an old one, cut, harmed, with other amounts, or twice."""
        given = self.old_files.get(giver % len(self.devices))
        if not given:
            return
        target = self.shares[taker % len(self.devices)]
        name, data = given[-1]
        if how == "stale":
            name, data = given[int(share * (len(given) - 1))]
        elif how == "cut":
            data = data[:int(share * len(data))]
        elif how == "harmed":
            # Most harm near the beginning, where the versions are.
            spot = int(share**2 * (len(data) - 1))
            data = data[:spot] + bytes([data[spot] ^ 16]) + data[spot + 1:]
        elif how == "forged":
            data = forged(data)
        stem = name.removesuffix(".zip")
        if how in ("copy", "twice"):
            (target / f"{stem} (conflicted copy {next(self.turn) % 3}).zip").write_bytes(data)
        if how != "copy":
            (target / name).write_bytes(data)

    @rule(who=WHO, which=WHICH)
    def lose(self, who, which):
        """A file of a shared folder is gone."""
        files = sorted(self.shares[who % len(self.devices)].iterdir())
        if files:
            files[which % len(files)].unlink()

    # What must be so

    @rule()
    def meet(self):
        """Everybody's file comes to everybody, and a forged one to each: then all know the same, and nothing else.

        All that anybody was told is saved is there.
        """
        for _ in range(4):
            for place in range(len(self.devices)):
                self.sync(place)
            for place, others in itertools.product(range(len(self.devices)), self.shares):
                name, data = self.old_files[place][-1]
                (others / name).write_bytes(data)
                (others / "harvest-lots (forged).zip").write_bytes(forged(data))
            if len({device.sequence() for device in self.devices}) == 1:
                break
        sequences = {device.sequence() for device in self.devices}
        assert len(sequences) == 1
        for place, device in enumerate(self.devices):
            report = device.sync(self.shares[place])
            assert report.new == 0
            assert digest(report.file.read_bytes()) == digest(device.file())
            assert device.texts() >= self.acknowledged
            # Whoever was copied or put back found out: nobody goes on under an id that has two ends.
            assert not any(device.id in note.what for note in copy_notes(device.book.log_book))
        assert len({device.id for device in self.devices}) == len(self.devices)
        held = self.devices[0].things()
        said = {one: self.devices[0].book.history(one) for one in held}
        assert held == {one: law(reversed(versions)) for one, versions in said.items()}
        rows = table(self.devices[0])
        for device in self.devices:
            assert device.things() == held
            assert table(device) == rows
            device.book.log_book.rebuild()
            assert table(device) == rows
            if not self.restored:
                assert inspect(device.book.log_book) == ()

    def teardown(self):
        try:
            if self.devices:
                self.meet()
        finally:
            for device in self.devices:
                device.close()
            shutil.rmtree(self.root, ignore_errors=True)


Meeting.TestCase.settings = (
    settings(max_examples=60, stateful_step_count=40, deadline=None) if LONG
    else settings(max_examples=10, stateful_step_count=25, deadline=None, derandomize=True))
TestMeeting = Meeting.TestCase


def test_all_orders_of_four_devices_give_one_digest(devices, tmp_path):
    """However four files are taken in, all 24 ways, the versions are the same bytes and the same things hold."""
    four = [devices(now=START + shift) for shift in SHIFTS[1:]]
    four[0].site()
    lot = four[0].lot()
    for device in four[1:]:
        merge_bytes(device.book, four[0].file(), "first.zip")
    for number, device in enumerate(four):
        device.site(f"Oak ride {number}")
        device.lot(gross=f"{5 + number} kg")
        device.book.correct(lot.id, windfall(gross=f"{8 + number} kg"))
        device.draw(lot.id, "2 kg")
    four[3].book.withdraw(lot.id)
    files = [device.file() for device in four]
    found = []
    for turn, order in enumerate(itertools.permutations(files)):
        fresh = Device(tmp_path / f"order-{turn}", 100 + turn)
        for data in order:
            merge_bytes(fresh.book, data, "file.zip")
        found.append((digest(fresh.file()), fresh.things()))
        fresh.close()
    assert len(found) == 24
    assert all(one == found[0] for one in found)
    assert len(found[0][1][lot.id].heads) == 4
