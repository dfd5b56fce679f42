"""A backup is one file that holds everything, is read back before it counts, and is the same for the same data."""

import contextlib
import io
import json
import re
import stat
import zipfile

import pytest
import rfc8785

from field_app.core.problems import Refused
from field_app.core.records import Draft
from field_app.disk import side_name
from field_app.store import Log, add_backup, backup_bytes
from field_app.store import backup as backup_module
from field_app.store import backup_source as source_module
from field_app.store.backup import MANIFEST, SIZES, VERSIONS, Sizes, back_up, check_backup
from tests.store.files import manifest_of, packed, sequence
from tests.store.making import NOW_MS, Devices

DEVICE = "0123456789abcdef"


@pytest.fixture
def full(opened):
    """A log that holds what others wrote, and has a device id that is nowhere in it."""
    log = opened(device=DEVICE)
    log.take_in_texts(Devices(3).many(200), now_ms=NOW_MS)
    return log


def members(path):
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def refusal(path):
    with pytest.raises(Refused) as caught:
        check_backup(path)
    return caught.value.problems[0]


def test_a_backup_holds_every_version_as_a_text_sequence(full, tmp_path):
    """The file holds all versions by RFC 8142 in the order of their stamps, and a manifest that fits them."""
    done = back_up(full, tmp_path / "backup.zip")
    files = members(tmp_path / "backup.zip")
    assert [*files] == [VERSIONS, MANIFEST]
    texts = files[VERSIONS].split(b"\x1e")
    assert texts[0] == b""
    assert [text.removesuffix(b"\n") for text in texts[1:]] == [*full.texts()]
    manifest = json.loads(files[MANIFEST])
    assert rfc8785.dumps(manifest) == files[MANIFEST]
    assert (manifest["versions"], manifest["bytes"], manifest["sha256"]) == (200, len(files[VERSIONS]), done.sha256)
    assert (done.versions, done.size, done.path) == (
        200, (tmp_path / "backup.zip").stat().st_size, tmp_path / "backup.zip")
    assert check_backup(tmp_path / "backup.zip") == done


def test_the_same_versions_give_the_same_bytes(full, opened, tmp_path):
    """Two devices with the same versions, however they came, write the same backup, today and tomorrow."""
    other = opened("other")
    other.take_in_texts([*full.texts()][::-1], now_ms=NOW_MS)
    back_up(full, tmp_path / "a.zip")
    back_up(other, tmp_path / "b.zip")
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def test_a_backup_does_not_name_this_device(full, tmp_path):
    """The device's own id is nowhere in the file unless it wrote something itself."""
    back_up(full, tmp_path / "backup.zip")
    assert DEVICE not in b"".join(members(tmp_path / "backup.zip").values()).decode()


def test_an_empty_folder_can_be_backed_up(log, tmp_path):
    """A backup of nothing is a whole file with nothing in it."""
    assert back_up(log, tmp_path / "backup.zip").versions == 0
    assert members(tmp_path / "backup.zip")[VERSIONS] == b""


def test_a_backup_is_for_its_owner_alone(full, tmp_path):
    """Places of trees are nobody else's business: the file gets the rights 0600."""
    back_up(full, tmp_path / "backup.zip")
    assert stat.S_IMODE((tmp_path / "backup.zip").stat().st_mode) == 0o600


def test_a_backup_takes_the_place_of_the_last_one_whole(full, tmp_path):
    """A new backup replaces the old one; nothing else is left beside it, also not from a power cut before."""
    path = tmp_path / "backup.zip"
    first = back_up(full, path)
    left = side_name(path)
    left.write_bytes(b"half")
    other = tmp_path / ".other.zip.00000000.1-1.part"
    other.write_bytes(b"somebody's")
    full.append([Draft("urn:uuid:01890000-0000-7000-8000-000000000001", "site", {"name": "Mill lane"})], now_ms=NOW_MS)
    assert (first.versions, back_up(full, path).versions) == (200, 201)
    assert sorted(entry.name for entry in tmp_path.iterdir()) == [other.name, "backup.zip", "data"]


@pytest.mark.parametrize(("path", "words"), [
    ("", "is a folder"), ("nowhere/backup.zip", "is not there"), ("x" * 300, "can't be a file's name"),
    ("/dev/full", "is a device"),
])
def test_a_path_that_can_t_be_a_file_is_refused(full, tmp_path, path, words):
    """A folder, a missing folder, a device or an impossible name is told before anything is written."""
    with pytest.raises(Refused, match=words):
        back_up(full, tmp_path / path)


def test_a_backup_too_large_to_be_taken_back_is_not_written(full, tmp_path, monkeypatch):
    """Rather than a file that can't be restored, the person gets another way."""
    monkeypatch.setattr(backup_module, "SIZES", Sizes(unpacked=50_000))
    with pytest.raises(Refused, match="copy the whole data folder"):
        back_up(full, tmp_path / "backup.zip")
    assert [entry.name for entry in tmp_path.iterdir()] == ["data"]


def test_what_is_read_back_wrong_does_not_take_the_place(full, tmp_path, monkeypatch):
    """When the disk gives back other bytes than were written, the old backup stays and the fault is told."""
    path = tmp_path / "backup.zip"
    back_up(full, path)
    before = path.read_bytes()
    full.append([Draft("urn:uuid:01890000-0000-7000-8000-000000000001", "site", {"name": "Mill lane"})], now_ms=NOW_MS)
    checked = backup_module.check_backup

    def bad_disk(part, *, name):
        data = bytearray(part.read_bytes())
        data[100] ^= 1
        part.write_bytes(data)
        return checked(part, name=name)

    monkeypatch.setattr(backup_module, "check_backup", bad_disk)
    with pytest.raises(Refused, match=r"backup\.zip"):
        back_up(full, path)
    assert path.read_bytes() == before
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["backup.zip", "data"]


def test_every_flipped_bit_of_the_versions_is_noticed(full, tmp_path):
    """Wherever a bit of the file is turned, it is refused, or nothing that counts has changed."""
    path = tmp_path / "backup.zip"
    whole = back_up(full, path)
    data = path.read_bytes()
    noticed = 0
    for at in range(0, len(data), max(1, len(data) // 300)):
        path.write_bytes(data[:at] + bytes([data[at] ^ 1 << at % 8]) + data[at + 1:])
        try:
            found = check_backup(path).sha256
        except Refused as refused:
            found = refused.problems[0].where
        assert found == whole.sha256 or found.startswith("backup.zip")
        noticed += found != whole.sha256
    assert noticed > 250


def test_every_cut_is_noticed(full, tmp_path):
    """A file that lost its end is refused, wherever it was cut."""
    path = tmp_path / "backup.zip"
    back_up(full, path)
    data = path.read_bytes()
    for length in range(0, len(data), max(1, len(data) // 100)):
        path.write_bytes(data[:length])
        assert refusal(path).where.startswith("backup.zip")


@pytest.mark.parametrize(("files", "words"), [
    ({}, "should hold"),
    ({VERSIONS: b""}, "should hold"),
    ({VERSIONS: b"", MANIFEST: b"{}", "more.txt": b""}, "should hold"),
    ({VERSIONS: b"", "../" + MANIFEST: b""}, "should hold"),
    ({VERSIONS: b"", MANIFEST: b"{"}, "not the manifest"),
    ({VERSIONS: b"", MANIFEST: b"[" * 50_000}, "not the manifest"),
    ({VERSIONS: b"", MANIFEST: b'{"format":"another"}'}, "not the manifest"),
    ({VERSIONS: b"", MANIFEST: manifest_of(b"", 0, v=2)}, "newer version"),
    ({VERSIONS: b"", MANIFEST: manifest_of(b"", 1)}, "tells of 1 records"),
    ({VERSIONS: sequence(b"x"), MANIFEST: manifest_of(b"", 1)}, "other contents"),
    ({VERSIONS: b"x\n", MANIFEST: b"{}"}, "RFC 8142"),
    ({VERSIONS: sequence(b"x")[:-1], MANIFEST: b"{}"}, "cut off"),
    ({VERSIONS: sequence(b"x" * 200_000), MANIFEST: b"{}"}, "longer than 65,536"),
])
def test_a_file_that_is_no_whole_backup_is_refused(tmp_path, files, words):
    """A file with other members, another manifest, or a sequence that is none is refused, naming the place."""
    problem = refusal(packed(tmp_path / "x.zip", files))
    assert words in problem.what
    assert problem.where.startswith("x.zip")


def test_no_zip_is_refused(tmp_path):
    """A file that is no zip, is empty, is a folder or is not there is refused with words."""
    (tmp_path / "letter").write_text("Dear miller")
    (tmp_path / "empty").touch()
    for name in ("letter", "empty"):
        assert "not a backup" in refusal(tmp_path / name).what
    for name in (".", "nowhere"):
        assert "can't be read" in refusal(tmp_path / name).what


def test_a_bomb_is_refused_while_it_is_unpacked(tmp_path, monkeypatch):
    """A small file that unpacks to very much is refused, by ratio or by size, without unpacking it all."""
    bomb = packed(tmp_path / "x.zip", {VERSIONS: bytes(30_000_000), MANIFEST: b"{}"},
                  compression=zipfile.ZIP_DEFLATED)
    assert bomb.stat().st_size < 60_000
    assert "longer than" in refusal(bomb).what
    monkeypatch.setattr(source_module, "LIMITS", type(source_module.LIMITS)(record=10**9))
    assert "unpacks to more" in refusal(bomb).what
    monkeypatch.setattr(source_module, "SIZES", Sizes(ratio=10**6, unpacked=1_000_000))
    assert "unpacks to more" in refusal(bomb).what
    monkeypatch.setattr(source_module, "SIZES", Sizes(packed=10_000))
    assert "at most 10,000" in refusal(bomb).what


def test_many_members_are_refused_before_they_are_listed(tmp_path):
    """A directory of thousands of members is not even built."""
    assert "very many members" in refusal(packed(tmp_path / "x.zip", {f"{n}": b"" for n in range(20_001)})).what


def test_encrypted_linked_and_oddly_packed_members_are_refused(tmp_path):
    """What needs a key, points elsewhere or is packed by another method is not unpacked."""
    plain = packed(tmp_path / "x.zip", {VERSIONS: b"", MANIFEST: manifest_of(b"", 0)}).read_bytes()
    assert check_backup(tmp_path / "x.zip").versions == 0
    directory = plain.index(b"PK\x01\x02")
    for at, value in ((8, 0x01), (10, 12), (41, 0xA0)):  # flags, method, rights of a central entry
        data = bytearray(plain)
        data[directory + at] = value
        (tmp_path / "x.zip").write_bytes(data)
        assert "odd way" in refusal(tmp_path / "x.zip").what


def test_the_same_name_twice_is_refused(tmp_path):
    """A zip with two members of one name leaves open which one counts, so neither does."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr(VERSIONS, b"")
        archive.writestr(MANIFEST, manifest_of(b"", 0))
        with pytest.warns(UserWarning, match="Duplicate"):
            archive.writestr(VERSIONS, b"")
    (tmp_path / "x.zip").write_bytes(out.getvalue())
    assert "should hold" in refusal(tmp_path / "x.zip").what


def test_the_limits_are_those_of_files_from_strangers():
    """At most 50 MB, 200 MB unpacked, and 200 times its size."""
    assert (SIZES.packed, SIZES.unpacked, SIZES.ratio) == (50_000_000, 200_000_000, 200)
    assert re.fullmatch(r"[a-z.]+", VERSIONS)


def test_what_a_backup_holds_is_added(tmp_path):
    """Added to another log, or to the same, everything is there once, and nothing of before is taken away."""
    devices = Devices(2)
    with contextlib.closing(Log(tmp_path / "one", new_device="1" * 16)) as one, \
            contextlib.closing(Log(tmp_path / "two", new_device="2" * 16)) as two:
        one.take_in_texts(devices.many(20), now_ms=NOW_MS * 2)
        two.take_in_texts(Devices(3).many(10), now_ms=NOW_MS * 2)
        before = set(two.texts())
        data, _ = backup_bytes(one)
        assert add_backup(two, data, "copy.zip", now_ms=NOW_MS * 2).new == len(list(one.texts()))
        assert set(two.texts()) == before | set(one.texts())
        assert add_backup(two, data, "copy.zip", now_ms=NOW_MS * 2).new == 0
        for spoiled in (b"", data[:-30], data.replace(b"PK\x03\x04", b"PK\x03\x05", 1)):
            with pytest.raises(Refused):
                add_backup(two, spoiled, "copy.zip", now_ms=NOW_MS * 2)
        assert set(two.texts()) == before | set(one.texts())
