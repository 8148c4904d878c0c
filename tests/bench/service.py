"""Measures the service with wrk, pricing next to mere validating of the same bodies.

    python tests/bench/service.py [SECONDS]

Starts `sidelay serve` with two workers on a free port of this machine, and stops it. Each figure is
the median of three runs of SECONDS each (5 by default); pricing and validating take turns, so that
what else the machine does falls on both. wrk itself takes a share of the same cores.
"""

from __future__ import annotations

import shutil
import socket
import statistics
import subprocess
import sys
import time
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from sidelay.client import NO_RETRIES, Client, Unreachable

HERE = Path(__file__).parent
SIDELAY = Path(sys.executable).with_name("sidelay")
ROUNDS = 3
WORKERS = 2
CONNECTIONS = 8
PATIENCE_S = 30
# What a run leaves under way is finished by then, and does not count against the next one.
PAUSE_S = 0.5
SKIPPED = 77  # what a test driver takes as "skipped"


@dataclass(frozen=True)
class Case:
    """One endpoint under one kind of bodies; `least`: its rate as a share of validating's."""

    path: str
    kind: str
    about: str
    least: float | None


CASES = (
    Case("/estimate", "other", "every request another job", 1 / 8),
    Case("/estimate", "same", "same piece, other quantities", 1 / 3),
    Case("/compare", "other", "every request another job", None),
    Case("/compare", "same", "same piece, other quantities", None),
)
MEDIAN_MS = 15


@dataclass(frozen=True)
class Measured:
    """Requests a second, and how long one takes: the median, and the longest [ms]."""

    rate: float
    median_ms: float
    longest_ms: float


seeds = count(1)


def main() -> int:
    """Measure, print two tables, and return 1 when a promise is not kept."""
    if shutil.which("wrk") is None:
        print("SKIPPED: wrk is not installed (Debian and Ubuntu: apt-get install wrk).")
        return SKIPPED
    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    port = free_port()
    service = subprocess.Popen(
        [SIDELAY, "serve", "--port", str(port), "--workers", str(WORKERS)],
        stderr=subprocess.DEVNULL,
    )
    try:
        url = f"http://127.0.0.1:{port}"
        wait_until_ready(url)
        rates_kept = print_rates(url, seconds)
        times_kept = print_times(url, seconds)
    finally:
        service.terminate()
        service.wait(PATIENCE_S)
    return 0 if rates_kept and times_kept else 1


def print_rates(url: str, seconds: int) -> bool:
    """Print requests a second for each case; return whether every promise is kept."""
    print(f"{CONNECTIONS} connections, {WORKERS} workers, {ROUNDS} x {seconds} s each")
    print(f"{'':10} {'':29} {'req/s':>8} {'/validate':>10} {'share':>7} {'least':>7}")
    kept = True
    for case in CASES:
        pairs = [measure_pair(url, case, seconds) for _ in range(ROUNDS)]
        rate, validating = (statistics.median(column) for column in zip(*pairs, strict=True))
        share = statistics.median(priced / checked for priced, checked in pairs)
        least = f"{case.least:.3f}" if case.least else "-"
        kept = kept and share >= (case.least or 0)
        print(
            f"{case.path:10} {case.about:29} {rate:8.0f} {validating:10.0f} "
            f"{share:7.3f} {least:>7}",
            flush=True,
        )
    return kept


def measure_pair(url: str, case: Case, seconds: int) -> tuple[float, float]:
    """Return the rate of a case and that of validating the same bodies, one after the other."""
    seed = next(seeds)
    priced = run_wrk(url + case.path, case.kind, seed, seconds, CONNECTIONS)
    checked = run_wrk(url + "/validate", case.kind, seed, seconds, CONNECTIONS)
    return priced.rate, checked.rate


def print_times(url: str, seconds: int) -> bool:
    """Print the median time of one request at a time; return whether the promise is kept."""
    print(f"\none connection, {ROUNDS} x {seconds} s each")
    print(f"{'':10} {'':29} {'median ms':>9} {'longest':>9} {'promised':>9}")
    kept = True
    for case in CASES:
        runs = [
            run_wrk(url + case.path, case.kind, next(seeds), seconds, connections=1)
            for _ in range(ROUNDS)
        ]
        median_ms = statistics.median(run.median_ms for run in runs)
        longest_ms = max(run.longest_ms for run in runs)
        promised = case.path == "/compare"
        kept = kept and (not promised or median_ms < MEDIAN_MS)
        limit = f"< {MEDIAN_MS}" if promised else "-"
        print(
            f"{case.path:10} {case.about:29} {median_ms:9.2f} {longest_ms:9.2f} {limit:>9}",
            flush=True,
        )
    return kept


def run_wrk(url: str, kind: str, seed: int, seconds: int, connections: int) -> Measured:
    """Run wrk once; raise RuntimeError when a request failed, for then the figure means nothing."""
    done = subprocess.run(
        [
            "wrk",
            f"-t{min(connections, 2)}",
            f"-c{connections}",
            f"-d{seconds}s",
            f"--timeout={PATIENCE_S}s",
            "-s",
            HERE / "requests.lua",
            url,
            "--",
            kind,
            str(seed),
        ],
        capture_output=True,
        text=True,
        timeout=seconds + 60,
        check=True,
    )
    result = next(line for line in done.stdout.splitlines() if line.startswith("RESULT "))
    requests, failed, duration_s, median_us, longest_us = map(float, result.split()[1:])
    time.sleep(PAUSE_S)
    if failed or not requests:
        raise RuntimeError(f"{url}: {failed:.0f} of {requests:.0f} requests failed\n{done.stdout}")
    return Measured(requests / duration_s, median_us / 1000, longest_us / 1000)


def free_port() -> int:
    """Return a port of this machine on which nothing listens."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def wait_until_ready(url: str) -> None:
    """Return once the service answers; raise Unreachable when it takes too long."""
    give_up = time.monotonic() + PATIENCE_S
    with Client(url, timeout_s=2, retries=NO_RETRIES) as client:
        while True:
            try:
                client.ready()
            except Unreachable:
                if time.monotonic() > give_up:
                    raise
                time.sleep(0.05)
            else:
                return


if __name__ == "__main__":
    raise SystemExit(main())
