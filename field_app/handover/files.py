"""One file, written whole or not at all.

A full disk first writes less than was asked and fails only on the next call, so every write is looped and the
result is read back; what was there before stays until the new file is complete (POSIX rename).
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import itertools
import os
import stat
import sys
from pathlib import Path

from field_app.core.problems import FolderFault, NoRoom, Problem, refuse

if sys.platform == "darwin":
    import fcntl

__all__ = ["write_file"]

_FULL = frozenset({errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC)})
_LOCKED = frozenset({errno.EACCES, errno.EPERM, errno.EROFS})
_KEPT = "What was there before is untouched."
_turn = itertools.count(1)


def write_file(path: Path, data: bytes) -> None:
    """Put the bytes at the path, so that whatever happens the old file or the new one is there, whole.

    Raises Refused if the path can't be the name of a file, NoRoom if the disk is full or the folder may not
    be written, FolderFault for any other fault of the disk.
    """
    target = _target(path)
    _sweep(target)
    part = target.with_name(f"{_stem(target)}{os.getpid()}-{next(_turn)}.part")
    try:
        try:
            _write(part, data, _mode(target))
            if part.read_bytes() != data:
                raise FolderFault(Problem(str(path), "what was read back is not what was written",
                                          f"Choose another disk. {_KEPT}"))
            part.replace(target)
        except BaseException:
            with contextlib.suppress(OSError):
                part.unlink()
            raise
    except OSError as error:
        raise _fault(path, error) from error
    try:
        _sync_folder(target.parent)
    except OSError as error:
        raise FolderFault(Problem(
            str(path), f"is written, but the disk did not confirm it ({error.strerror or error})",
            "Write it again before the disk is taken away.")) from error


def _target(path: Path) -> Path:
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise refuse(str(path), "is a folder", "Give the name of a file, such as lots.zip.")
        if not target.parent.is_dir():
            raise refuse(str(path), f"the folder {path.parent} is not there",
                         "Make the folder first, or choose another.")
        if target.exists() and not target.is_file():
            raise refuse(str(path), "is a device, not a file", "Give the name of a file, such as lots.zip.")
    except (ValueError, OSError) as error:
        raise refuse(str(path).encode("utf-8", "replace").decode(), f"can't be a file's name ({error})",
                     "Choose a shorter, plainer name.") from None
    return target


def _stem(target: Path) -> str:
    # A hash keeps two files with the same beginning apart, and the name short enough for every disk.
    mark = hashlib.sha256(os.fsencode(target.name)).hexdigest()[:8]
    return f".{target.name[:20]}.{mark}."


def _sweep(target: Path) -> None:
    # Left over from a power cut. A live writer that loses its part fails, and the old file stays.
    stem = _stem(target)
    with contextlib.suppress(OSError):
        for other in target.parent.iterdir():
            if other.name.startswith(stem) and other.name.endswith(".part"):
                other.unlink(missing_ok=True)


def _mode(target: Path) -> int | None:
    try:
        return stat.S_IMODE(target.stat().st_mode)
    except FileNotFoundError:
        return None


def _write(part: Path, data: bytes, mode: int | None) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    handle = os.open(part, flags, 0o666)
    try:
        if mode is not None:
            with contextlib.suppress(OSError):  # some network disks have no rights to set
                part.chmod(mode)
        rest = memoryview(data)
        while rest:
            done = os.write(handle, rest)
            if done == 0:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            rest = rest[done:]
        os.fsync(handle)
        if sys.platform == "darwin":
            fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
    finally:
        os.close(handle)


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":
        return  # Windows gives no handle to a folder; its rename is journalled
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):  # the disk has no such call
            raise
    finally:
        os.close(handle)


def _fault(path: Path, error: OSError) -> FolderFault:
    words = error.strerror or str(error)
    if error.errno in _FULL:
        return NoRoom(Problem(str(path), f"the disk is full ({words})",
                              f"Make room, or choose another disk. {_KEPT}"))
    if error.errno in _LOCKED:
        return NoRoom(Problem(str(path), f"may not be written ({words})",
                              f"Choose another folder, or ask for the right to write there. {_KEPT}"))
    return FolderFault(Problem(str(path), f"could not be written ({words})",
                               f"Try again, or choose another folder. {_KEPT}"))
