"""The files in which workers add up their counters; those of workers that have ended become one of a kind."""

import fcntl
import struct
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from prometheus_client.mmap_dict import MmapedDict

__all__ = ["keep_counts_of_ended", "undisturbed"]

_KINDS = ("counter", "histogram")
_LOCK, _UNFINISHED = "lock", "unfinished"
#: What a file that was cut short, or never begun, is read with.
_BROKEN = (FileNotFoundError, RuntimeError, UnicodeDecodeError, struct.error)


@contextmanager
def undisturbed(folder: Path) -> Iterator[None]:
    """Let the files be read while none is moved into another: a count would be missing, or be there twice."""
    with (folder / _LOCK).open("ab") as lock:
        fcntl.flock(lock, fcntl.LOCK_SH)
        yield


def keep_counts_of_ended(folder: Path, pids: Iterable[int]) -> bool:
    """Add the counts of workers that have ended to one file of each kind, and remove theirs.

    Returns whether that was done. It is not where somebody reads the files just now, since the caller, who
    looks after all workers, must wait for none of them; nor where the folder is full. No count is lost by
    that: the files stay until the next time.
    """
    try:
        with (folder / _LOCK).open("ab") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            for kind in _KINDS:
                _move(kind, folder, [folder / f"{kind}_{pid}.db" for pid in pids])
    except OSError:
        return False
    return True


def _move(kind: str, folder: Path, files: list[Path]) -> None:
    ended = folder / f"{kind}_ended.db"
    sums: dict[str, float] = {}
    for path in (ended, *files):
        for key, value in _counts_in(path):
            sums[key] = sums.get(key, 0.0) + value
    # Written aside first: a full folder makes this fail, whereas a mapped file would end the process.
    unfinished = folder / f"{kind}_{_UNFINISHED}"
    unfinished.write_bytes(_written(sums))
    unfinished.replace(ended)
    for path in files:
        path.unlink(missing_ok=True)


def _counts_in(path: Path) -> list[tuple[str, float]]:
    try:
        return [(key, value) for key, value, *_ in MmapedDict.read_all_values_from_file(path)]  # type: ignore[no-untyped-call]
    except _BROKEN:
        return []


def _written(sums: dict[str, float]) -> bytes:
    """Return counts as the library keeps them.

    The length of all in 8 bytes; then for each its key's length in 4 bytes, its key filled up with blanks to
    a multiple of 8, its value, and a time that counters have none of.
    """
    entries = []
    for key, value in sums.items():
        text = key.encode()
        text += b" " * (8 - (len(text) + 4) % 8)
        entries.append(struct.pack(f"i{len(text)}sdd", len(key.encode()), text, value, 0.0))
    body = b"".join(entries)
    return struct.pack("i4x", 8 + len(body)) + body
