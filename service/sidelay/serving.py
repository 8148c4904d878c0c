"""How the service is served: gunicorn's settings, and `sidelay serve`, which starts it with them.

gunicorn reads the lower-case names of this module as its settings (`-c python:sidelay.serving`).
`deploy/gunicorn.conf.py` takes the same ones for an operator to build on.
"""

from __future__ import annotations

import atexit
import gc
import os
import shutil
import socket
import sys
import tempfile
from pathlib import Path
from typing import Any

from .heartbeat import watched_by
from .succession import successor_of
from .worker_counts import METRICS_FOLDER, add_up

HOST = "127.0.0.1"
PORT = 8000
APP = "sidelay.http.wsgi:app"
MOST_WORKERS = 64
_METRICS_PREFIX = "sidelay-metrics-"
_SHARED_MEMORY = Path("/dev/shm")  # noqa: S108  (only heartbeats are kept there)


def default_workers() -> int:
    """Return one worker a core, from 2 to 8.

    Pricing keeps a core busy, so more would only take turns. Two at least, so that a long
    comparison does not hold up everyone; more than eight only when asked for.
    """
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    return min(max(cores or 1, 2), 8)


# Loopback only: a proxy that keeps connections, checks callers and compresses stands before it.
bind = f"{HOST}:{PORT}"
workers = default_workers()
# One request at a time a worker. The work is arithmetic, so threads would not add any speed, and a
# plug-in's time budget needs the main thread.
worker_class = "sync"
# Plants are read once, before the port is open: a fault in one is told once and stops the start,
# and whoever gets a connection gets an answer. HUP reads them again, see on_reload.
preload_app = True
# A worker silent for this long is replaced [s], and whoever it served gets no answer.
timeout = 30
# How long a request under way may still take when the service is told to stop [s].
graceful_timeout = 10
# Never replaced for their age: a new worker would have none of the plans kept.
max_requests = 0
# gunicorn 25.1 and later open a control socket under the home folder, which fails where there is
# none to write to, and would let two services on one machine fight for it.
control_socket_disable = True
# Heartbeats on a disk can stall, and get a worker killed that is well.
worker_tmp_dir = str(_SHARED_MEMORY) if os.access(_SHARED_MEMORY, os.W_OK | os.X_OK) else None
# The proxy logs accesses; the service itself logs faults, on the standard error.
accesslog = None
errorlog = "-"
loglevel = "info"


# While old workers finish what they have after HUP: the age of the youngest of them.
_going: list[int] = []


def on_reload(server: Any) -> None:
    """Have the app read its files anew (HUP); gunicorn calls this in its master.

    It has read its own settings by then. After this it forks new workers, which serve what
    `server.app.callable` is, then has the old ones finish; the socket stays open all along. Where
    the app is not preloaded, or is none of ours, there is nothing to do.
    """
    application = server.app
    successor = successor_of(application.callable)
    if successor is None:
        return
    before, application.callable = application.callable, successor()
    # The module that it came from would hold the old one, and all that it has read.
    module, _, name = str(getattr(application, "app_uri", "")).partition(":")
    loaded, name = sys.modules.get(module), name or "application"
    if getattr(loaded, name, None) is before:
        setattr(loaded, name, application.callable)
    del before, successor
    gc.collect()  # an app holds itself
    _going[:] = [server.worker_age]


def child_exit(server: Any, worker: Any) -> None:
    """Say that a worker counts no more, and when the last one has gone that is older than a reload.

    gunicorn calls this in its master.
    """
    if METRICS_FOLDER in os.environ:
        add_up(worker.pid)
    if _going and all(each.age > _going[0] for each in server.WORKERS.values()):
        _going.clear()
        server.log.info("All workers from before the reload have gone.")


def pre_exec(server: Any) -> None:
    """Give a new master (USR2) a folder of its own; gunicorn calls this before it becomes one.

    The old one takes its folder along when it goes.
    """
    environment = server.cfg.env_orig
    if _is_own(environment.get(METRICS_FOLDER, "")):
        environment[METRICS_FOLDER] = _new_folder()


def _new_folder() -> str:
    return tempfile.mkdtemp(prefix=_METRICS_PREFIX)


def _is_own(folder: str) -> bool:
    """Whether a folder of counts was made by us, and not given."""
    return Path(folder).name.startswith(_METRICS_PREFIX)


def remove_counts(master: int) -> None:
    """Remove the folder of counts that `serve` made. master: id of the process that may"""
    folder = os.environ.get(METRICS_FOLDER, "")
    if os.getpid() == master and _is_own(folder):
        shutil.rmtree(folder, ignore_errors=True)


# gunicorn has a hook for its end, and does not call it where the start fails.
atexit.register(remove_counts, os.getpid())


def post_fork(_server: object, worker: Any) -> None:
    """Have long answers tell that they go on, and collect garbage less often.

    gunicorn calls this in each worker as it starts.
    The plans kept are many small objects that live long and hold no cycles. Looking through them
    all again took over a quarter of the time of a new job, now and then 0.2 s at once.
    """
    watched_by(worker.notify)
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)


class PortTaken(Exception):  # noqa: N818  (a state of the machine, named as such)
    """Something else listens on the port; the message says so in one sentence."""


def command(port: int, worker_count: int) -> list[str]:
    """Return the command line that `sidelay serve` becomes."""
    settings = ["--config", f"python:{__name__}"]
    where = ["--bind", f"{HOST}:{port}", "--workers", str(worker_count)]
    return [sys.executable, "-m", "gunicorn", *settings, *where, APP]


def serve(port: int, worker_count: int) -> None:
    """Become gunicorn, serving on loopback; the process id stays. Raises PortTaken."""
    check_port(port)
    arguments = command(port, worker_count)
    # When gunicorn starts itself anew (USR2) it is run as a file, whose folder must not lead the
    # search path: it has a module named http.
    environment = {**os.environ, "PYTHONSAFEPATH": "1"}
    if METRICS_FOLDER not in environment:
        environment[METRICS_FOLDER] = _new_folder()
    os.execve(arguments[0], arguments, environment)  # noqa: S606  (our own command, no shell)


def check_port(port: int) -> None:
    """Raise PortTaken when the port cannot be listened on; gunicorn would try for five seconds."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError as fault:
            why = "may not be used" if isinstance(fault, PermissionError) else "is taken"
            raise PortTaken(f"Port {port} {why} on {HOST}; choose another.") from None
