"""The store on a disk that writes down what is asked of it: SQLite's own VFS interface, in memory."""

import apsw

from field_app.store.folder import DATABASE, set_up
from tests.durability.disks import Disk

NAME = "recording"


class _File:
    """One open file."""

    def __init__(self, disk, files, name, *, syncs_folder):
        self._disk, self._files, self._name, self._syncs_folder = disk, files, name, syncs_folder
        self._data = files[name]

    def _note(self, kind, *more):
        self._disk.deeds.append((kind, self._name, *more))

    def xRead(self, amount, offset):
        return bytes(self._data[offset:offset + amount])

    def xWrite(self, data, offset):
        data = bytes(data)
        self._note("write", offset, data)
        if len(self._data) < offset + len(data):
            self._data.extend(bytes(offset + len(data) - len(self._data)))
        self._data[offset:offset + len(data)] = data

    def xTruncate(self, size):
        self._note("truncate", size)
        del self._data[size:]

    def xSync(self, _flags):
        self._note("sync", self._syncs_folder)
        self._syncs_folder = False

    def xFileSize(self):
        return len(self._data)

    def xSectorSize(self):
        return 4096

    def xDeviceCharacteristics(self):
        return apsw.SQLITE_IOCAP_POWERSAFE_OVERWRITE

    def xFileControl(self, _op, _pointer):
        return False

    def xLock(self, _level):
        """One program alone uses this disk."""

    xUnlock = xLock

    def xCheckReservedLock(self):
        return False

    def xClose(self):
        pass


class _Vfs(apsw.VFS):
    """Files in memory by their names, of which every deed is noted."""

    def __init__(self, disk):
        self.disk, self.files = disk, {DATABASE: bytearray()}
        super().__init__(NAME, "")

    def xFullPathname(self, name):
        return name

    def xAccess(self, name, _flags):
        return name in self.files

    def xDelete(self, name, syncdir):
        self.files.pop(name, None)
        self.disk.deeds.append(("delete", name, bool(syncdir)))

    def xOpen(self, name, flags):
        name = name.filename() if isinstance(name, apsw.URIFilename) else name
        asked = flags[0]
        journal = asked & (apsw.SQLITE_OPEN_MAIN_JOURNAL | apsw.SQLITE_OPEN_WAL)
        if name not in self.files:
            self.files[name] = bytearray()
            self.disk.deeds.append(("create", name))
        flags[1] = asked
        return _File(self.disk, self.files, name,
                     syncs_folder=bool(journal and asked & apsw.SQLITE_OPEN_CREATE))


class Recorded:
    """A connection as the store uses it, on a recording disk. Close it to be rid of the disk's VFS.

    more: settings after the store's own, for comparison.
    """

    def __init__(self, disk: Disk, more=()):
        self._vfs = _Vfs(disk)
        self._connection = apsw.Connection(DATABASE, vfs=NAME)
        set_up(self)
        for pragma in more:
            self.execute(f"pragma {pragma}").fetchall()

    def execute(self, sql, values=()):
        return self._connection.cursor().execute(sql, values)

    def executemany(self, sql, rows):
        return self._connection.cursor().executemany(sql, rows)

    @property
    def in_transaction(self):
        return self._connection.in_transaction

    @property
    def total_changes(self):
        return self._connection.total_changes()

    def close(self):
        self._connection.close()
        self._vfs.unregister()
