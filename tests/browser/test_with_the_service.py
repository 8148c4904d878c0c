"""The sample storefront and the real service: a page of one origin asks a service of another."""

from __future__ import annotations

import json
import re
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
import requests
from playwright.sync_api import Page, expect

from browser.pages import Pages
from e2e.conftest import Service

DOWN = re.compile("Prices cannot be shown just now")
FILM_IS_HEAVY = "Film pulls thin paper into a curl: it needs at least 170 g/m2."
# Pricing a whole ladder on a machine that does other things too [ms].
PRICED_MS = 15000
README = Path(__file__).parents[2] / "README.md"

Start = Callable[..., Service]


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@pytest.fixture(scope="session")
def start(chromium, origin: str, tmp_path_factory) -> Iterator[Start]:
    """Return a function that starts a service which the page's origin may ask; all end with it.

    more: further lines of its access file
    """
    folder = tmp_path_factory.mktemp("storefront")
    started: list[Service] = []

    def begin(more: str = "", port: int = 0, workers: int = 2) -> Service:
        access = folder / f"access-{len(started)}.toml"
        access.write_text(f'open = ["price"]\norigins = ["{origin}"]\n{more}')
        settings = {"SIDELAY_ACCESS": str(access), "SIDELAY_QUOTE_KEYS": "for tests only " * 3}
        log = folder / f"log-{len(started)}"
        started.append(Service(port or free_port(), log, settings, workers))
        started[-1].wait_until_ready()
        return started[-1]

    yield begin
    for service in started:
        service.stop()


@pytest.fixture(scope="session")
def service(start: Start) -> Service:
    """One service for all tests that do not stop it."""
    return start()


def answered(service: Service, path: str, **query: str) -> dict[str, Any]:
    answer = requests.get(service.url + path, params=query, timeout=30)
    answer.raise_for_status()
    found: dict[str, Any] = answer.json()
    return found


def shown(page: Page) -> dict[str, str]:
    """Wait for a price that stands, and return the choice that the address of the page tells."""
    stands = {"timeout": PRICED_MS}
    expect(page.locator("#put")).to_have_attribute("aria-disabled", "false", **stands)
    query = parse_qs(urlsplit(page.url).fragment.partition("?")[2])
    return {name: values[0] for name, values in query.items()}


def shows(page: Page, row: dict[str, Any]) -> None:
    """See that a row of prices is what the page shows, digit by digit."""
    price = row["price"]
    net = f"€{float(price['net']):,.2f}"
    expect(page.locator("#net")).to_have_text(f"{net} for {row['quantity']:,}")
    expect(page.locator("#each")).to_have_text(f"€{round(float(price['per_piece']), 4):,.4f} each")
    marked = page.locator("#ladder tr[aria-current=true]")
    expect(marked).to_contain_text(f"{row['quantity']:,}")
    expect(marked).to_contain_text(net)


def test_every_product_of_the_demo_plant_is_priced(open_page, service: Service) -> None:
    products = answered(service, "/products")["products"]
    assert len(products) > 1
    page = open_page(service.url, width=360)
    for product in products:
        page.get_by_role("link", name=product["name"], exact=True).click()
        expect(page.get_by_role("heading", level=1)).to_have_text(product["name"])
        choice = shown(page)
        row = answered(service, f"/products/{product['id']}/price", **choice)["prices"][0]
        shows(page, row)
        wide, room = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
        assert wide <= room, product["id"]


def test_from_a_choice_to_a_quote_that_the_till_finds_valid(open_page, service: Service) -> None:
    page = open_page(service.url, "#flyer")
    before = shown(page)
    page.get_by_role("radio", name="Gloss film").check()
    shown(page)
    # The thin paper that was not chosen, only the default, gave way.
    expect(page.locator("#note-stock")).to_contain_text("to go with what else you chose")
    page.get_by_role("combobox", name="Quantity").select_option("Another quantity")
    page.get_by_label("Number of copies").fill("640")
    expect(page.locator("#net")).to_contain_text("for 640", timeout=PRICED_MS)
    choice = shown(page)
    assert choice == before | {"film": "gloss", "quantity": "640"}
    row = answered(service, "/products/flyer/price", **choice)["prices"][0]
    shows(page, row)
    page.get_by_role("button", name="Put in basket").click()
    page.get_by_text("What the till would post").click()
    head, body = page.locator("#basket pre").inner_text().split("\n\n")
    method, address = head.splitlines()[0].split(" ")
    checked = requests.request(method, address, json=json.loads(body), timeout=30).json()
    assert checked["status"] == "valid"
    assert checked["quote"]["net"] == row["price"]["net"]
    assert checked["quote"]["quantity"] == 640


def test_faults_of_the_service_stand_at_their_options(open_page, service: Service) -> None:
    page = open_page(service.url, "#flyer?stock=silk_130&film=gloss&quantity=500")
    for name in ("stock", "film"):
        expect(page.locator(f"#{name}-fault")).to_have_text(FILM_IS_HEAVY)
    page.get_by_label("Paper").select_option("silk_250")
    choice = shown(page)
    shows(page, answered(service, "/products/flyer/price", **choice)["prices"][0])


def test_a_service_that_stops_and_comes_back(open_page, start: Start) -> None:
    first = start(workers=1)
    page = open_page(first.url, "#business_card?quantity=500")
    shown(page)
    assert first.stop() == 0
    page.get_by_role("radio", name="Rounded").check()
    expect(page.locator("#trouble-text")).to_have_text(DOWN)
    expect(page.locator("#net")).to_be_empty()
    expect(page.get_by_role("radio", name="Rounded")).to_be_checked()
    start(port=first.port, workers=1)
    page.get_by_role("button", name="Try again").click()
    assert shown(page) == {"corners": "round", "quantity": "500"}


def test_a_busy_service_is_waited_for(open_page, start: Start) -> None:
    """How long is read from its answer, which a page of another origin may only where it says."""
    # One worker, for each counts by itself. The page needs three answers to open.
    limited = start(more="[limits]\nrequests = 4\nwindow_s = 1\n", workers=1)
    page = open_page(limited.url, "#business_card?quantity=500")
    shown(page)
    wait = page.locator("#wait")
    with others_asking(limited):
        # At the start of a window the page may be lucky; not time and again.
        for language in ("de", "en") * 4:
            page.get_by_label("Language").select_option(language)
            stands = f"html[lang={language}] #put[aria-disabled=false]"
            page.locator(f"#wait:visible, {stands}").first.wait_for(timeout=PRICED_MS)
            if wait.is_visible():
                break
        expect(wait).to_have_text(re.compile(r"1 s\.$"))
        expect(page.locator("#net")).to_be_empty()
    assert shown(page) == {"quantity": "500", "language": language}


@contextmanager
def others_asking(service: Service) -> Iterator[None]:
    """Somebody else at the same address asks and asks, and so uses up what is allowed."""
    over = threading.Event()

    def ask() -> None:
        with requests.Session() as session:
            while not over.is_set():
                session.get(f"{service.url}/products", timeout=30)

    other = threading.Thread(target=ask)
    other.start()
    try:
        yield
    finally:
        over.set()
        other.join()


def test_a_page_of_another_origin_may_not_ask(
    open_page, service: Service, origin: str, complaints: list[str]
) -> None:
    """The same page from `localhost` is of another origin (RFC 6454, 4), and that is not listed."""
    page = open_page(service.url, "#flyer", locale="en-IE")
    shown(page)
    page.goto(page.url.replace("127.0.0.1", "localhost", 1))
    expect(page.locator("#trouble-text")).to_have_text(DOWN)
    assert any("CORS policy" in said for said in complaints)
    complaints.clear()


def test_the_page_of_the_readme_shows_prices(usual: Page, origin: str, service: Service) -> None:
    """The few lines of README.md, as a developer would paste them, asking this service instead."""
    (snippet,) = re.findall(r"```html\n(.*?)```", README.read_text(), flags=re.DOTALL)
    body = snippet.replace("http://127.0.0.1:8000", service.url)
    assert body != snippet
    Pages.more["/mine.html"] = body.encode()
    try:
        usual.goto(f"{origin}/mine.html")

        def shows_price_of(**query: str) -> None:
            row = answered(service, "/products/flyer/price", **query)["prices"][0]["price"]
            told = f"{row['net']} {row['currency']}"
            expect(usual.locator("output")).to_have_text(told, timeout=PRICED_MS)

        shows_price_of(size="a5", film="none", quantity="500")
        usual.locator("[name=film]").select_option("matt")
        shows_price_of(size="a5", film="matt", quantity="500")
        usual.locator("[name=quantity]").fill("7")
        expect(usual.locator("output")).to_have_text("Expected 50 to 20,000.")
        usual.locator("[name=quantity]").fill("1200")
        shows_price_of(size="a5", film="matt", quantity="1200")
    finally:
        Pages.more.clear()
