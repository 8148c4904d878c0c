"""`sidelay plant keep`: copies a plant file into the folder of revisions, under its revision."""

from __future__ import annotations

import argparse
import os
import stat
import sys
import tempfile
from pathlib import Path

from ..plant_file import read_plant
from ..processes import Processes
from ..toml_file import PlantFileError, revision_of

DONE, REFUSED, UNREADABLE = 0, 1, 2


def run(options: argparse.Namespace) -> int:
    """Keep a plant file, and say under which name; return the exit status."""
    file, folder = options.file, options.folder
    try:
        plant = read_plant(file, Processes.discover())
        content, like = file.read_bytes(), file.stat()
        if revision_of(content) != plant.revision:
            print(f"{file}: changed while it was read; try again", file=sys.stderr)
            return REFUSED
        kept = folder / f"{plant.id}-{plant.revision}.toml"
        is_new = not (kept.exists() and kept.read_bytes() == content)
        if is_new:
            write_whole(kept, content, like)
    except PlantFileError as found:
        print(found, file=sys.stderr)
        return REFUSED
    except OSError as fault:
        print(f"{fault.filename or file}: {fault.strerror}", file=sys.stderr)
        return UNREADABLE
    print(f"{kept}: {'kept' if is_new else 'is there already'}")
    return DONE


def write_whole(path: Path, content: bytes, like: os.stat_result) -> None:
    """Write a file beside its place and rename it, so that nobody ever sees half of it.

    like: of the file it is a copy of: who may read it, and when it was changed; revisions are
        listed by that. Raises OSError, and then leaves nothing behind.
    """
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    beside = Path(name)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        beside.chmod(stat.S_IMODE(like.st_mode))
        os.utime(beside, ns=(like.st_mtime_ns, like.st_mtime_ns))
        beside.replace(path)
    except BaseException:
        beside.unlink()
        raise
