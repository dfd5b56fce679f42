"""Kills a program while it saves, at any moment, and looks whether what it had acknowledged is there.

Run as ``python -m tests.durability.kills --times 1000``.
The program says each save on its output only after the store has; what was said before it was killed must be there.
"""

import argparse
import contextlib
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from field_app.core.records import name_of
from field_app.store.inspection import inspect
from field_app.store.log import Log

#: Saves of one and of several versions, merges and rebuilds, one after the other, until it is killed.
PROGRAM = """
import sys, pathlib, random
from field_app.core.records import Draft, name_of
from field_app.store.log import Log
from tests.store.making import NOW_MS, Devices
rng = random.Random(int(sys.argv[2]))
others = Devices(2, seed=int(sys.argv[2]))
log = Log(pathlib.Path(sys.argv[1]), new_device=f"{rng.getrandbits(64):016x}")
def thing(number):
    return f"urn:uuid:01890000-0000-7000-8000-{number:012x}"
def say(names):
    sys.stdout.write(" ".join(names) + "\\n")
    sys.stdout.flush()
say([])
while True:
    chance = rng.random()
    if chance < 0.05:
        texts = others.many(rng.randrange(1, 200))
        log.take_in_texts(texts, now_ms=NOW_MS)
        say([name_of(text) for text in texts])
    elif chance < 0.07:
        log.rebuild()
    else:
        number = rng.randrange(1000)
        known = log.thing(thing(number))
        drafts = [Draft(thing(number), "lot", {"note": "x" * rng.randrange(300)}, parents=known.heads if known else ())]
        drafts += [Draft(thing(rng.randrange(1000, 2000)), "lot", {}) for _ in range(rng.choice((0, 0, 2)))]
        say([version.name for version in log.append(drafts, now_ms=NOW_MS)])
"""


def killed(folder, seed, wait):
    """What a program had acknowledged when it was killed after so long [s]: saves, each as its versions' names."""
    program = subprocess.Popen([sys.executable, "-c", PROGRAM, str(folder), str(seed)], stdout=subprocess.PIPE,
                               text=True, env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])})
    program.stdout.readline()
    time.sleep(wait)
    program.send_signal(signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
    said, _ = program.communicate()
    # The last line may have been cut off by the kill.
    return [line.split() for line in said.splitlines(keepends=True) if line.endswith("\n")]


def judged(folder, saves):
    """What is wrong in the folder after a kill, counted: lost, halves of saves, problems that the store finds."""
    found = Counter()
    with contextlib.closing(Log(folder, new_device="b" * 16)) as log:
        names = {name_of(text) for text in log.texts()}
        found["problems"] = len(inspect(log)) + len(log.notices)
    for save in saves:
        there = len(names.intersection(save))
        found["acknowledged"] += len(save)
        found["lost"] += len(save) - there
        found["halves"] += 0 < there < len(save)
    return found


def kill(times, *, seed=1, longest=0.5, fresh=20):
    """What came of so many kills. longest: of the waits before one [s]; fresh: kills before a folder is new [1]."""
    rng = random.Random(seed)
    found = Counter()
    with tempfile.TemporaryDirectory() as name:
        saves = []
        for turn in range(times):
            if turn % fresh == 0:
                saves = []
            folder = Path(name) / f"data-{turn // fresh}"
            saves += killed(folder, seed * 100_000 + turn, rng.random() ** 2 * longest)
            found.update(judged(folder, saves[-2000:]))
        found["kills"] = times
    return found


def main(arguments=None):
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--times", "--kills", dest="kills", type=int, default=100, help="how often [1]")
    parser.add_argument("--seed", type=int, default=1, help="another seed, other moments [1]")
    chosen = parser.parse_args(arguments)
    found = kill(chosen.kills, seed=chosen.seed)
    print(f"{found['kills']:,} kills, {found['acknowledged']:,} acknowledged versions looked for, "
          f"{found['lost']:,} lost, {found['halves']:,} half-written saves, {found['problems']:,} problems found")
    return int(bool(found["lost"] or found["halves"] or found["problems"]))


if __name__ == "__main__":
    raise SystemExit(main())
