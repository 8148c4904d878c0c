"""Measures what a storefront asks with wrk, and a price list with the service alone.

    python tests/bench/storefront.py [SECONDS]

Starts `sidelay serve` with two workers, and beside it a Flask endpoint that returns a constant of
the same size under the same gunicorn settings; stops both. Each figure is the median of three runs
of SECONDS each (5 by default); what is compared takes turns. wrk takes a share of the same cores.
"""

from __future__ import annotations

import os
import random
import resource
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import requests
from service import (  # the benchmark of /estimate and /compare, beside this one
    CONNECTIONS,
    PATIENCE_S,
    PAUSE_S,
    ROUNDS,
    SIDELAY,
    SKIPPED,
    WORKERS,
    free_port,
    run_wrk,
    seeds,
    wait_until_ready,
)

HERE = Path(__file__).parent
PRICE = "/products/flyer/price?size=a6&quantity=500"
P99_MS = 20
ASKERS = 16
PATHS: dict[str, Callable[[], str]] = {
    "fixed": lambda: PRICE,
    "quantity": lambda: f"/products/flyer/price?size=a6&quantity={random.randint(50, 20_000)}",
    "price_of_label": lambda: (
        f"/products/label/price?width_mm={random.randint(20, 150)}"
        f"&height_mm={random.randint(20, 200)}&quantity={random.randint(1_000, 100_000)}"
    ),
}
# 4 sizes, 10 papers, 2 fronts, 3 backs, 4 films where they go, 2 corners, 2 turns.
LIST = "/products/flyer/price-list?size=a7,a6,a5,a4&quantity={}"
LISTED_QUANTITIES = 50
LEAST_PRICES_PER_S = 200_000


@dataclass(frozen=True)
class Paced:
    """Requests a second, and how long they take [ms]."""

    rate: float
    median_ms: float
    p99_ms: float


def main() -> int:
    """Measure, print, and return 1 when a promise is not kept."""
    if shutil.which("wrk") is None:
        print("SKIPPED: wrk is not installed (Debian and Ubuntu: apt-get install wrk).")
        return SKIPPED
    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    with ExitStack() as stack:
        service = started(stack, [SIDELAY, "serve", "--workers", str(WORKERS), "--port"])
        wait_until_ready(service)
        body = Path(stack.enter_context(tempfile.TemporaryDirectory()), "body")
        body.write_bytes(requests.get(service + PRICE, timeout=PATIENCE_S).content)
        constant = started(stack, constant_command(), SIDELAY_BENCH_BODY=str(body))
        wait_for(constant + "/constant")
        kept = [
            print_warm(service, constant, seconds),
            print_cold(service, seconds),
            print_paced(service, seconds),
        ]
    kept.append(print_list())
    return 0 if all(kept) else 1


def constant_command() -> list[str | Path]:
    """Return how the constant is served, but for its port."""
    return [
        sys.executable, "-m", "gunicorn", "--config", "python:sidelay.serving",
        "--workers", str(WORKERS), "--chdir", str(HERE), "constant:app", "--bind",
    ]  # fmt: skip


def started(stack: ExitStack, command: list[str | Path], **environment: str) -> str:
    """Start a server on a free port, have the stack stop it, and return its address."""
    port = free_port()
    where = f"127.0.0.1:{port}" if "--bind" in command else str(port)
    process = subprocess.Popen(
        [*command, where],
        stderr=subprocess.DEVNULL,
        env=os.environ | {"SIDELAY_QUOTE_KEYS": "k" * 32} | environment,
    )

    def stop() -> None:
        process.terminate()
        process.wait(PATIENCE_S)

    stack.callback(stop)
    return f"http://127.0.0.1:{port}"


def wait_for(url: str) -> None:
    """Return once an address answers."""
    give_up = time.monotonic() + PATIENCE_S
    while True:
        try:
            requests.get(url, timeout=2)
        except requests.ConnectionError:
            if time.monotonic() > give_up:
                raise
            time.sleep(0.05)
        else:
            return


def print_warm(service: str, constant: str, seconds: int) -> bool:
    """Print a kept price beside the constant, and further quantities of a known product."""
    print(f"{CONNECTIONS} connections, {WORKERS} workers, {ROUNDS} x {seconds} s each")
    print(f"{'':42} {'req/s':>8} {'against':>10} {'share':>7} {'least':>7}")
    kept = compare_rates(
        "a price that is kept / a constant",
        lambda: run(service + PRICE, "fixed", seconds),
        lambda: run(constant + "/constant", "fixed", seconds),
        1 / 2,
    )
    compare_rates(
        "a known product, another quantity / constant",
        lambda: run(service + PRICE, "quantity", seconds),
        lambda: run(constant + "/constant", "fixed", seconds),
        None,
    )
    return kept


def print_cold(service: str, seconds: int) -> bool:
    """Print prices of ever other jobs beside validating the same jobs."""
    return compare_rates(
        "every request another job / validating it",
        lambda: run(service + PRICE, "price_of_label", seconds),
        lambda: run(service + "/validate", "label", seconds),
        1 / 8,
    )


def compare_rates(
    about: str, one: Callable[[], float], other: Callable[[], float], least: float | None
) -> bool:
    """Print two rates and their ratio; return whether it is as large as promised."""
    pairs = [(one(), other()) for _ in range(ROUNDS)]
    share = statistics.median(first / second for first, second in pairs)
    first, second = (statistics.median(column) for column in zip(*pairs, strict=True))
    told = "-" if least is None else f"{least:.3f}"
    print(f"{about:42} {first:8.0f} {second:10.0f} {share:7.3f} {told:>7}", flush=True)
    return least is None or share >= least


def print_paced(service: str, seconds: int) -> bool:
    """Print how long requests take at half of the most that can be answered."""
    print(f"\n{'at half of the maximum load':42} {'req/s':>8} {'median ms':>10} {'p99 ms':>7}")
    kept = True
    for about, kind, limit in (
        ("a price that is kept", "fixed", P99_MS),
        ("a known product, another quantity", "quantity", P99_MS),
        ("every request another job", "price_of_label", None),
    ):
        most = run(service + PRICE, kind, seconds)
        runs = [paced(service, PATHS[kind], seconds, most / 2) for _ in range(ROUNDS)]
        rate, median_ms, p99_ms = (
            statistics.median(getattr(each, name) for each in runs)
            for name in ("rate", "median_ms", "p99_ms")
        )
        kept = kept and (limit is None or p99_ms < limit)
        told = f"(< {limit})" if limit else ""
        print(f"{about:42} {rate:8.0f} {median_ms:10.2f} {p99_ms:7.2f} {told}", flush=True)
    return kept


def paced(service: str, path: Callable[[], str], seconds: int, rate: float) -> Paced:
    """Ask at so many requests a second, whether or not the answers before have come.

    A request's time runs from when it was due, so that one held up holds up none of the count.
    wrk cannot: it waits with the connection open, and a worker waits with it.
    """
    host, port = service.removeprefix("http://").split(":")
    asked = [f"GET {path()} HTTP/1.1\r\nHost: {host}\r\n\r\n" for _ in range(int(rate * seconds))]
    begin = time.perf_counter() + 0.1
    took_ms: list[float] = []

    def ask(first: int) -> None:
        for number in range(first, len(asked), ASKERS):
            due = begin + number / rate
            time.sleep(max(0.0, due - time.perf_counter()))
            with socket.create_connection((host, int(port)), PATIENCE_S) as connection:
                connection.sendall(asked[number].encode())
                head = connection.recv(65_536)
                while connection.recv(65_536):
                    pass
            if not head.startswith(b"HTTP/1.1 200 "):
                raise RuntimeError(head[:200])
            took_ms.append(1000 * (time.perf_counter() - due))

    with ThreadPoolExecutor(ASKERS) as pool:
        list(pool.map(ask, range(ASKERS)))
    lasted_s = time.perf_counter() - begin
    time.sleep(PAUSE_S)
    p99_ms = statistics.quantiles(took_ms, n=100)[98]
    return Paced(len(asked) / lasted_s, statistics.median(took_ms), p99_ms)


def run(url: str, kind: str, seconds: int) -> float:
    """Return the requests a second of one kind."""
    return run_wrk(url, kind, next(seeds), seconds, CONNECTIONS).rate


def print_list() -> bool:
    """Print how fast a long price list is written in this process: anew, and once more."""
    from sidelay.config import Settings
    from sidelay.http.app import create_app

    client = create_app(Settings()).test_client()
    step = (20_000 / 50) ** (1 / (LISTED_QUANTITIES - 1))
    quantities = sorted({round(50 * step**n) for n in range(LISTED_QUANTITIES)})
    url = LIST.format(",".join(map(str, quantities)))
    print(f"\n{'a price list':42} {'prices':>8} {'prices/s':>10} {'MB more':>7}")
    rate = 0.0
    for about in ("nothing known", "listed before"):
        held, begun, rows = memory_mb(), time.perf_counter(), 0
        headers = {"Accept": "application/x-ndjson"}
        with client.get(url, headers=headers, buffered=False) as answer:
            for chunk in answer.iter_encoded():
                rows += chunk.count(b"\n")
        rate = rows / (time.perf_counter() - begun)
        print(f"{about:42} {rows:8,} {rate:10,.0f} {memory_mb() - held:7.1f}", flush=True)
    print(f"promised: {LEAST_PRICES_PER_S:,} prices a second")
    return rate >= LEAST_PRICES_PER_S


def memory_mb() -> float:
    """Return the most memory that this process has held so far [MB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    raise SystemExit(main())
