"""What the disk must do for a file to be whole and to stay: the only place that asks for it.

A file is written beside its place, pushed to the disk, read back and only then put in place, so that whatever
happens the old file or the new one is there, whole.
A name in a folder lasts only once the folder itself is pushed to the disk (POSIX fsync).
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import io
import itertools
import os
import shutil
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from field_app.core.problems import FolderFault, NoRoom, Problem, refuse
from field_app.words import tr

if sys.platform == "darwin":
    import fcntl

__all__ = ["copy_file", "keep_private", "make_folder", "mark_of", "put_in_place", "remove_folder",
           "second_name", "side_name", "sweep", "sync_folder", "told_by_disk", "whole_file", "write_file"]

_FULL = frozenset({errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC)})
_LOCKED = frozenset({errno.EACCES, errno.EPERM, errno.EROFS})
_turn = itertools.count(1)


def _and_kept(fix: str) -> str:
    return " ".join((fix, tr("What was there before is untouched.")))


@contextmanager
def told_by_disk(place: str) -> Iterator[None]:
    """Turns the disk's errors into NoRoom or FolderFault, said of ``place``."""
    try:
        yield
    except OSError as error:
        words = error.strerror or str(error)
        if error.errno in _FULL:
            raise NoRoom(Problem(place, tr("the disk is full ({error})", error=words),
                                 _and_kept(tr("Make room, or choose another disk.")))) from error
        if error.errno in _LOCKED:
            raise NoRoom(Problem(place, tr("may not be written ({error})", error=words),
                                 _and_kept(tr("Give yourself the right to write it, or choose another.")))) from error
        raise FolderFault(Problem(place, tr("could not be written ({error})", error=words),
                                  _and_kept(tr("Try again, or choose another folder.")))) from error


def sync(handle: int) -> None:
    """Push a file's bytes to the disk. Raises OSError."""
    os.fsync(handle)
    if sys.platform == "darwin":
        fcntl.fcntl(handle, fcntl.F_FULLFSYNC)


def sync_folder(folder: Path) -> None:
    """Push a folder's names to the disk. Raises OSError."""
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


def make_folder(folder: Path) -> None:
    """The folder with all its parents, for its owner alone, lasting. Raises OSError."""
    missing = [folder, *folder.parents]
    missing = missing[:next(place for place, path in enumerate(missing) if path.exists())]
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    for path in reversed(missing):
        sync_folder(path.parent)


def keep_private(path: Path) -> None:
    """Take away everybody else's rights to a file or folder, where the disk has such rights."""
    with contextlib.suppress(OSError):
        mode = stat.S_IMODE(path.stat().st_mode)
        if mode & 0o077:
            path.chmod(mode & 0o700)


def mark_of(path: Path) -> str:
    """A text that a file keeps when it is renamed, and that a copy of it does not have; empty if unknown.

    It is the file's serial number on its disk (POSIX ``st_ino``).
    """
    number = path.stat().st_ino
    return str(number) if number else ""


def side_name(target: Path) -> Path:
    """A hidden name beside the target, for something not finished yet."""
    # A hash keeps two targets with the same beginning apart, and the name short enough for every disk.
    mark = hashlib.sha256(os.fsencode(target.name)).hexdigest()[:8]
    return target.with_name(f".{target.name[:20]}.{mark}.{os.getpid()}-{next(_turn)}.part")


def sweep(part: Path) -> None:
    """Remove what a power cut left under other side names of the same target.

    Another program that is writing the same target at this moment fails, and the old one stays.
    """
    stem = part.name.rsplit(".", 2)[0] + "."
    with contextlib.suppress(OSError):
        for other in part.parent.iterdir():
            if other.name.startswith(stem) and other.name.endswith(".part") and other != part:
                if other.is_dir():
                    remove_folder(other)
                else:
                    other.unlink(missing_ok=True)


class _Whole(io.RawIOBase):
    """Writes all it is given: a disk that fills up first takes less than it was given, and fails only then."""

    def __init__(self, handle: int) -> None:
        super().__init__()
        self._handle = handle

    def writable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = os.SEEK_SET) -> int:
        return os.lseek(self._handle, offset, whence)

    def tell(self) -> int:
        return os.lseek(self._handle, 0, os.SEEK_CUR)

    def write(self, data: object) -> int:
        view = memoryview(data).cast("B")  # type: ignore[arg-type]  # the type of buffers has no name in 3.11
        rest = view
        while rest:
            done = os.write(self._handle, rest)
            if done == 0:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            rest = rest[done:]
        return len(view)


@contextmanager
def whole_file(path: Path, *, check: Callable[[Path], None], private: bool = True) -> Iterator[io.RawIOBase]:
    """A file to write into, which takes its place when the block ends well, and else leaves no trace.

    check: reads the finished file before it takes its place, and raises if it is not what it should be.
    private: whether it is for its owner alone; else it has the rights of the file before it, or of any new one.
    Raises Refused if the path can't be a file's, NoRoom or FolderFault for faults of the disk.
    """
    target = _target(path)
    part = side_name(target)
    sweep(part)
    with told_by_disk(str(path)):
        try:
            handle = os.open(part, os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0),
                             0o600 if private else 0o666)
            try:
                if not private and target.exists():
                    with contextlib.suppress(OSError):  # some network disks have no rights to set
                        part.chmod(stat.S_IMODE(target.stat().st_mode))
                yield _Whole(handle)
                sync(handle)
            finally:
                os.close(handle)
            check(part)
            part.replace(target)
        except BaseException:
            with contextlib.suppress(OSError):
                part.unlink()
            raise
    try:
        sync_folder(target.parent)
    except OSError as error:
        raise FolderFault(Problem(
            str(path), tr("is written, but the disk did not confirm it ({error})",
                          error=error.strerror or error),
            tr("Write it again before the disk is taken away."))) from error


def write_file(path: Path, data: bytes) -> None:
    """Put the bytes at the path, so that whatever happens the old file or the new one is there, whole.

    Raises Refused if the path can't be the name of a file, NoRoom if the disk is full or the folder may not
    be written, FolderFault for any other fault of the disk.
    """
    def check(part: Path) -> None:
        if part.read_bytes() != data:
            raise FolderFault(Problem(str(path), tr("what was read back is not what was written"),
                                      _and_kept(tr("Choose another disk."))))

    with whole_file(path, check=check, private=False) as file:
        file.write(data)


def _target(path: Path) -> Path:
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise refuse(str(path), tr("is a folder"), tr("Give the name of a file in it."))
        if not target.parent.is_dir():
            raise refuse(str(path), tr("the folder {folder} is not there", folder=path.parent),
                         tr("Make the folder first, or choose another."))
        if target.exists() and not target.is_file():
            raise refuse(str(path), tr("is a device, not a file"), tr("Give the name of a file."))
    except (ValueError, OSError) as error:
        raise refuse(str(path).encode("utf-8", "replace").decode(), tr("can't be a file's name ({error})",
                                                                       error=error),
                     tr("Choose a shorter, plainer name.")) from None
    return target


def put_in_place(part: Path, target: Path) -> None:
    """Give a finished file its name, in one step and lasting. Raises OSError."""
    part.replace(target)
    sync_folder(target.parent)


def copy_file(source: Path, target: Path) -> None:
    """A lasting copy for its owner alone; the name lasts once its folder is pushed. Raises OSError."""
    handle = os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
    try:
        with source.open("rb") as file:
            shutil.copyfileobj(file, _Whole(handle), 1 << 20)
        sync(handle)
    finally:
        os.close(handle)


def second_name(source: Path, target: Path) -> None:
    """A second name for a file that is never changed, or a copy where the disk has no such. Raises OSError."""
    try:
        os.link(source, target)
    except OSError as error:
        if error.errno in _FULL:
            raise
        copy_file(source, target)


def remove_folder(folder: Path) -> None:
    """Remove a folder of ours that is not needed any more, as far as the disk lets us."""
    shutil.rmtree(folder, ignore_errors=True)
