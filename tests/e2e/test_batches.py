"""Batches through a real service: many jobs, and whatever breaks on either side half-way."""

from __future__ import annotations

import copy
import json
import os
import re
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from sidelay.client import Client, ProblemError

NDJSON = "application/x-ndjson"
PATIENCE_S = 60
CLOCK = "2026-11-24T09:00:00Z"
EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
# Of seven jobs one is compared, which takes longest.
ASKS = ("estimate", "validate", "estimate", "estimate", "validate", "estimate", "compare")


@pytest.fixture(scope="module")
def bodies() -> list[dict[str, Any]]:
    """Every example, with a clock of its own so that its answer is always the same."""
    read = [json.loads(file.read_bytes()) for file in sorted(EXAMPLES.glob("*.json"))]
    return [{"as_of": CLOCK} | body for body in read]


@pytest.fixture(scope="module")
def alone(service, tmp_path_factory) -> Iterator[Any]:
    """A service with one worker, so that whoever comes next has to wait for it."""
    log = tmp_path_factory.mktemp("alone") / "log"
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    begun = type(service)(port, log, workers=1)
    begun.wait_until_ready()
    yield begun
    begun.stop()


def mixed(bodies: list[dict[str, Any]], count: int) -> list[dict[str, Any]]:
    """Lines of all bodies in turn, each round with other quantities; some have a fault."""
    lines = []
    for number in range(count):
        body = copy.deepcopy(bodies[number % len(bodies)])
        wanted = body["job"]["quantities"]
        body["job"]["quantities"] = [each + number // len(bodies) for each in wanted]
        if number % 50 == 49:
            body["job"]["quantities"] = [0]
        lines.append({"id": f"job {number}", "ask": ASKS[number % len(ASKS)], "request": body})
    return lines


def written(folder: Path, lines: list[dict[str, Any]]) -> Path:
    file = folder / "jobs.ndjson"
    file.write_text("".join(json.dumps(line) + "\n" for line in lines))
    return file


def one_by_one(client: Client, line: dict[str, Any]) -> tuple[int, Any]:
    try:
        return 200, getattr(client, line["ask"])(line["request"])
    except ProblemError as problem:
        return problem.status, [dict(each) for each in problem.errors]


def test_a_thousand_jobs(service, sidelay, bodies, tmp_path):
    lines, out = mixed(bodies, 1_000), tmp_path / "answers.ndjson"
    file = written(tmp_path, lines)
    done = subprocess.run(
        [*command(sidelay, file, out, service)], capture_output=True, text=True, timeout=300
    )
    assert done.returncode == 1, done.stderr
    assert done.stdout.startswith("1,000 lines: 980 answered, 20 refused, 0 failed.\n")
    answers = [json.loads(text) for text in out.read_bytes().splitlines()]
    assert [each["id"] for each in answers] == [line["id"] for line in lines]
    assert [each["line"] for each in answers] == list(range(1, 1_001))
    with Client(service.url) as client:
        for number in range(0, 1_000, 49):
            status, told = one_by_one(client, lines[number])
            answer = answers[number]
            assert answer["status"] == status
            assert told == (answer["answer"] if status == 200 else answer["problem"]["errors"])


def command(sidelay, file: Path, out: Path, service) -> list[str]:
    """The command line that sends a file."""
    program = sidelay("--version").args[0]
    return [program, "batch", str(file), "--out", str(out), "--url", service.url]


def steady(out: Path) -> list[bytes]:
    """The lines of a file of answers; the ids of requests differ from run to run."""
    return [re.sub(rb',"request_id":"\w+"', b"", line) for line in out.read_bytes().splitlines()]


def wait_for(out: Path, lines: int) -> None:
    give_up = time.monotonic() + PATIENCE_S
    while not out.exists() or out.read_bytes().count(b"\n") < lines:
        assert time.monotonic() < give_up
        time.sleep(0.02)


def test_a_command_that_is_killed_goes_on_where_it_stopped(service, sidelay, bodies, tmp_path):
    file = written(tmp_path, mixed(bodies[:8], 240))
    whole, out = tmp_path / "whole.ndjson", tmp_path / "answers.ndjson"
    assert subprocess.run(command(sidelay, file, whole, service), timeout=120).returncode == 1
    for so_many in (40, 120):
        running = subprocess.Popen(command(sidelay, file, out, service))
        wait_for(out, so_many)
        running.send_signal(signal.SIGKILL)
        assert running.wait(PATIENCE_S) == -signal.SIGKILL
        assert so_many <= out.read_bytes().count(b"\n") < 240
        with out.open("ab") as file_of_answers:
            file_of_answers.write(b'{"line":999,"id":"half wri')
    before = steady(out)
    assert subprocess.run(command(sidelay, file, out, service), timeout=120).returncode == 1
    assert steady(out) == steady(whole)
    answered = [line for line in before if b'"status":200' in line]
    assert len(answered) > 110
    assert set(answered) <= set(steady(out)), "what was answered is as it was"


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="needs Linux's /proc")
def test_a_worker_that_dies_is_asked_again(alone, sidelay, bodies, tmp_path):
    file = written(tmp_path, mixed(bodies, 49))
    out = tmp_path / "answers.ndjson"
    running = subprocess.Popen(
        command(sidelay, file, out, alone), stderr=subprocess.PIPE, text=True
    )
    wait_for(out, 5)
    [worker] = children(alone.process.pid)
    os.kill(worker, signal.SIGKILL)
    _, told = running.communicate(timeout=PATIENCE_S)
    assert running.returncode == 0, told
    assert "It is asked again in 0.5 s." in told
    answers = [json.loads(text) for text in out.read_bytes().splitlines()]
    assert [each["line"] for each in answers] == list(range(1, 50))


def children(pid: int) -> list[int]:
    """The processes that a process has begun."""
    stats = Path("/proc").glob("[0-9]*/stat")
    found = [(int(stat.parent.name), _parent(stat)) for stat in stats]
    return [child for child, parent in found if parent == pid]


def _parent(stat: Path) -> int:
    try:
        return int(stat.read_text().rsplit(")", 1)[1].split()[1])
    except OSError:  # it has ended meanwhile
        return 0


@pytest.mark.parametrize("is_reset", [True, False])
def test_a_client_that_hangs_up_half_way_frees_the_worker(alone, bodies, is_reset):
    """The one worker would need some 20 s for the whole batch; whoever comes next has 10."""
    body = b"".join(json.dumps(line).encode() + b"\n" for line in mixed(bodies, 3_000))
    head = (
        f"POST /batch HTTP/1.1\r\nHost: a\r\nContent-Type: {NDJSON}\r\nContent-Length: {len(body)}"
        "\r\n\r\n"
    )
    before = alone.log.read_text()
    with socket.create_connection(("127.0.0.1", alone.port), timeout=PATIENCE_S) as leaving:
        leaving.sendall(head.encode() + body)
        assert leaving.recv(1_000).startswith(b"HTTP/1.1 200 OK")
        if is_reset:  # closing then sends RST, as when a process is killed
            leaving.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
    with Client(alone.url, timeout_s=10) as client:
        assert client.ready()["status"] == "ready"
    assert alone.log.read_text() == before, "nothing is logged"


def test_a_client_that_sends_all_before_it_reads_is_answered(alone, bodies):
    """Buffers of sockets hold less than this batch, and less than its answers."""
    lines = [{"ask": "validate", "request": bodies[0] | {"plant": "x" * 60_000}}] * 250
    with Client(alone.url, timeout_s=PATIENCE_S) as client:
        answers = list(client.batch(lines, timeout_s=PATIENCE_S))
    assert [each["status"] for each in answers] == [422] * 250


def test_standard_input_and_no_service(service, sidelay, bodies, tmp_path, free_port):
    lines = b"".join(json.dumps(line).encode() + b"\r\n" for line in mixed(bodies, 3))
    out = tmp_path / "answers.ndjson"
    nowhere = f"http://127.0.0.1:{free_port()}"
    done = sidelay("batch", "-", "--out", str(out), "--url", nowhere, stdin=lines)
    assert done.returncode == 3
    assert f"No service answers at {nowhere}" in done.stderr
    done = sidelay("batch", "-", "--out", str(out), "--url", service.url, stdin=lines)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "3 lines: 3 answered, 0 refused, 0 failed.\n"


def test_a_batch_goes_on_while_files_are_read_anew(start, bodies):
    """Its worker finishes what it has, on the files that it began with."""
    service = start()
    service.wait_until_ready()
    lines, come = mixed(bodies, 200), []
    with Client(service.url) as client:
        for answer in client.batch(lines):
            if not come:
                service.process.send_signal(signal.SIGHUP)
            come.append(answer)
    assert [answer["id"] for answer in come] == [line["id"] for line in lines]
    assert {answer["status"] for answer in come} == {200, 422}
    assert "Reloaded." in service.log.read_text()
