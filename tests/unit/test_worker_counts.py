"""What workers counted stays when they have gone, in one file however many they were."""

from __future__ import annotations

import fcntl
import json
import os
from pathlib import Path

import pytest
from prometheus_client import CollectorRegistry, generate_latest
from prometheus_client.mmap_dict import MmapedDict
from prometheus_client.multiprocess import MultiProcessCollector

from sidelay.worker_counts import METRICS_FOLDER, add_up, reading_counts


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(METRICS_FOLDER, str(tmp_path))
    return tmp_path


def count(folder: Path, worker: int, **counts: float) -> None:
    """Write the file of a worker, as prometheus_client does."""
    file = MmapedDict(folder / f"counter_{worker}.db")
    for route, value in counts.items():
        key = json.dumps(["asked", "asked_total", {"route": route}, "How often."])
        file.write_value(key, value, 0.0)
    file.close()


def told(folder: Path) -> list[str]:
    registry = CollectorRegistry()
    MultiProcessCollector(registry, str(folder))  # type: ignore[no-untyped-call]
    return sorted(line for line in generate_latest(registry).decode().split("\n") if line)


def test_nothing_is_lost_and_files_stay_few(folder: Path) -> None:
    for worker in range(100, 140):
        count(folder, worker, estimate=worker, compare=1)
    count(folder, 7, validate=3)
    before = told(folder)
    assert f'asked_total{{route="estimate"}} {sum(range(100, 140))}.0' in before
    for worker in range(100, 140):
        add_up(worker)
        assert told(folder) == before
    assert {file.name for file in folder.glob("*.db")} == {"counter_gone.db", "counter_7.db"}


def test_a_worker_that_counted_nothing(folder: Path) -> None:
    add_up(100)
    assert told(folder) == []


def test_one_of_the_same_id_counts_anew(folder: Path) -> None:
    for _ in range(2):
        count(folder, 100, estimate=5)
        add_up(100)
    assert 'asked_total{route="estimate"} 10.0' in told(folder)


def test_whoever_reads_is_not_disturbed_and_the_master_not_held_up(folder: Path) -> None:
    count(folder, 100, estimate=5)
    with reading_counts():
        add_up(100)
        assert (folder / "counter_100.db").exists()
    assert 'asked_total{route="estimate"} 5.0' in told(folder)


def test_readers_wait_for_the_master_alone(folder: Path) -> None:
    with reading_counts(), reading_counts():
        pass
    handle = os.open(folder, os.O_RDONLY)
    fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)  # they have let go of it
    os.close(handle)


def test_without_a_folder_there_is_nothing_to_keep(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(METRICS_FOLDER, raising=False)
    with reading_counts():
        pass
