"""A disk that forgets: what SQLite asked of it, and what may be on it after the power went.

The model, after the file system of POSIX as SQLite's own notes on atomic commit describe it:

* What was written to a file since its last sync may be there, may not be, or may be there by sectors.
* A changed length is kept or not, like a write.
* A file's name, or its removal, may be lost until its folder is synced. SQLite syncs the folder with the first
  sync of a journal that it opened to create (its VFS for Unix), and when it deletes with the wish for it.
"""

from dataclasses import dataclass, field

SECTOR = 512


@dataclass
class Disk:
    """What was asked of the disk, in its order; ``marks`` says after how many deeds what was acknowledged."""

    deeds: list = field(default_factory=list)
    marks: list = field(default_factory=list)

    def acknowledged(self, until):
        """What had been acknowledged before so many deeds."""
        return [what for at, what in self.marks if at <= until]


class _Inode:
    """A file's lasting bytes, and what was asked of it since it was last synced."""

    def __init__(self, data=b""):
        self.data, self.pending = bytearray(data), []

    def apply(self, deed):
        if deed[0] == "truncate":
            _resize(self.data, min(deed[1], len(self.data)))
            _resize(self.data, deed[1])
        else:
            _, offset, data = deed
            if len(self.data) < offset + len(data):
                _resize(self.data, offset + len(data))
            self.data[offset:offset + len(data)] = data

    def sync(self):
        for deed in self.pending:
            self.apply(deed)
        self.pending = []

    def crash(self, rng, kept):
        """Some of what was pending reaches the disk, some of that torn."""
        for deed in self.pending:
            chance = rng.random()
            if chance < kept:
                self.apply(deed)
            elif deed[0] == "write" and chance < kept + (1 - kept) / 2:
                _, offset, data = deed
                for start in range(0, len(data), SECTOR):
                    if rng.random() < 0.5:
                        self.apply(("write", offset + start, data[start:start + SECTOR]))
        return bytes(self.data)


def _resize(data, size):
    del data[size:]
    data.extend(bytes(size - len(data)))


def image(deeds, until, rng, names):
    """The files on the disk when the power goes after so many deeds, as a mapping of names to bytes.

    names: files that were there, empty and lasting, before the first deed.
    """
    lasting = {name: _Inode() for name in names}  # the folder as it is on the disk
    current = dict(lasting)                       # and as programs see it
    pending = []                                  # changes of the folder that the disk may not have yet
    for kind, name, *more in deeds[:until]:
        if kind == "create":
            current[name] = _Inode()
            pending.append((name, current[name]))
        elif kind == "delete":
            current.pop(name, None)
            pending.append((name, None))
            if more[0]:
                _settle(lasting, pending)
        elif kind == "sync":
            current[name].sync()
            if more[0]:
                _settle(lasting, pending)
        else:
            current[name].pending.append((kind, *more))
    # A file system keeps the order of what is done to a folder, so only the last of it is lost.
    _settle(lasting, pending[:rng.randrange(len(pending) + 1)])
    kept = rng.choice((0.0, 0.3, 0.6, 0.9, 1.0))
    return {name: inode.crash(rng, kept) for name, inode in lasting.items()}


def _settle(lasting, pending):
    for name, inode in pending:
        if inode is None:
            lasting.pop(name, None)
        else:
            lasting[name] = inode
    pending.clear()
