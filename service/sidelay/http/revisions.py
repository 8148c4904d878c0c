"""Plant files of old: found by the hash of what they hold, and read when first asked for."""

from __future__ import annotations

import logging
import re
import tomllib
from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from threading import Lock

from ..catalogue_file import SUFFIX
from ..plant import Plant
from ..plant_file import read_plant
from ..processes import Processes
from ..toml_file import PlantFault, PlantFileError, revision_of

# A plant read from a file of the demo's size takes some 0.5 MB, and 0.05 s to read.
MOST_READ = 8
# So many revisions are named to whoever asked for one that is not there.
MOST_NAMED = 3
# Digits in common that make a revision a near one.
NEAR_DIGITS = 3

# The usual way to write the id of a plant. Reading all of a file for it takes a hundred times as
# long, which is left to files where this finds nothing, and where a text might look like it.
_USUAL_ID = re.compile(
    r'''^\[plant\][ \t]*(?:\#[^\n]*)?$(?:\n(?!\s*\[)[^\n]*)*?\n
    [ \t]*id[ \t]*=[ \t]*"([a-z][a-z0-9_]{0,62})"''',
    re.MULTILINE | re.VERBOSE,
)
_TEXTS_OF_LINES = ('"""', "'''")

log = logging.getLogger(__name__)


class NoSuchRevision(LookupError):  # noqa: N818  (an answer to the caller, not a fault)
    """A revision that cannot be priced on; the message says why, and code is that of the fault."""

    def __init__(self, code: str, detail: str) -> None:
        super().__init__(detail)
        self.code = code


class Revisions:
    """The plant files in a folder. May be asked by several threads."""

    def __init__(self, folder: Path | None, processes: Processes) -> None:
        """Raises PlantFileError where the folder cannot be looked into.

        folder: of plant files of any name, *.toml; None for none. A file that is no plant file is
        told in the log, and left out
        """
        self._processes = processes
        self._files = _index(folder) if folder else {}
        self._read: OrderedDict[tuple[str, str], dict[str, Plant]] = OrderedDict()
        self._lock = Lock()

    def of(self, plant_id: str) -> Sequence[str]:
        """Return the revisions kept of a plant, the file changed last first."""
        return tuple(self._files.get(plant_id, ()))

    def plant(self, plant_id: str, revision: str, group: str) -> Plant:
        """Return a plant of old as a customer group was priced. Raises NoSuchRevision.

        It is the same object for as long as it is kept.
        """
        file = self._files.get(plant_id, {}).get(revision)
        if file is None:
            raise NoSuchRevision("unknown_revision", _told_unknown(self.of(plant_id), revision))
        with self._lock:
            by_group = self._by_group(plant_id, revision, file)
            if not by_group:
                told = "A file of this revision is kept, but cannot be read; the log tells why."
                raise NoSuchRevision("revision_unreadable", told)
            if group not in by_group:
                by_group[group] = by_group[""].for_group(group)
            return by_group[group]

    def _by_group(self, plant_id: str, revision: str, file: Path) -> dict[str, Plant]:
        """Return a plant by customer groups; nothing where it cannot be read, told once."""
        key = plant_id, revision
        if key not in self._read:
            self._read[key] = self._read_file(plant_id, revision, file)
        self._read.move_to_end(key)
        while len(self._read) > MOST_READ:
            self._read.popitem(last=False)
        return self._read[key]

    def _read_file(self, plant_id: str, revision: str, file: Path) -> dict[str, Plant]:
        try:
            plant = read_plant(file, self._processes)
        except PlantFileError as fault:
            told = str(fault)
        except OSError as fault:
            told = f"{file.name}: cannot be read: {fault.strerror}"
        else:
            if (plant.id, plant.revision) == (plant_id, revision):
                return {"": plant}
            told = f"{file.name}: holds plant {plant.id}, revision {plant.revision}, by now"
        log.error("plant %s, revision %s, cannot be read:\n%s", plant_id, revision, told)
        return {}


def _told_unknown(known: Sequence[str], revision: str) -> str:
    """Say how many revisions there are, and which begin alike."""
    near = [each for each in known if each[:NEAR_DIGITS] == revision[:NEAR_DIGITS]]
    told = f"; near it {', '.join(near[:MOST_NAMED])}" if near else ""
    count = len(known)
    kept = f"{count:,} revision{'' if count == 1 else 's'}" if count else "no revision"
    return f"Beside the current plant file {kept} of this plant can be asked for{told}."


def _index(folder: Path) -> Mapping[str, Mapping[str, Path]]:
    """Return files by plant and revision, the file changed last first, then by name."""
    if not folder.is_dir():
        fault = "SIDELAY_REVISIONS names no folder"
        raise PlantFileError([PlantFault(folder.name, "", "", fault)])
    found: dict[str, dict[str, Path]] = {}
    for file, content in _contents(folder):
        plant_id = _plant_id(content)
        if plant_id is None:
            log.error("%s: no plant file; left out of the revisions kept", file.name)
        else:
            found.setdefault(plant_id, {}).setdefault(revision_of(content), file)
    return found


def _contents(folder: Path) -> Iterator[tuple[Path, bytes]]:
    """Yield every file but catalogues and what it holds, the one changed last first."""

    def changed_last(file: Path) -> tuple[int, str]:
        changed_ns = file.stat().st_mtime_ns if file.exists() else 0
        return -changed_ns, file.name

    files = (file for file in folder.glob("*.toml") if not file.name.endswith(SUFFIX))
    for file in sorted(files, key=changed_last):
        try:
            content = file.read_bytes()
        except OSError as fault:
            log.error("%s: cannot be read: %s", file.name, fault.strerror)
        else:
            yield file, content


def _plant_id(content: bytes) -> str | None:
    try:
        text = content.decode()
        usual = _USUAL_ID.search(text)
        if usual and not any(mark in text for mark in _TEXTS_OF_LINES):
            return usual.group(1)
        found = tomllib.loads(text)["plant"]["id"]
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, KeyError, TypeError):
        return None
    return found if isinstance(found, str) else None
