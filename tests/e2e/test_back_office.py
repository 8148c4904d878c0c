"""An integrator's own script: fifty jobs, a changed plant, and one price explained line by line."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from decimal import Decimal
from pathlib import Path

import pytest
import requests

from sidelay.config import PACKAGED_PLANTS

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
SCRIPT = EXAMPLES / "back_office" / "reprice.py"
OPEN = 'open = ["price", "cost"]\n'
PATIENCE_S = 30
JOBS = 50
OLD_WORKERS_GONE = "All workers from before the reload have gone."


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    """A folder of fifty jobs: examples of all kinds, and again at other quantities."""
    folder = tmp_path / "jobs"
    folder.mkdir()
    bodies = {file.stem: json.loads(file.read_text()) for file in sorted(EXAMPLES.glob("*.json"))}
    plain = {name: body for name, body in bodies.items() if "job" in body}
    for body in plain.values():
        body["job"].pop("due_at", None)  # as_of is the script's own, and may lie after it
    more = {
        f"{name}_more": body
        | {"job": body["job"] | {"quantities": [3 * q for q in body["job"]["quantities"][:2]]}}
        for name, body in plain.items()
    }
    chosen = dict(list({**plain, **more}.items())[:JOBS])
    for name, body in chosen.items():
        (folder / f"{name}.json").write_text(json.dumps(body))
    return folder


def _run(step: str, url: str, jobs: Path, kept: Path) -> str:
    told = subprocess.run(
        [sys.executable, SCRIPT, step, url, str(jobs), str(kept)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert told.returncode == 0, told.stderr
    return told.stdout


def _revision(url: str) -> str:
    told = requests.get(f"{url}/readyz", timeout=5).json()
    revision: str = told["revisions"]["demo"]
    return revision


def test_fifty_jobs_are_kept_asked_again_and_a_difference_is_explained(
    start, tmp_path: Path, jobs: Path
) -> None:
    plants = tmp_path / "plants"
    plants.mkdir()
    demo = (PACKAGED_PLANTS / "demo.toml").read_text()
    (plants / "demo.toml").write_text(demo)
    access = tmp_path / "access.toml"
    access.write_text(OPEN)
    service = start(SIDELAY_PLANTS=str(plants), SIDELAY_ACCESS=str(access))
    service.wait_until_ready()
    kept = tmp_path / "answers.ndjson"

    assert f"{JOBS} answers kept" in _run("ask", service.url, jobs, kept)
    assert _run("again", service.url, jobs, kept).strip() == "No price moved."

    # The merchant asks more for one paper.
    changed = re.sub(r'(id = "silk_130".*?price = )([0-9.]+)', _dearer, demo, count=1, flags=re.S)
    assert changed != demo
    beside = plants / "demo.new"
    beside.write_text(changed)
    beside.replace(plants / "demo.toml")
    before = _revision(service.url)
    os.kill(service.process.pid, signal.SIGHUP)
    give_up = time.monotonic() + PATIENCE_S
    while OLD_WORKERS_GONE not in service.log.read_text():
        assert time.monotonic() < give_up, service.log.read_text()
        time.sleep(0.1)

    told = _run("again", service.url, jobs, kept)
    _check_explanation(told)
    assert f"plant {before} -> {_revision(service.url)}" in told


def _dearer(found: re.Match[str]) -> str:
    return f"{found[1]}{float(found[2]) * 1.2:g}"


def _check_explanation(told: str) -> None:
    """The lines add up to the cost, and cost and mark-ups to the price."""
    moved, explained = told.split("\n\n")
    assert len(moved.splitlines()) > 5
    told_rows = [row for row in explained.splitlines()[1:] if "made on" not in row]
    rows = [(Decimal(row.split()[0]), row) for row in told_rows]
    *lines, (cost, of_cost), (markup, of_markup), (price, of_price) = rows
    assert "all lines together" in of_cost
    assert "mark-ups" in of_markup
    assert "price:" in of_price
    assert sum(amount for amount, _ in lines) == cost
    assert cost + markup == price
    assert any("/stock" in row and "Coated silk" in row for _, row in lines)
