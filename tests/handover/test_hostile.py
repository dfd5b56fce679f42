"""A stranger's bytes: limits hold while unpacking, and whatever comes, a report comes back."""

import io
import json
import random
import struct
import zipfile
import zlib

import pytest

from field_app.core.problems import Refused
from field_app.core.units import Measure
from field_app.handover import check, planner_file
from field_app.handover.jsontext import read_json
from field_app.handover.packing import Limits, pack, unpack
from tests.handover.scene import MADE, MILL, closed, good, lot, opened, sites

EMPTY = planner_file([], [], made=MADE)
SMALL = planner_file([lot(1, MILL, gross=Measure("3", "kg"))], sites()[:1], made=MADE)


def first(data: bytes, limits: Limits = Limits()) -> str:  # noqa: B008  # limits are frozen
    return str(check(data, limits).problems[0])


def zipped(*members: tuple[str | zipfile.ZipInfo, bytes], method: int = zipfile.ZIP_STORED) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        for name, data in members:
            archive.writestr(name, data)
    return out.getvalue()


def test_packing_and_unpacking_are_inverse():
    """What was packed comes back, in its order."""
    files = {"b.txt": b"two", "a.json": b"", "c.x.y": bytes(range(256))}
    found, problems = unpack(pack(files))
    assert (list(found.items()), problems) == (list(files.items()), ())


def test_a_file_that_another_program_packed_again_is_not_wrong():
    """Deflated, in another order and with other times the file is whole; a note says so."""
    files = opened(good())
    report = check(zipped(*reversed(files.items()), method=zipfile.ZIP_DEFLATED))
    assert report.problems == ()
    assert [note.where for note in report.notes] == ["file"]
    assert dict(report.counts) == {"lots": 4, "sites": 3}


def test_a_file_whose_beginning_is_missing_is_told():
    """Members whose place in the file is wrong can't be unpacked, and are named."""
    assert first(good()[30:]).startswith("datapackage.json: can't be unpacked")


@pytest.mark.parametrize("data", [b"", b"PK", b"PK\x05\x06" + bytes(18), b"not a zip", bytes(1000), good()[:-1],
                                  good()[:-30], good()[:100]])
def test_what_is_no_whole_zip_is_refused_in_words(data):
    """An empty zip, a cut one, and no zip at all are told as what they are."""
    assert first(data).startswith(("file: is not a zip, or its end is missing", "file: has no datapackage.json"))


def test_the_packed_size_is_limited():
    """A file above the limit is not even opened."""
    assert first(SMALL, Limits(packed=1000)).startswith(f"file: is {len(SMALL):,} bytes; at most 1,000 are read")


def test_the_unpacked_size_is_counted_over_all_members():
    """Two members that fit alone, but not together, are refused."""
    data = zipped(("a.txt", bytes(600)), ("b.txt", bytes(600)))
    assert first(data, Limits(unpacked=1000)).startswith("b.txt: unpacks to more than may be read")


def test_a_bomb_is_stopped_while_it_unpacks():
    """Ten million zeros that pack to ten thousand bytes are not read to their end."""
    data = zipped(("lots.csv", bytes(10_000_000)), method=zipfile.ZIP_DEFLATED)
    assert len(data) < 20_000
    assert first(data).startswith("lots.csv: unpacks to more than 200 times its packed size")


def test_a_size_that_the_header_denies_is_counted_all_the_same():
    """A directory that claims a few bytes for a bomb does not get it unpacked."""
    data = bytearray(zipped(("lots.csv", bytes(10_000_000)), method=zipfile.ZIP_DEFLATED))
    at = data.index(b"PK\x01\x02")
    struct.pack_into("<L", data, at + 24, 10)
    struct.pack_into("<L", data, at + 16, zlib.crc32(bytes(10)))
    found, _ = unpack(bytes(data))
    assert sum(map(len, found.values())) <= 10


def test_the_number_of_members_is_limited():
    """Seventeen members are one too many, and thousands are not even listed."""
    assert first(zipped(*((f"f{n}.txt", b"") for n in range(17)))).startswith("file: has 17 members; at most 16")
    assert first(zipped(*((f"f{n}.txt", b"") for n in range(2000)))).startswith("file: has more than 16 members")


@pytest.mark.parametrize("name", ["../lots.csv", "/etc/passwd", "a/b.csv", "a\\b.csv", "C:\\lots.csv", "Lots.CSV",
                                  "lots.csv ", ".hidden", "con", "lots\u202e.csv", "lots.csv\x00.txt", "-x.csv", "..",
                                  "a" * 80 + ".csv"])
def test_only_plain_names_are_unpacked(name):
    """A path, a hidden or a disguised name is told and left out."""
    info = zipfile.ZipInfo("x")
    info.filename = info.orig_filename = name
    found, problems = unpack(zipped((info, b"x")))
    assert found == {}
    assert problems[0].what == "is not a plain name of a file"
    assert problems[0].where.isprintable()


def test_a_name_that_is_there_twice_is_refused():
    """Two members of one name would be read differently by different programs."""
    with pytest.warns(UserWarning, match="Duplicate"):
        data = zipped(("lots.csv", b"one"), ("lots.csv", b"two"))
    assert first(data).startswith("lots.csv: is there twice")


def test_links_and_folders_are_refused():
    """A symbolic link is not a file."""
    info = zipfile.ZipInfo("lots.csv")
    info.create_system, info.external_attr = 3, 0o120777 << 16
    assert first(zipped((info, b"/etc/passwd"))).startswith("lots.csv: is a link or a device, not a file")


def test_an_encrypted_member_is_refused():
    """A member with the mark of encryption is told as such."""
    data = bytearray(zipped(("lots.csv", b"x")))
    data[6] |= 1
    data[data.index(b"PK\x01\x02") + 8] |= 1
    assert first(bytes(data)).startswith("lots.csv: is encrypted")


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_other_ways_of_packing_are_refused(method):
    """Only stored and deflated members are read."""
    assert first(zipped(("lots.csv", b"x" * 100), method=method)).startswith(
        f"lots.csv: is packed by method {method}; only stored (0) and deflated (8) are read")


def test_a_member_that_does_not_match_its_checksum_is_told():
    """A byte changed inside a member is found by the zip's own CRC-32."""
    data = SMALL.replace(b"Juglans", b"Juglanz", 1)
    assert first(data).startswith("lots.csv: can't be unpacked (Bad CRC-32 for file 'lots.csv')")


def spans(data: bytes) -> list[range]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return [range(info.header_offset + 30 + len(info.filename),
                      info.header_offset + 30 + len(info.filename) + info.file_size)
                for info in archive.infolist()]


def flipped(data: bytes, bit: int) -> bytes:
    copy = bytearray(data)
    copy[bit // 8] ^= 1 << bit % 8
    return bytes(copy)


def test_every_bit_of_the_packing_that_flips_is_noticed():
    """Outside the contents, each bit is tried: there is a fault, or a note that the packing was touched."""
    inside = {byte for span in spans(EMPTY) for byte in span}
    outside = [byte for byte in range(len(EMPTY)) if byte not in inside]
    assert len(outside) < 600
    for bit in (8 * byte + place for byte in outside for place in range(8)):
        report = check(flipped(EMPTY, bit))
        assert report.problems or report.notes, bit


def test_bits_of_the_contents_that_flip_are_faults():
    """A fixed choice of bits from all contents: each is a fault, never only a note."""
    inside = [byte for span in spans(SMALL) for byte in span]
    for byte in random.Random(5).sample(inside, 800):
        assert check(flipped(SMALL, 8 * byte + byte % 8)).problems, byte


def test_every_cut_of_the_file_is_a_fault():
    """A download that broke off is told, wherever it broke off."""
    for size in range(0, len(SMALL), 97):
        assert check(SMALL[:size]).problems


def mutated(data: bytes, chance: random.Random) -> bytes:
    body = bytearray(data)
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(body) + 1)
        match chance.randrange(6):
            case 0:
                body[at:at + 1] = bytes([chance.randrange(256)])
            case 1:
                body[at:at] = bytes(chance.randrange(256) for _ in range(chance.randint(1, 5)))
            case 2:
                del body[at:at + chance.randint(1, 60)]
            case 3:
                body[at:at] = body[at:at + chance.randint(1, 200)]
            case 4:
                body[at:at] = chance.choice(
                    [b'"', b"\r\n", b",", b"\0", b"{", b"[" * 40, b"1e999", b"-", b"NaN", b"\xef\xbb\xbf", b"null",
                     b"\\ud800", b"9" * 5000, "٣".encode(), b"\x85", b"\xe2\x80\xa8"])
            case _:
                del body[at:]
        if not body:
            body = bytearray(b"\0")
    return bytes(body)


def words_are_whole(data: bytes) -> None:
    report = check(data)
    for problem in (*report.problems, *report.notes):
        assert str(problem).isprintable()
        assert problem.fix.endswith(".")
    json.dumps(report.as_json())


def test_mutated_bytes_never_break_the_checker():
    """A thousand damaged zips of a fixed seed each give a report whose words can be shown."""
    chance = random.Random(20261008)
    for _ in range(1000):
        words_are_whole(mutated(SMALL, chance))


def test_mutated_contents_never_break_the_checker():
    """Fifteen hundred damaged members, packed and hashed again so that the damage reaches every check."""
    chance = random.Random(20261009)
    files = opened(SMALL)
    for _ in range(1500):
        path = chance.choice(list(files))
        broken = {**files, path: mutated(files[path], chance)}
        words_are_whole(closed(broken) if path != "datapackage.json" else pack(broken))


JUNK = [None, True, -1, 0.5, 1e300, "", "x", "\x1b[2J", "=1", [], [[]], {}, {"a": {}}, [None], ["x", 7], 10**15]


def paths_of(value: object, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    items = (value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ())
    return [path, *(deeper for key, member in items for deeper in paths_of(member, (*path, key)))]


@pytest.mark.parametrize("path", ["datapackage.json", "lots.geojson"])
def test_any_member_may_be_anything(path):
    """Each member of the descriptor and of the map is replaced by junk of each kind in turn."""
    files = opened(SMALL)
    chance = random.Random(3)
    places = [place for place in paths_of(json.loads(files[path])) if place]
    for place in chance.sample(places, min(len(places), 250)):
        value = json.loads(files[path])
        holder = value
        for key in place[:-1]:
            holder = holder[key]
        holder[place[-1]] = chance.choice(JUNK)
        words_are_whole(closed({**files, path: json.dumps(value).encode()}, hashed=path != "datapackage.json"))


@pytest.mark.parametrize(("text", "words"), [
    (b'{"a": 1, "a": 2}', 'member "a" is there twice'), (b"NaN", "NaN is not a JSON number"),
    (b"-Infinity", "-Infinity is not a JSON number"), (b"1e999", "is too large"), (b"9" * 400, "is too large"),
    (b'"\\ud800"', "holds half of a character"), (b"[" * 33 + b"]" * 33, "nested more than 32 deep"),
    (b"[" * 100_000 + b"]" * 100_000, "nested more than 32 deep"), (b"{", "is not JSON"), (b"", "is not JSON"),
    (b"\xff", "byte 0xFF is not UTF-8"), (b"\xef\xbb\xbf1", "starts with a byte-order mark")])
def test_json_with_two_meanings_or_none_is_refused(text, words):
    """What readers would take differently (RFC 7493), or not at all, is refused with its reason."""
    with pytest.raises(Refused, match=words):
        read_json(text, where="x.json")
