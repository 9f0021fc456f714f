"""One process serves one data directory: a lock that the operating system lets go of itself."""

import os
import sys
from pathlib import Path
from types import TracebackType

from canalclock.ledger.port import LedgerInUse

FILE = "serve.lock"
_AT = 1 << 30
"""Byte that is locked on Windows: far behind the text, which stays readable."""


class DataLock:
    """The data directory's lock. The file stays; only the lock says that it is in use."""

    def __init__(self, directory: Path) -> None:
        self._path = directory / FILE
        self._file = os.open(self._path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            _lock(self._file)
        except OSError as fault:
            pid = self._pid()
            os.close(self._file)
            who = f"process {pid}" if pid else "another process"
            raise LedgerInUse(
                f"{directory}: {who} already serves this data; "
                "stop it first, or give another --data",
                pid,
            ) from fault
        os.ftruncate(self._file, 0)
        os.write(self._file, f"{os.getpid()}\n".encode())

    def __enter__(self) -> "DataLock":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.release()

    def release(self) -> None:
        """Let go, once."""
        if self._file >= 0:
            os.close(self._file)
            self._file = -1

    def _pid(self) -> int | None:
        text = os.pread(self._file, 20, 0) if hasattr(os, "pread") else os.read(self._file, 20)
        digits = text.split(b"\n")[0]
        return int(digits) if digits.isdigit() else None


if sys.platform == "win32":
    import msvcrt

    def _lock(file: int) -> None:
        os.lseek(file, _AT, os.SEEK_SET)
        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        os.lseek(file, 0, os.SEEK_SET)

else:
    import fcntl

    def _lock(file: int) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
