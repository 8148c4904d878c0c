"""What gunicorn's master does when it is told to reload; the whole is tried in tests/e2e."""

from __future__ import annotations

import logging
import sys
from types import ModuleType, SimpleNamespace
from typing import Any

import pytest

from sidelay import serving, succession


def app_that_becomes(successor: object) -> SimpleNamespace:
    return SimpleNamespace(extensions={succession.EXTENSION: lambda: successor})


def server_of(app: object, uri: str = "some_module:app") -> Any:
    application = SimpleNamespace(callable=app, app_uri=uri)
    log = logging.getLogger("gunicorn.of.a.test")
    return SimpleNamespace(app=application, worker_age=4, WORKERS={}, log=log)


@pytest.fixture
def module(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    made = ModuleType("some_module")
    monkeypatch.setitem(sys.modules, "some_module", made)
    return made


@pytest.mark.parametrize(
    ("uri", "name"), [("some_module:app", "app"), ("some_module", "application")]
)
def test_the_new_app_is_served_and_nothing_holds_the_old_one(
    module: ModuleType, uri: str, name: str
) -> None:
    new = object()
    old = app_that_becomes(new)
    setattr(module, name, old)
    server = server_of(old, uri)
    serving.on_reload(server)
    assert server.app.callable is new
    assert getattr(module, name) is new


def test_what_the_module_has_beside_it_is_left_alone(module: ModuleType) -> None:
    """An operator's own module may wrap the app, or make one at each call."""
    module.app = "wrapped"  # type: ignore[attr-defined]
    server = server_of(app_that_becomes("new"))
    serving.on_reload(server)
    assert (server.app.callable, module.app) == ("new", "wrapped")


@pytest.mark.parametrize("app", [None, object(), SimpleNamespace(extensions={})])
def test_an_app_that_is_not_preloaded_or_not_ours_is_left_to_its_workers(app: object) -> None:
    server = server_of(app)
    serving.on_reload(server)
    assert server.app.callable is app


def test_the_log_tells_when_the_last_old_worker_has_gone(
    caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(serving.METRICS_FOLDER, raising=False)
    caplog.set_level(logging.INFO)
    server = server_of(app_that_becomes("new"))
    old, new = ([SimpleNamespace(age=age, pid=age) for age in ages] for ages in ((3, 4), (5, 6)))
    serving.on_reload(server)
    told = []
    for left in ([old[1], *new], new, new[:1]):
        server.WORKERS = {worker.pid: worker for worker in left}
        serving.child_exit(server, old[0])
        told.append(len(caplog.records))
    assert told == [0, 1, 1]
    assert "before the reload have gone" in caplog.text
