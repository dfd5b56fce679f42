"""Harms files as disks, carriers, other programs and curious people do; the same seed gives the same harm."""

from __future__ import annotations

import io
import json
import random
import zipfile

from field_app.handover.packing import pack
from tests.handover.scene import opened

JUNK = [b"", b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\x1e", b"\n", b"\r\n", b"{}", b"null", b"[" * 2000, b"NaN",
        b"1e999", b'{"a":1,"a":2}', b'"\\ud800"', b"PK\x03\x04", b"PK\x05\x06",
        b"'", b'"', b",", b"\x1b[2J", "🌰".encode()]
VALUES = [None, True, -1, 0, 1.5, 10**30, "", "group", "planner", [], {}, [[]], "ni:///sha-256;", "../x", "a" * 5000]


def bytes_mutant(data: bytes, rng: random.Random) -> bytes:
    """A few bits, a stretch of bytes, or the end of the file are not what they were."""
    at, size = rng.randrange(len(data)), rng.choice([1, 2, 8, 100, 1000, 5000])
    end = min(len(data), at + size)
    kind = rng.randrange(7)
    if kind == 0:
        changed = bytearray(data)
        for _ in range(rng.choice([1, 1, 2, 5])):
            changed[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
        return bytes(changed)
    return [
        lambda: data[:at] + data[end:], lambda: data[:at] + rng.randbytes(end - at) + data[end:],
        lambda: data[:at] + bytes(end - at) + data[end:], lambda: data[:end] + data[at:],
        lambda: data[:at] + rng.choice(JUNK) + data[at:], lambda: data[:at]][kind - 1]()


def _zip(files, rng, **how):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", how.get("packing", zipfile.ZIP_STORED)) as archive:
        for name, data in files:
            member = zipfile.ZipInfo(name, date_time=(2026, 10, 9, 18, 0, 0))
            member.compress_type = how.get("packing", zipfile.ZIP_STORED)
            member.external_attr = how.get("rights", 0o100644) << 16
            archive.writestr(member, data)
        archive.comment = how.get("comment", b"")
    return out.getvalue()


def zip_mutant(data: bytes, rng: random.Random) -> bytes:
    """Members are lost, renamed, doubled, exchanged, packed otherwise, or the zip is wrapped in something."""
    files = list(opened(data).items())
    one, two = rng.randrange(len(files)), rng.randrange(len(files))
    kind = rng.randrange(9)
    if kind == 0:
        del files[one]
    elif kind == 1:
        names = ["../evil.csv", "/etc/passwd", "versions.geojsons ", "VERSIONS.CSV", "a" * 300, "lots.csv\x00.zip"]
        files[one] = (rng.choice(names), files[one][1])
    elif kind == 2:
        (a, x), (b, y) = files[one], files[two]
        files[one], files[two] = (a, y), (b, x)
    elif kind == 3:
        files[one] = (files[one][0], rng.choice(JUNK))
    elif kind == 4:
        files += [(f"more-{number}.txt", b"x") for number in range(rng.choice([1, 9, 20, 2000]))]
    elif kind == 5:
        return _zip(files, rng, packing=rng.choice([zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA]))
    elif kind == 6:
        return _zip(files, rng, rights=rng.choice([0o120777, 0o020666, 0]), comment=rng.choice(JUNK))
    elif kind == 7:
        return rng.choice([rng.choice(JUNK) + data, data + rng.choice(JUNK), data + data, pack({"inner.zip": data})])
    else:
        rng.shuffle(files)
    return _zip(files, rng)


def record_mutant(data: bytes, rng: random.Random) -> bytes:
    """A record of the sequence, or a line of the list of names, is not what it was; hashes are left as they were."""
    files = opened(data)
    if rng.random() < 0.2:
        lines = files["versions.csv"].split(b"\r\n")
        at = rng.randrange(len(lines))
        line = lines[at]
        lines[at] = rng.choice([b"", line.swapcase(), line[:-1], b'"' + line, lines[-2], rng.choice(JUNK)])
        rng.shuffle(lines) if rng.random() < 0.3 else None
        return pack({**files, "versions.csv": b"\r\n".join(lines)})
    records = files["versions.geojsons"].split(b"\x1e")[1:]
    at = rng.randrange(len(records))
    record = records[at]
    spot = rng.randrange(len(record))
    records[at] = rng.choice([
        lambda: b"", lambda: record + b"\x1e" + record, lambda: record.replace(b"1", b"2", 1),
        lambda: record.replace(b":", b": ", 1), lambda: record[:spot] + rng.choice(JUNK) + record[spot:],
        lambda: record[:spot], lambda: record.replace(b"\n", b""), lambda: record[:-1] + b"\r\n",
        lambda: b"\xef\xbb\xbf" + record, lambda: record.replace(b"kg", b"lb"),
        lambda: record.replace(b"true", b"false"),
        lambda: json.dumps(_value_mutant(json.loads(record), rng)).encode() + b"\n",
        lambda: json.dumps(json.loads(record), sort_keys=True, separators=(",", ":")).encode() + b"\n",
        lambda: records[rng.randrange(len(records))] + record])()
    return pack({**files, "versions.geojsons": b"".join(b"\x1e" + one for one in records)})


def _value_mutant(value, rng):
    """The same JSON with one member lost, renamed or with another value, somewhere in it."""
    if isinstance(value, dict) and value:
        name = rng.choice(list(value))
        if rng.random() < 0.6 and isinstance(value[name], dict | list):
            return {**value, name: _value_mutant(value[name], rng)}
        rest = {key: member for key, member in value.items() if key != name}
        return rng.choice([lambda: rest, lambda: {**rest, name.upper(): value[name]},
                           lambda: {**value, name: rng.choice(VALUES)},
                           lambda: {**value, "more": rng.choice(VALUES)}])()
    if isinstance(value, list) and value:
        at = rng.randrange(len(value))
        return [*value[:at], _value_mutant(value[at], rng), *value[at + 1:]]
    return rng.choice(VALUES)


def description_mutant(data: bytes, rng: random.Random) -> bytes:
    """The description says something else."""
    files = opened(data)
    package = _value_mutant(json.loads(files["datapackage.json"]), rng)
    return pack({**files, "datapackage.json": json.dumps(package, indent=1).encode()})


KINDS = (bytes_mutant, bytes_mutant, zip_mutant, record_mutant, record_mutant, description_mutant)


def mutants(data: bytes, count: int, seed: int = 1):
    """So many harmed files, each with its kind and the number that makes it again; none is left whole."""
    made = number = 0
    while made < count:
        number += 1
        rng = random.Random(f"{seed} {number}")
        kind = rng.choice(KINDS)
        mutant = kind(data, rng)
        if rng.random() < 0.15:
            mutant = bytes_mutant(mutant, rng) if mutant else mutant
        if mutant != data:
            made += 1
            yield kind, number, mutant
