"""A real Chromium, the page on an origin of its own, and a service for it to ask."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, expect, sync_playwright

from browser.fake_service import FakeService, net_of
from browser.looking import A6, euros
from browser.pages import Pages

PAGE = Path(__file__).parents[2] / "openapi" / "examples" / "storefront"
CHROMIUM = Path(os.environ.get("SIDELAY_CHROMIUM") or "/usr/bin/chromium")
# A browser of its own, that asks for nothing but what the tests ask for.
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PATIENCE_MS = 5000
MISSING = f"NOT TESTED: the storefront. There is no {CHROMIUM}; run: apt-get install chromium"

Open = Callable[..., Page]


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say at the end of a run what was not tested, however quiet it is."""
    skipped = terminalreporter.stats.get("skipped", [])
    if any(MISSING in str(report.longrepr) for report in skipped):
        terminalreporter.write_line(MISSING, yellow=True, bold=True)


@pytest.fixture(scope="session")
def origin() -> Iterator[str]:
    """The origin that the page comes from: another one than that of any service."""
    handler = partial(Pages, directory=str(PAGE))
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, args=(0.02,))
    thread.start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for all tests; where there is none they are skipped, but not in CI."""
    if not CHROMIUM.exists():
        if os.environ.get("CI", "").lower() == "true":
            pytest.fail(MISSING)
        pytest.skip(MISSING)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def _fake() -> Iterator[FakeService]:
    fake = FakeService()
    yield fake
    fake.stop()


@pytest.fixture
def fake(_fake: FakeService) -> FakeService:
    """The stand-in for the service, without tricks."""
    _fake.reset()
    return _fake


@pytest.fixture
def complaints() -> list[str]:
    """What the browser complains of: faults of a script, and what the content policy forbids."""
    return []


@pytest.fixture(scope="session")
def usual(chromium: Browser) -> Page:
    """A page on a usual screen, that tests use one after the other: a new one takes its time."""
    return _new_page(chromium, 1280, 900)


def _new_page(chromium: Browser, width: int, height: int, **kind: Any) -> Page:
    kind = {"locale": "en-GB", "timezone_id": "Europe/Dublin"} | kind
    context = chromium.new_context(viewport={"width": width, "height": height}, **kind)
    context.set_default_timeout(PATIENCE_MS)
    return context.new_page()


@pytest.fixture
def open_page(
    chromium: Browser, usual: Page, origin: str, complaints: list[str]
) -> Iterator[Open]:
    """Return a function that opens the page: which service it asks, what is chosen, on what screen.

    A complaint that a test did not expect, and clear away, fails it.
    """
    opened: list[Page] = []

    def fault(error: object) -> None:
        complaints.append(str(error))

    def said(message: ConsoleMessage) -> None:
        # An answer that is no success is told to the page, which is what is tested.
        if message.type == "error" and "Failed to load resource" not in message.text:
            complaints.append(message.text)

    def open_it(
        service: str, fragment: str = "", *, width: int = 1280, height: int = 900, **kind: Any
    ) -> Page:
        page = usual
        if kind or (width, height) != (1280, 900):
            page = _new_page(chromium, width, height, **kind)
        if page not in opened:
            page.on("pageerror", fault)
            page.on("console", said)
            opened.append(page)
        page.goto(f"{origin}/?service={quote(service, safe='')}{fragment}")
        return page

    yield open_it
    for page in opened:
        page.goto("about:blank")  # so that nothing of this test goes on in the next one
        page.remove_listener("pageerror", fault)
        page.remove_listener("console", said)
        if page is not usual:
            page.context.close()
    assert complaints == []


@pytest.fixture
def shop(open_page: Open, fake: FakeService) -> Page:
    """The page with a price of 500 A6 flyers."""
    page = open_page(fake.url)
    expect(page.locator("#net")).to_have_text(f"{euros(net_of('flyer', A6, 500))} for 500")
    return page
