"""Kills a program while it backs up, restores, or opens what an older version left, and looks what is there.

Run as ``python -m tests.durability.interrupted --times 1000``.
Before and after are both right, whatever the moment; anything between is a fault, and so is what stays lying about.
"""

import argparse
import contextlib
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from field_app.core.problems import FieldAppError
from field_app.core.records import name_of
from field_app.store.backup import back_up, check_backup
from field_app.store.inspection import inspect
from field_app.store.log import Log
from field_app.store.restoring import restore
from field_app.store.sync import set_aside
from tests.store.making import NOW_MS, Devices

#: What each program does, and how long it may go on at most before it is killed [s].
LONGEST = {"backs up": 0.3, "restores": 0.8, "migrates": 0.4}

PROGRAM = """
import sys, pathlib
from field_app.core.records import Draft
from field_app.store.backup import back_up
from field_app.store.log import Log
from field_app.store.restoring import restore
from tests.store.making import NOW_MS
place = pathlib.Path(sys.argv[2])
def say(word):
    sys.stdout.write(f"{word}\\n")
    sys.stdout.flush()
def backs_up():
    log, number = Log(place / "data", new_device="a" * 16), 0
    while True:
        number += 1
        log.append([Draft(f"urn:uuid:01890000-0000-7000-8000-{number:012x}", "lot", {})], now_ms=NOW_MS)
        say(back_up(log, place / "backup.zip").versions)
def restores():
    for number in range(10_000):
        restore(place.parent / f"backup-{number % 2}.zip", place / "data", new_device="a" * 16, now_ms=NOW_MS)
        say(number)
def migrates():
    log = Log(place / "data", new_device="a" * 16)
    say("done")
    sys.stdin.readline()
say("ready")
sys.stdin.readline()
{"backs up": backs_up, "restores": restores, "migrates": migrates}[sys.argv[1]]()
"""


def texts(log):
    return frozenset(name_of(text) for text in log.texts())


def prepare(place):
    """A folder of 1,500 versions, two backups of others, and the folder as an older version would have left it."""
    for number, name in enumerate(("backup-0", "backup-1", "full")):
        with contextlib.closing(Log(place / name, new_device="b" * 16)) as log:
            log.take_in_texts(Devices(3, seed=number + 1).many((300, 400, 1500)[number]), now_ms=NOW_MS)
            yield texts(log)
            if name != "full":
                back_up(log, place / f"{name}.zip")
            with log.writing() as connection:
                # So that a copy of the folder is not noticed as one.
                connection.execute("update own set value = '' where key = 'place'")
    shutil.copytree(place / "full", place / "older")
    with (contextlib.closing(Log(place / "older", new_device="b" * 16)) as log, log.writing() as connection):
        connection.execute("drop table quarantine")
        connection.execute("delete from migration where name = 'm003_quarantine'")
        connection.execute("delete from thing")
        connection.execute("update own set value = '0' where key = 'rules'")
        connection.execute("update own set value = '' where key = 'place'")


def cut(deed, place, wait):
    """What a program had said when it was killed after so long [s]."""
    program = subprocess.Popen([sys.executable, "-c", PROGRAM, deed, str(place)], stdin=subprocess.PIPE,
                               stdout=subprocess.PIPE, text=True,
                               env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])})
    program.stdout.readline()
    program.stdin.write("go\n")
    program.stdin.flush()
    time.sleep(wait)
    program.send_signal(getattr(signal, "SIGKILL", signal.SIGTERM))
    said, _ = program.communicate()
    # The last line may have been cut off by the kill.
    return [line.strip() for line in said.splitlines(keepends=True) if line.endswith("\n")]


def faults_of_backup(place, said, _):
    path = place / "backup.zip"
    found = check_backup(path).versions if path.exists() else 0
    if found < (int(said[-1]) if said else 0):
        yield "an acknowledged backup is gone"
    with contextlib.closing(Log(place / "data", new_device="d" * 16)) as log:
        yield from map(str, inspect(log))
        if back_up(log, path).versions < 1500 + len(said):
            yield "an acknowledged version is gone"


def faults_of_restoring(place, said, sets):
    with contextlib.closing(Log(place / "data", new_device="d" * 16)) as log:
        yield from map(str, inspect(log))
        here = texts(log)
    acknowledged = int(said[-1]) if said else -1
    if here not in (sets[2] if acknowledged < 0 else sets[acknowledged % 2], sets[(acknowledged + 1) % 2]):
        yield "the folder holds neither the old data nor the new"
    kept = sorted(place.glob("data-before-restore-*"), key=lambda path: int(path.name.rsplit("-", 1)[1]))
    if len(kept) < len(said):
        yield "a copy of what was there before is gone"
    for one in kept[-1:]:
        with contextlib.closing(Log(one, new_device="d" * 16)) as log:
            yield from map(str, inspect(log))
            if texts(log) not in sets:
                yield "the copy beside is not whole"
    restore(place.parent / "backup-0.zip", place / "data", new_device="e" * 16, now_ms=NOW_MS)
    with contextlib.closing(Log(place / "data", new_device="d" * 16)) as log:
        if texts(log) != sets[0]:
            yield "restoring again did not work"


def faults_of_migration(place, _, sets):
    with contextlib.closing(Log(place / "data", new_device="d" * 16)) as log:
        yield from map(str, inspect(log))
        if texts(log) != sets[2] or set_aside(log):
            yield "a version is gone"


FAULTS = {"backs up": faults_of_backup, "restores": faults_of_restoring, "migrates": faults_of_migration}


def interrupt(times, *, seed=1):
    """What came of so many kills: how many programs of each kind, how many had not done it once yet, the faults."""
    rng = random.Random(seed)
    found = Counter(kills=times)
    with tempfile.TemporaryDirectory() as name:
        sets = [*prepare(Path(name))]
        for turn in range(times):
            deed = (*LONGEST,)[turn % len(LONGEST)]
            place = Path(name) / f"turn-{turn}"
            place.mkdir()
            shutil.copytree(Path(name) / ("older" if deed == "migrates" else "full"), place / "data")
            said = cut(deed, place, rng.random() * LONGEST[deed])
            found[deed] += 1
            found[f"{deed}, not done yet"] += not said
            try:
                faults = [*FAULTS[deed](place, said, sets)]
            except FieldAppError as error:
                faults = [str(error)]
            # Looking at it did the same again, and that clears away what a kill left half-written.
            faults += [f"{path.name} is left over" for path in place.rglob("*.part")]
            for fault in faults:
                found["faults"] += 1
                print(f"kill {turn}, which {deed}: {fault}")
            shutil.rmtree(place)
    return found


def main(arguments=None):
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--times", type=int, default=100, help="how often [1]")
    parser.add_argument("--seed", type=int, default=1, help="another seed, other moments [1]")
    chosen = parser.parse_args(arguments)
    found = interrupt(chosen.times, seed=chosen.seed)
    for deed in LONGEST:
        print(f"{found[deed]:,} killed while a program {deed}, "
              f"{found[f'{deed}, not done yet']:,} of them before it had done so once")
    print(f"{found['kills']:,} kills, {found['faults']:,} faults")
    return int(bool(found["faults"]))


if __name__ == "__main__":
    raise SystemExit(main())
