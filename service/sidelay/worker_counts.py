"""The counts of workers in their common folder, so that those of workers that have gone stay few.

Each worker counts in a file of its own. What it counted still counts when it has gone, so the files
would grow with every reload, and with them the time to tell all counts. The master adds up what
has gone in one file; whoever tells the counts is kept waiting meanwhile, for else it would find
something twice or not at all. Imports nothing of ours.
"""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

# Workers count what they do in one folder, so that whichever is asked tells of all.
METRICS_FOLDER = "PROMETHEUS_MULTIPROC_DIR"
_GONE = "counter_gone.db"


@contextmanager
def reading_counts() -> Iterator[None]:
    """Keep the files as they are meanwhile; nothing where no folder is shared."""
    folder = os.environ.get(METRICS_FOLDER)
    if folder is None:
        yield
        return
    with _locked(Path(folder), fcntl.LOCK_SH):
        yield


def add_up(worker: int) -> None:
    """Add what a worker that has gone counted to what others did before it.

    worker: id of its process. Raises nothing: at worst its file stays, and still counts.
    """
    from prometheus_client import mmap_dict, multiprocess

    counts: Any = mmap_dict.MmapedDict  # which has no types
    folder = Path(os.environ[METRICS_FOLDER])
    multiprocess.mark_process_dead(worker)  # type: ignore[no-untyped-call]
    own = folder / f"counter_{worker}.db"
    try:
        with _locked(folder, fcntl.LOCK_EX | fcntl.LOCK_NB):
            if not own.exists():
                return
            total = counts(folder / _GONE)
            for key, value, *_ in counts.read_all_values_from_file(own):
                total.write_value(key, total.read_value(key)[0] + value, 0.0)
            total.close()
            own.unlink()
    except OSError:  # a reader has them just now, or the disk is full
        return


@contextmanager
def _locked(folder: Path, how: int) -> Iterator[None]:
    """Lock the folder itself, which whoever may look into it can do."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, how)
        yield
    finally:
        os.close(handle)  # and the lock is gone, as it is with its process
