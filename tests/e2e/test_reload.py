"""HUP: new plant files are served, and no request is lost, late or answered by half of each."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import requests

from shop import demo_text
from sidelay.toml_file import revision_of

RELOADS = 10
THREADS = 4
GONE = "All workers from before the reload have gone."
TEXT = demo_text("toner")
ASKED = {
    "as_of": "2026-11-24T09:00:00Z",
    "job": {
        "title": "leaflet",
        "quantities": [500],
        "parts": [
            {
                "name": "leaflet",
                "size": "a5",
                "stock": {"grade": "coated", "finish": "silk", "grammage_gsm": 130},
                "front": {"inks": ["black"]},
            }
        ],
    },
}


def plant_text(number: int) -> str:
    """A plant file like no other: the mark-up on hours is its number in percent."""
    assert "time_markup = 0.25" in TEXT
    return TEXT.replace("time_markup = 0.25", f"time_markup = {number / 100}", 1)


def revision(text: str) -> str:
    return revision_of(text.encode())


def put(file: Path, text: str) -> None:
    """Write beside and rename, as a plant file should be."""
    beside = file.with_suffix(".part")
    beside.write_text(text)
    beside.replace(file)


@dataclass
class Served:
    """A service on a plant file that is free to be changed."""

    service: Any
    plant: Path
    reloads: int = 0

    def ask(self) -> tuple[str, str]:
        """Ask for a price; return the revision it is of, and the price."""
        answer = requests.post(f"{self.service.url}/estimate", json=ASKED, timeout=20)
        assert answer.status_code == 200, answer.text
        told = answer.json()
        return told["plant"]["revision"], told["estimates"][0]["price"]["net"]

    def ready(self) -> dict[str, Any]:
        told: dict[str, Any] = requests.get(f"{self.service.url}/readyz", timeout=20).json()
        return told

    def hang_up(self) -> None:
        self.service.process.send_signal(signal.SIGHUP)
        self.reloads += 1

    def wait(self) -> None:
        """Wait until the workers from before the last reload have gone."""
        give_up = time.monotonic() + 30
        while self.service.log.read_text().count(GONE) < self.reloads:
            assert time.monotonic() < give_up, self.service.log.read_text()
            time.sleep(0.01)

    def reload(self) -> None:
        self.hang_up()
        self.wait()


Begin = Callable[..., Served]


@pytest.fixture
def begin(start: Any, tmp_path: Path) -> Iterator[Begin]:
    """Return a function that starts a service on a plant file."""
    started: list[Served] = []

    def begin(still_s: str, **environment: str) -> Served:
        plant, access = tmp_path / "plant.toml", tmp_path / "access.toml"
        plant.write_text(plant_text(10))
        access.write_text('open = ["price", "cost", "admin"]\n')
        service = start(
            SIDELAY_PLANTS=str(plant),
            SIDELAY_ACCESS=str(access),
            SIDELAY_RELOAD_STILL_S=still_s,
            **environment,
        )
        service.wait_until_ready()
        started.append(Served(service, plant))
        return started[-1]

    yield begin
    for served in started:
        assert served.service.stop() == 0


@dataclass
class Askers:
    """Threads that ask all the time, and note when they asked and what they were told."""

    served: Served
    told: list[tuple[float, str, str]] = field(default_factory=list)
    lost: list[Exception] = field(default_factory=list)
    over: threading.Event = field(default_factory=threading.Event)

    def __enter__(self) -> Askers:
        self.threads = [threading.Thread(target=self._ask) for _ in range(THREADS)]
        for thread in self.threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.over.set()
        for thread in self.threads:
            thread.join()

    def _ask(self) -> None:
        while not self.over.is_set():
            at = time.monotonic()
            try:
                self.told.append((at, *self.served.ask()))
            except Exception as fault:  # noqa: BLE001  (whatever it is, an answer is missing)
                self.lost.append(fault)


def test_ten_reloads_lose_no_request_and_mix_no_revisions(begin: Begin) -> None:
    served = begin("0")
    expected = {revision(plant_text(10)): served.ask()[1]}
    done: list[tuple[float, str]] = []
    with Askers(served) as askers:
        for number in range(11, 11 + RELOADS):
            put(served.plant, plant_text(number))
            served.reload()
            done.append((time.monotonic(), revision(plant_text(number))))
            of, price = served.ask()
            assert of == done[-1][1]
            expected[of] = price
    assert askers.lost == []
    assert len(set(expected.values())) == 1 + RELOADS, "a price for each revision"
    prices: dict[str, set[str]] = defaultdict(set)
    for at, of, price in askers.told:
        prices[of].add(price)
        current = [new for since, new in done if since <= at]
        order = [revision(plant_text(10)), *(new for _, new in done)]
        assert order.index(of) >= len(current), "an old revision after the reload had finished"
    assert set(prices) == set(expected)
    assert {of: {price} for of, price in expected.items()} == prices
    assert served.service.log.read_text().count("Reloaded.") == RELOADS
    metrics = requests.get(f"{served.service.url}/metrics", timeout=20).text
    assert f'sidelay_reloads_total{{outcome="done"}} {RELOADS}.0' in metrics
    answered = len(askers.told) + 1 + RELOADS
    line = 'sidelay_requests_total{method="POST",route="/estimate",status="200"} '
    assert f"{line}{answered}.0" in metrics, "counts of workers that have gone still count"


def test_a_file_with_a_fault_is_told_by_every_worker_and_leaves_prices_alone(begin: Begin) -> None:
    served = begin("0")
    before = served.ask()
    put(served.plant, plant_text(11).replace("lift_mm = 80", "lift_mm = -80").replace("EUR", "eur"))
    served.reload()
    assert {served.ask() for _ in range(10)} == {before}
    told = [served.ready() for _ in range(10)]
    assert all(each == told[0] for each in told)
    assert told[0]["status"] == "ready"
    assert told[0]["revisions"] == {"demo": revision(plant_text(10))}
    faults = told[0]["reload"]["faults"]
    assert (told[0]["reload"]["ok"], told[0]["reload"]["files"]) == (False, ["plant.toml"])
    log = served.service.log.read_text()
    assert len(re.findall(r"plant\.toml:\d+: \[", log)) == faults >= 2
    assert "lift_mm" in log
    put(served.plant, plant_text(11))
    served.reload()
    assert served.ready()["reload"]["ok"] is True
    assert served.ask()[0] == revision(plant_text(11))


# Writes a file in pieces, each up to the end of a table, so that every piece is a file to read.
SLOW_WRITER = """
import pathlib, sys, time
target, source = map(pathlib.Path, sys.argv[1:])
*heads, last = source.read_text().split("[[stocks]]")
with target.open("w") as out:
    for head in heads:
        out.write(head + "[[stocks]]" if head is not heads[-1] else head)
        out.flush()
        print("wrote", flush=True)
        time.sleep(0.05)
    out.write("[[stocks]]" + last)
"""


def test_a_file_that_is_still_being_written_is_waited_for(begin: Begin, tmp_path: Path) -> None:
    served = begin("0.6")
    whole = tmp_path / "whole"
    whole.write_text(plant_text(12))
    command = [sys.executable, "-c", SLOW_WRITER, str(served.plant), str(whole)]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == b"wrote\n"
        served.hang_up()
        seen = {served.ask()[0] for _ in range(5)}
        assert writer.wait(30) == 0
    served.wait()
    assert seen == {revision(plant_text(10))}, "the workers serve on meanwhile"
    assert served.ready()["revisions"] == {"demo": revision(plant_text(12))}
    assert served.ready()["reload"]["ok"] is True


def test_an_old_revision_is_priced_as_before_by_the_new_workers(
    begin: Begin, tmp_path: Path, sidelay: Any
) -> None:
    kept = tmp_path / "kept"
    kept.mkdir()
    served = begin("0", SIDELAY_REVISIONS=str(kept))
    url = f"{served.service.url}/estimate"
    before = requests.post(url, json=ASKED, timeout=20).content
    done = sidelay("plant", "keep", str(served.plant), str(kept))
    old = revision(plant_text(10))
    assert (done.returncode, done.stdout) == (0, f"{kept}/demo-{old}.toml: kept\n")
    put(served.plant, plant_text(13))
    served.reload()
    asked = ASKED | {"plant_revision": old}
    assert requests.post(url, json=ASKED, timeout=20).content != before
    assert {requests.post(url, json=asked, timeout=20).content for _ in range(6)} == {before}
    assert [file.name for file in kept.iterdir()] == [f"demo-{old}.toml"]
