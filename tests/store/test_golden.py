"""Folders and backups of every format there was are read by today's program; nobody's season is lost."""

import contextlib
import json
import shutil

import pytest

from field_app.core.records import Draft
from field_app.store.folder import DATABASE
from field_app.store.inspection import inspect
from field_app.store.log import Log
from field_app.store.restoring import restore
from field_app.store.schema import FORMAT
from tests.store.make_golden import GOLDEN, SITE, write
from tests.store.making import NOW_MS

FORMATS = sorted(path.name for path in GOLDEN.iterdir())


def read(log):
    """What is in the log, in the form of the file of what is due."""
    versions = log.versions()
    things = {key: log.thing(key) for key in {version.thing for version in versions}}
    return {"texts": [version.text.decode() for version in versions],
            "things": {key: {"kind": one.kind, "facts": dict(one.facts),
                             "position": None if one.position is None else [*one.position],
                             "heads": [*one.heads], "first_hlc": one.first_hlc, "last_hlc": one.last_hlc,
                             "device": one.device, "deleted": one.deleted} for key, one in things.items()}}


def due(name):
    return json.loads((GOLDEN / name / "due.json").read_text(encoding="utf-8"))


def test_there_is_a_folder_of_today_s_format():
    """Whoever raises the format writes a folder of it for those who come later."""
    assert f"format-{FORMAT}" in FORMATS


@pytest.mark.parametrize("name", FORMATS)
def test_an_old_folder_is_read(tmp_path, name):
    """Every version and all that holds is read as it was written, nothing is wrong, and saving goes on."""
    (tmp_path / "data").mkdir()
    shutil.copyfile(GOLDEN / name / DATABASE, tmp_path / "data" / DATABASE)
    with contextlib.closing(Log(tmp_path / "data", new_device="b" * 16)) as log:
        assert (read(log), inspect(log)) == (due(name), ())
        assert len(log.notices) == 1  # it is a copy
        log.append([Draft(SITE, "site", {"name": "Mill lane"}, parents=log.thing(SITE).heads)], now_ms=NOW_MS)
        assert (len(log.thing(SITE).heads), inspect(log)) == (1, ())


@pytest.mark.parametrize("name", FORMATS)
def test_an_old_backup_is_restored(tmp_path, name):
    """A backup that an earlier program wrote fills a folder with the same versions and the same that holds."""
    restore(GOLDEN / name / "backup.zip", tmp_path / "data", new_device="b" * 16, now_ms=NOW_MS)
    with contextlib.closing(Log(tmp_path / "data", new_device="c" * 16)) as log:
        assert (read(log), inspect(log)) == (due(name), ())


def test_today_s_program_still_writes_the_same(tmp_path):
    """The same season gives the same versions, to the byte, as when the folder was written."""
    write(tmp_path / "data")
    again = json.loads((tmp_path / "data" / "due.json").read_text(encoding="utf-8"))
    assert again == due(f"format-{FORMAT}")
