"""Lets the power go at any moment, thousands of times, and looks what is left.

Run as ``python -m tests.durability.crashes --images 20000``.
The store writes through SQLite onto a disk that notes every deed; from the notes come images of what may be on the
disk when the power goes; each is opened by the store itself, which has to find all that was acknowledged.
Two settings that are known to lose data run beside it: if they did not fail, the test would see nothing.
"""

import argparse
import contextlib
import random
import tempfile
from collections import Counter
from pathlib import Path

from field_app.core.problems import FolderFault
from field_app.core.records import Draft, name_of
from field_app.store import log as log_module
from field_app.store.folder import DATABASE, JOURNAL
from field_app.store.inspection import inspect
from field_app.store.log import Log
from tests.durability.disks import Disk, image
from tests.store.making import NOW_MS, Devices

#: Settings after the store's own, and whether they are to hold.
SETTINGS = {"as the store sets it": ((), True),
            "journal delete, synchronous full": (("journal_mode=delete",), False),
            "journal memory, synchronous full": (("journal_mode=memory",), False)}


def thing(number):
    return f"urn:uuid:01890000-0000-7000-8000-{number:012x}"


def season(log, acknowledge):
    """Saves of every kind: alone, several together, corrections, a merge, a rebuild."""
    rng = random.Random(3)
    site = thing(0xFF)

    def append(drafts, ms):
        acknowledge([version.name for version in log.append(drafts, now_ms=NOW_MS + ms)])

    append([Draft(site, "site", {"name": "Mill lane"}, (44.01234, -28.00567))], 0)
    for number in range(1, 11):
        drafts = [Draft(thing(number), "lot", {"site": site, "note": "x" * rng.randrange(600)})]
        if number % 3 == 0:
            drafts.append(Draft(thing(number - 1), "lot", {"site": site}, parents=log.thing(thing(number - 1)).heads))
        append(drafts, number)
        if number == 6:
            texts = Devices(2).many(12)
            log.take_in_texts(texts, now_ms=NOW_MS)
            acknowledge([name_of(text) for text in texts])
            log.rebuild()


@contextlib.contextmanager
def substituted(connection):
    """The store's next log uses this connection."""
    real = log_module.connect
    log_module.connect = lambda _folder: connection
    try:
        yield
    finally:
        log_module.connect = real


def recorded(folder, more):
    """What a season asks of the disk. The folder holds a real, empty file, whose serial number the store notes."""
    from tests.durability.recording import Recorded

    disk = Disk()
    with substituted(Recorded(disk, more)), contextlib.closing(Log(folder, new_device="a" * 16)) as log:
        season(log, lambda names: disk.marks.append((len(disk.deeds), names)))
    return disk


def put(folder, files):
    """An image onto the real disk; the database stays the same file, so that the folder is no copy."""
    with (folder / DATABASE).open("r+b") as file:
        file.truncate(0)
        file.write(files[DATABASE])
    if JOURNAL in files:
        (folder / JOURNAL).write_bytes(files[JOURNAL])
    else:
        (folder / JOURNAL).unlink(missing_ok=True)


def judged(folder, acknowledged, saves, *, again):
    """What is wrong with an image: "lost", "inconsistent" or nothing. again: whether to save something more."""
    try:
        with contextlib.closing(Log(folder, new_device="b" * 16)) as log:
            if inspect(log) or log.notices:
                return "inconsistent"
            names = {name_of(text) for text in log.texts()}
            if any(0 < len(names & save) < len(save) for save in saves):
                return "inconsistent"
            if not acknowledged <= names:
                return "lost"
            if again:
                log.append([Draft(thing(0xFFF), "lot", {"site": thing(0xFF)})], now_ms=NOW_MS)
                if inspect(log) or log.count("lot", of=thing(0xFF)) == 0:
                    return "inconsistent"
    except FolderFault:
        return "inconsistent"
    return ""


def crash(images, more=(), *, seed=1, folder=None):
    """How many images were made, and how many of them were inconsistent or had lost something."""
    place = folder or (Path("/dev/shm") if Path("/dev/shm").is_dir() else None)
    found = Counter(images=images)
    with tempfile.TemporaryDirectory(dir=place) as name:
        data = Path(name) / "data"
        data.mkdir()
        (data / DATABASE).touch(mode=0o600)
        disk = recorded(data, more)
        saves = [set(save) for _, save in disk.marks]
        rng = random.Random(seed)
        for turn in range(images):
            until = rng.randrange(len(disk.deeds) + 1)
            put(data, image(disk.deeds, until, rng, [DATABASE]))
            acknowledged = {one for save in disk.acknowledged(until) for one in save}
            fault = judged(data, acknowledged, saves, again=turn % 10 == 0)
            if fault:
                found[fault] += 1
    return found


def main(arguments=None):
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--images", type=int, default=2_000, help="how often the power goes [1]")
    parser.add_argument("--controls", type=int, default=0, help="the same for the settings that lose data; "
                                                                "a tenth of it if left out [1]")
    parser.add_argument("--seed", type=int, default=1, help="another seed, other moments [1]")
    chosen = parser.parse_args(arguments)
    failed = False
    for words, (more, holds) in SETTINGS.items():
        images = chosen.images if holds else chosen.controls or max(1, chosen.images // 10)
        found = crash(images, more, seed=chosen.seed)
        bad = found["inconsistent"] + found["lost"]
        failed |= bool(bad) is holds
        print(f"{words}: {found['images']:,} images, {found['inconsistent']:,} inconsistent, "
              f"{found['lost']:,} with acknowledged saves lost", flush=True)
    return int(failed)


if __name__ == "__main__":
    raise SystemExit(main())
