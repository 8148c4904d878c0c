"""The quickstart: what stops it, each time with one line, and with SIDELAY_SLOW=1 the whole way."""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from sidelay.config import DEMO_ACCESS

ROOT = Path(__file__).parents[2]
# A copy needs no more than this, and a checkout has folders that no copy needs.
NEEDED = ("deploy", "openapi", "plugins", "service", "pyproject.toml", "README.md")

slow = pytest.mark.skipif(
    os.environ.get("SIDELAY_SLOW") != "1",
    reason="installs the packages anew, for a minute; SIDELAY_SLOW=1 runs it",
)

SHELLS = [path for name in ("sh", "dash", "bash") if (path := shutil.which(name))]


@pytest.fixture(params=SHELLS)
def quickstart(request, tmp_path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Return a function that runs the quickstart of the checkout in one of the shells here."""

    def run(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [request.param, ROOT / "deploy" / "quickstart.sh", *arguments],
            env=os.environ | {"SIDELAY_VENV": str(tmp_path / "venv")} | environment,
            capture_output=True,
            text=True,
            timeout=60,
        )

    return run


def fake_python(folder: Path, *, version: str = "3.12", has_venv: bool = True) -> str:
    """Write a program that passes for a Python, and return its path."""
    program = folder / "python3"
    ending = "exit 0" if has_venv else "exit 1"
    program.write_text(
        f'#!/bin/sh\ncase "$*" in *version_info*) echo {version} ;; *) {ending} ;; esac\n'
    )
    program.chmod(0o755)
    return str(program)


def one_line(done: subprocess.CompletedProcess[str], status: int) -> str:
    """Return the only line of the standard error, once the status is as expected."""
    assert done.returncode == status, done
    assert done.stderr.count("\n") == 1
    assert done.stderr.endswith("\n")
    return done.stderr.strip()


def test_a_python_that_is_too_old(quickstart, tmp_path):
    python = fake_python(tmp_path, version="3.9")
    told = one_line(quickstart("--once", SIDELAY_PYTHON=python), 1)
    assert told == (
        f"{python} is of version 3.9. Python 3.11 or later is needed; "
        "name one with SIDELAY_PYTHON."
    )


def test_only_an_old_python_on_the_path(quickstart, tmp_path):
    tools = tmp_path / "bin"
    tools.mkdir()
    for name in ("dirname", "sh"):
        (tools / name).symlink_to(str(shutil.which(name)))
    fake_python(tools, version="3.10")
    told = one_line(quickstart("--once", PATH=str(tools), SIDELAY_PYTHON=""), 1)
    assert told.startswith("python3 is of version 3.10. Python 3.11 or later is needed")


@pytest.mark.parametrize("version", ["", "hello", "2.7", "4.0", "3.x", "3.11 3.12"])
def test_a_python_that_is_none(quickstart, tmp_path, version):
    python = fake_python(tmp_path, version=f'"{version}"')
    told = one_line(quickstart("--once", SIDELAY_PYTHON=python), 1)
    assert told.startswith(f"{python} is of version {version}. Python 3.11")


def test_a_python_that_is_not_there(quickstart, tmp_path):
    told = one_line(quickstart("--once", SIDELAY_PYTHON="no-such-python"), 1)
    assert told.startswith("no-such-python cannot be run. Python 3.11 or later is needed")


def test_a_python_without_venv(quickstart, tmp_path):
    python = fake_python(tmp_path, has_venv=False)
    told = one_line(quickstart("--once", SIDELAY_PYTHON=python), 1)
    assert told.startswith(f"{python} has no venv module (Debian and Ubuntu have it in ")


def test_a_taken_port_before_anything_is_installed(quickstart, tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = quickstart(str(port), "--once")
    told = one_line(done, 1)
    assert told == f"Port {port} cannot be used on 127.0.0.1; name another one."
    assert not (tmp_path / "venv").exists()


# Below a file there is no folder for anyone, root included, whom no permission would stop.
def test_a_place_that_cannot_be_written(quickstart, tmp_path, free_port):
    (tmp_path / "file").touch()
    venv = str(tmp_path / "file" / "venv")
    told = one_line(quickstart(str(free_port()), "--once", SIDELAY_VENV=venv), 1)
    assert told.startswith(f"The environment {venv} cannot be made: ")
    assert "Not a directory" in told


def test_a_place_that_holds_something_else_is_left_alone(quickstart, tmp_path, free_port):
    venv = tmp_path / "photos"
    venv.mkdir()
    (venv / "holiday.jpg").touch()
    told = one_line(quickstart(str(free_port()), "--once", SIDELAY_VENV=str(venv)), 1)
    assert told.startswith(f"{venv} is there, and is no virtual environment")
    assert [path.name for path in venv.iterdir()] == ["holiday.jpg"]


@pytest.mark.parametrize(
    "arguments",
    [["--twice"], ["0"], ["65536"], ["1000000"], ["80a"], ["-1"], [""], ["8001", "8002"]],
)
def test_wrong_arguments(quickstart, arguments):
    told = one_line(quickstart(*arguments), 2)
    assert told.endswith("Usage: sh deploy/quickstart.sh [PORT] [--once]")


def test_help(quickstart):
    done = quickstart("--help")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "Usage: sh deploy/quickstart.sh [PORT] [--once]\n"


@pytest.fixture(scope="module")
def copy(tmp_path_factory) -> Path:
    """A checkout of its own, so that nothing is installed in this one."""
    root = tmp_path_factory.mktemp("checkout")
    for name in NEEDED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, root / name, ignore=shutil.ignore_patterns("__pycache__"))
        elif source.exists():
            shutil.copy(source, root / name)
    return root


def listens(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def timeless(told: str) -> str:
    """What is told once the service starts, but for times of day."""
    return re.sub(r"\d\d:\d\d(:\d\d)?", "", told.split("Starting")[1])


@slow
def test_the_whole_way(copy, free_port):
    """A first run, a second one that installs nothing, a service that dies, and Ctrl-C."""
    port = free_port()
    command = [SHELLS[0], str(copy / "deploy" / "quickstart.sh"), str(port)]

    def once(**environment: str) -> tuple[subprocess.CompletedProcess[str], float]:
        begun = time.monotonic()
        done = subprocess.run(
            [*command, "--once"],
            env=os.environ | environment,
            capture_output=True,
            text=True,
            timeout=600,
        )
        return done, time.monotonic() - begun

    first, _ = once()
    assert (first.returncode, first.stderr) == (0, "")
    assert "Installing sidelay" in first.stdout
    assert "The cheapest press\n  1 to " in first.stdout
    assert not listens(port)

    second, took_s = once()
    assert (second.returncode, second.stderr) == (0, "")
    assert "is up to date" in second.stdout
    assert timeless(second.stdout) == timeless(first.stdout)
    assert took_s < 10

    died, _ = once(SIDELAY_PLANTS="/no/such/plant.toml", SIDELAY_ACCESS=str(DEMO_ACCESS))
    assert died.returncode == 1
    assert died.stderr.splitlines()[0] == "The service has stopped. The last lines of its log:"
    assert "/no/such/plant.toml" in died.stderr
    assert not listens(port)

    running = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert running.stdout is not None
    for line in running.stdout:
        if "until Ctrl-C" in line:
            break
    assert listens(port)
    running.send_signal(signal.SIGINT)
    rest, _ = running.communicate(timeout=30)
    assert running.returncode == 0
    assert "Stopping the service." in rest
    assert not listens(port)
