"""Writes the folder that every later program has to read, as today's program writes it.

Run once for each format, as ``python -m tests.store.make_golden``; what it wrote before is never written anew.
"""

import contextlib
import json
import shutil
import tempfile
from pathlib import Path

from field_app.core.records import Draft
from field_app.store.backup import back_up
from field_app.store.folder import DATABASE
from field_app.store.log import Log
from field_app.store.schema import FORMAT
from tests.store.making import NOW_MS, feature_of, text_of

GOLDEN = Path(__file__).parent / "golden"
SITE, LEAVE, LOT, BARK, STEP, DRAW, GONE, ODD = (
    f"urn:uuid:01890000-0000-7000-8000-{number:012x}" for number in range(1, 9))


def drafts():
    """A small season, save by save."""
    yield [Draft(SITE, "site", {"name": "Mill lane", "materials": ["black-walnut"], "note": "hinter dem Tor – “left”"},
                 (44.01234, -28.00567)),
           Draft(LEAVE, "leave", {"site": SITE, "state": "given", "by": "the miller", "until": "2026-11-15",
                                  "limit": {"value": "20", "unit": "kg"}})]
    yield [Draft(LOT, "lot", {"site": SITE, "material": "black-walnut", "part": "whole-fruit", "basis": "weighed",
                              "ripeness": "fallen", "gathered": "2026-10-08T15:24:00-02:00",
                              "gross": {"value": "14.2", "unit": "kg"}, "tare": {"value": "1.1", "unit": "kg"},
                              "fix": {"source": "device", "accuracy": "6", "meaning": "95 %"}}, (44.0124, -28.0057))]
    yield [Draft(BARK, "lot", {"site": SITE, "material": "alder-bark", "part": "bark", "basis": "weighed",
                               "gathered": "2026-10-09T09:00:00-02:00",
                               "gross": {"value": "20", "unit": "oz", "typed": "1 lb 4 oz"}})]
    yield [Draft(STEP, "step", {"lot": LOT, "step": "soaked", "at": "2026-10-08T18:00:00-02:00"})]
    yield [Draft(DRAW, "draw", {"lot": LOT, "amount": {"value": "2.5", "unit": "kg"}, "by": "the parish",
                                "at": "2026-10-10T10:00:00-02:00"})]
    yield [Draft(GONE, "site", {"name": "Ford bend"}, (44, -28))]


def others(log):
    """What another device said: of the same lot at the same time, and something of a newer program."""
    lot = log.thing(LOT)
    facts = {**lot.facts, "note": "weighed again"}
    yield text_of(feature_of(LOT, "lot", {**facts, "gross": {"value": "14.6", "unit": "kg"}}, device="c" * 16,
                             parents=lot.heads, ms=NOW_MS + 60_000, position=(44.0124, -28.0057)))
    yield text_of(feature_of(ODD, "smell", {"lot": LOT, "of": ["nuts", {"deep": True}]}, device="d" * 16))


def write(folder):
    """The season in a folder, with a backup and what is to be read from both."""
    with contextlib.closing(Log(folder, new_device="a" * 16)) as log:
        for number, save in enumerate(drafts()):
            log.append(save, now_ms=NOW_MS + number)
        theirs = [*others(log)]
        lot, gone = log.thing(LOT), log.thing(GONE)
        log.append([Draft(LOT, "lot", {**lot.facts, "condition": "soaked"}, lot.position, lot.heads),
                    Draft(GONE, "site", gone.facts, gone.position, gone.heads, deleted=True)], now_ms=NOW_MS + 100)
        log.take_in_texts(theirs, now_ms=NOW_MS + 200)
        back_up(log, folder / "backup.zip")
        things = {key: log.thing(key) for key in (SITE, LEAVE, LOT, BARK, STEP, DRAW, GONE, ODD)}
        due = {"texts": [text.decode() for text in log.texts()],
               "things": {key: {"kind": one.kind, "facts": dict(one.facts), "position": one.position,
                                "heads": one.heads, "first_hlc": one.first_hlc, "last_hlc": one.last_hlc,
                                "device": one.device, "deleted": one.deleted} for key, one in things.items()}}
    (folder / "due.json").write_text(json.dumps(due, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    (folder / (DATABASE + "-journal")).unlink(missing_ok=True)


def main():
    target = GOLDEN / f"format-{FORMAT}"
    if target.exists():
        raise SystemExit(f"{target} is there already, and is never written anew")
    with tempfile.TemporaryDirectory() as name:
        write(Path(name) / "data")
        shutil.copytree(Path(name) / "data", target)


if __name__ == "__main__":
    main()
