"""The commands for photographs, and what backup, restore and inspect say of them."""

import hashlib
import io
from pathlib import Path

import pytest
from PIL import Image

from field_app.core.pictures import LARGEST
from field_app.store import PHOTOGRAPHS
from tests.cli.test_cli import LOG, add_mill_lane, call, parsed  # noqa: F401 - the fixture is used by its name
from tests.photographs import photograph

HEAP, PAIL = photograph(way_up=6), photograph("PNG", shade=60)


@pytest.fixture
def shed(call, tmp_path):  # noqa: F811
    """A lot, and two photographs as files."""
    add_mill_lane(call)
    (tmp_path / "heap.jpg").write_bytes(HEAP)
    (tmp_path / "pail.png").write_bytes(PAIL)
    return parsed(call(*LOG, "--json"))


def refused(result, words):
    assert result.exit_code == 2
    assert words in result.stderr
    assert "Traceback" not in result.stderr


def test_photographs_are_kept_listed_and_copied(shed, call, tmp_path):  # noqa: F811
    """Kept as they are beside the records, listed with what they show, and copied without place and maker."""
    kept = parsed(call("photograph", "add", shed["code"], tmp_path / "heap.jpg", tmp_path / "pail.png", "--json"))
    assert [one["sha256"] for one in kept] == [hashlib.sha256(data).hexdigest() for data in (HEAP, PAIL)]
    assert [Path(one["file"]).read_bytes() for one in kept] == [HEAP, PAIL]
    assert parsed(call("photograph", "list", shed["code"], "--json")) == kept
    told = call("photograph", "list").stdout.splitlines()
    assert [line.split()[0] for line in told] == [one["sha256"][:12] for one in kept]
    assert all(f"lot {shed['code']}" in line for line in told)
    heap, _ = call("--language", "de", "--decimal", "comma", "photograph", "list").stdout.splitlines()
    assert f"{len(HEAP):,} Bytes".replace(",", "\u00a0") in heap
    assert len(HEAP) > 1000
    done = call("photograph", "copy", kept[0]["sha256"][:8], tmp_path / "bare.jpg")
    assert done.exit_code == 0, done.stderr
    bare = (tmp_path / "bare.jpg").read_bytes()
    assert b"Pinhole" not in bare
    assert Image.open(io.BytesIO(bare)).tobytes() == Image.open(io.BytesIO(HEAP)).tobytes()


def test_a_photograph_of_a_look_and_the_way_back(shed, call, tmp_path):  # noqa: F811
    """A look takes one by its id; taken away it is gone from the list, and comes back within the day."""
    look = parsed(call("look", "Mill lane", "--stage", "dented", "--json"))
    (one,) = parsed(call("photograph", "add", look["id"], tmp_path / "heap.jpg", "--json"))
    assert "a look at Mill lane" in call("photograph", "list").stdout
    told = call("photograph", "take-away", one["sha256"][:8])
    assert look["id"] in told.stdout
    assert "There are no photographs" in call("photograph", "list").stderr
    assert "1 photograph is back" in call("photograph", "bring-back", look["id"]).stdout
    assert parsed(call("photograph", "list", "--json")) == [one]
    call("photograph", "take-away", one["sha256"][:8])
    late = call("photograph", "bring-back", look["id"], as_of="2026-10-09T15:01:00-02:00")
    refused(late, "nothing was taken away from it within the last day")


def test_what_can_t_be_done_is_refused(shed, call, tmp_path):  # noqa: F811
    """A file that is none, too large, missing, or one wrong among good ones; an unknown code: nothing is changed."""
    (tmp_path / "letter.jpg").write_bytes(b"Dear miller")
    (tmp_path / "film.jpg").write_bytes(b"\xff\xd8\xff" + bytes(LARGEST))
    add = ("photograph", "add", shed["code"])
    refused(call(*add, tmp_path / "heap.jpg", tmp_path / "letter.jpg"), "letter.jpg: is not a photograph")
    refused(call(*add, tmp_path / "film.jpg"), "is larger than 12 MB")
    refused(call(*add, tmp_path / "nowhere.jpg"), "nowhere.jpg: can't be read")
    refused(call("photograph", "add", "ZZZZ", tmp_path / "heap.jpg"), "no lot has the code")
    refused(call("photograph", "copy", "5f70", tmp_path / "x.jpg"), "none begins with 5f70")
    refused(call("photograph", "bring-back", shed["code"]), "nothing was taken away")
    assert parsed(call("photograph", "list", "--json")) == []
    (one,) = parsed(call(*add, tmp_path / "heap.jpg", "--json"))
    refused(call("photograph", "copy", one["sha256"][:3], tmp_path / "x.jpg"), "none begins with")
    refused(call("photograph", "copy", one["sha256"], tmp_path / "heap.jpg"), "is there already")
    assert (tmp_path / "heap.jpg").read_bytes() == HEAP


def test_a_backup_takes_them_along_and_inspect_looks_at_them(shed, call, tmp_path):  # noqa: F811
    """The backup counts them and gives them back elsewhere; a damaged one is found, and told to the backup too."""
    call("photograph", "add", shed["code"], tmp_path / "heap.jpg", tmp_path / "pail.png")
    said = call("backup", tmp_path / "copy.zip")
    assert "and 2 photographs" in said.stdout
    done = call("restore", tmp_path / "copy.zip", data="elsewhere")
    assert "and 2 photographs" in done.stdout
    assert parsed(call("photograph", "list", "--json", data="elsewhere"))[0]["of"] == shed["id"]
    assert call("inspect", data="elsewhere").exit_code == 0
    for path in (tmp_path / "elsewhere" / PHOTOGRAPHS).iterdir():
        path.write_bytes(b"ink")
    found = call("inspect", data="elsewhere")
    assert found.exit_code == 1
    assert found.stderr.count("its file is damaged") == 2
    kept = call("backup", tmp_path / "again.zip", data="elsewhere")
    assert (kept.exit_code, kept.stderr.count("Not in it")) == (0, 2)


def test_no_file_for_others_has_them(shed, call, tmp_path):  # noqa: F811
    """Neither the planner's file nor what goes into a shared folder nor an export holds a photograph."""
    call("photograph", "add", shed["code"], tmp_path / "heap.jpg")
    (tmp_path / "shared").mkdir()
    assert call("handover", tmp_path / "lots.zip").exit_code == 0
    assert call("sync", tmp_path / "shared").exit_code == 0
    assert call("export", tmp_path / "out").exit_code == 0
    written = [tmp_path / "lots.zip", *(tmp_path / "shared").iterdir(), *(tmp_path / "out").iterdir()]
    assert len(written) >= 4
    for path in written:
        data = path.read_bytes()
        assert HEAP[300:360] not in data, path
        assert hashlib.sha256(HEAP).hexdigest()[:12].encode() not in data, path
