"""Looks at folders, and packs backups as somebody else might."""

import hashlib
import stat
import zipfile

import rfc8785


def contents(folder):
    """Every name in the folder, with its rights, its time, and a hash of its bytes."""
    return {str(path.relative_to(folder)): (stat.S_IMODE(path.stat().st_mode), path.stat().st_mtime_ns,
                                            hashlib.sha256(path.read_bytes()).digest() if path.is_file() else b"")
            for path in [folder, *folder.rglob("*")]}


def packed(path, files, **more):
    """A zip of the files."""
    with zipfile.ZipFile(path, "w", **more) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return path


def sequence(*texts):
    """A text sequence of RFC 8142."""
    return b"".join(b"\x1e" + text + b"\n" for text in texts)


def manifest_of(data, count, **more):
    """The manifest of a backup with these versions."""
    return rfc8785.dumps({"format": "field-app backup", "v": 1, "versions": count, "bytes": len(data),
                          "sha256": hashlib.sha256(data).hexdigest()} | more)
