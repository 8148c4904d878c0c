"""The sample storefront when answers are late, wrong, refused or missing."""

from __future__ import annotations

import re
import time
from datetime import datetime, timedelta
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, expect

from browser.fake_service import BECAUSE, HELD_UNTIL, FakeService, Trick
from browser.looking import A5, A6, DOWN, RENEWED, no_price, priced


def test_a_late_answer_never_overwrites_a_newer_one(shop: Page, fake: FakeService) -> None:
    slow = fake.play(Trick(holds="size=a5", delay_s=0.6))
    stopped: list[str] = []
    shop.once("requestfailed", lambda request: stopped.append(request.url))
    with shop.expect_request(re.compile(r"/price\?size=a5")):
        shop.get_by_label("A5, 148 x 210 mm").check()
    started = time.monotonic()
    shop.get_by_label("DL, 99 x 210 mm").check()
    newer = A6 | {"size": "dl"}
    priced(shop, newer, 500)
    assert time.monotonic() - started < slow.delay_s, "the newer answer came after the late one"
    assert all("size=a5" in address for address in stopped)
    assert stopped, "the question that counts no more was not stopped"
    # Whatever comes of the first question has come by now.
    shop.wait_for_timeout(800)
    priced(shop, newer, 500)
    expect(shop.get_by_label("DL, 99 x 210 mm")).to_be_checked()
    assert "size=dl" in shop.url


def test_a_late_answer_counts_no_more_even_where_it_cannot_be_stopped(shop: Page, fake) -> None:
    """Without AbortController the number of the question alone has to keep a late answer out."""
    shop.evaluate("AbortController.prototype.abort = function () {}")
    fake.play(Trick(holds="size=a5", delay_s=0.6))
    with shop.expect_response(re.compile(r"/price\?size=a5")) as late:
        shop.get_by_label("A5, 148 x 210 mm").check()
        shop.get_by_label("DL, 99 x 210 mm").check()
        priced(shop, A6 | {"size": "dl"}, 500)
    assert late.value.ok, "the late answer did come"
    late.value.finished()
    shop.wait_for_timeout(100)
    priced(shop, A6 | {"size": "dl"}, 500)


def test_the_old_price_is_marked_while_a_new_one_is_asked(shop: Page, fake: FakeService) -> None:
    slow = fake.play(Trick(holds="size=a5", delay_s=5))
    shop.get_by_label("A5, 148 x 210 mm").check()
    expect(shop.locator("#renewing")).to_have_text(RENEWED)
    expect(shop.locator("#figures")).to_have_attribute("aria-busy", "true")
    expect(shop.locator("#net")).to_have_css("font-style", "italic")
    expect(shop.locator("#put")).to_have_attribute("aria-disabled", "true")
    shop.locator("#put").click(force=True)  # it looks resting; it has to be so too
    expect(shop.locator("#basket li")).to_have_count(0)
    asked = len(fake.asked)
    shop.locator("#more").click(force=True)
    shop.wait_for_timeout(50)
    assert len(fake.asked) == asked, "a step from a price that no longer stands was taken"
    slow.delay_s = 0
    shop.get_by_label("DL, 99 x 210 mm").check()
    priced(shop, A6 | {"size": "dl"}, 500)
    expect(shop.locator("#net")).to_have_css("font-style", "normal")


def test_a_spinner_only_past_150_ms(open_page, fake: FakeService) -> None:
    """The clock of the page is held, so that the bound is tested and not the machine."""
    page = open_page(fake.url, locale="en-IE")
    priced(page, A6, 500)
    page.clock.install()
    page.clock.pause_at(page.evaluate("Date.now()") + 1000)
    slow = fake.play(Trick(holds="size=a5", delay_s=1))
    page.get_by_label("A5, 148 x 210 mm").check()
    spinner = page.locator("#spinner")
    expect(page.locator("#renewing")).to_be_visible()
    page.clock.run_for(149)
    expect(spinner).to_be_hidden()
    page.clock.run_for(2)
    expect(spinner).to_be_visible()
    expect(spinner).to_have_text("Asking for the price")
    assert slow.delay_s == 1
    priced(page, A5, 500)
    expect(spinner).to_be_hidden()


def test_a_price_that_has_run_out_is_asked_anew(open_page, fake: FakeService) -> None:
    page = open_page(fake.url, locale="en-IE")
    priced(page, A6, 500)
    page.clock.install(time=datetime.fromisoformat(HELD_UNTIL) - timedelta(hours=1))
    page.get_by_label("A5, 148 x 210 mm").check()
    priced(page, A5, 500)
    fake.reset()
    page.clock.fast_forward("59:00")
    page.wait_for_timeout(50)
    assert fake.asked == []
    fake.play(Trick(status=503))
    page.clock.fast_forward("01:05")
    expect(page.locator("#trouble-text")).to_have_text(DOWN)
    no_price(page)


def test_an_answer_in_time_has_no_spinner(open_page, fake: FakeService) -> None:
    page = open_page(fake.url, locale="en-IE")
    priced(page, A6, 500)
    page.clock.install()
    page.clock.pause_at(page.evaluate("Date.now()") + 1000)
    page.get_by_label("A5, 148 x 210 mm").check()
    priced(page, A5, 500)
    page.clock.run_for(1000)
    expect(page.locator("#spinner")).to_be_hidden()


@pytest.mark.parametrize("trick", [Trick(drop=True), Trick(status=503), Trick(status=500)])
def test_a_service_that_is_down_and_back(shop: Page, fake: FakeService, trick: Trick) -> None:
    fake.play(trick)
    shop.get_by_label("A5, 148 x 210 mm").check()
    expect(shop.locator("#trouble-text")).to_have_text(DOWN)
    no_price(shop)
    expect(shop.get_by_label("A5, 148 x 210 mm")).to_be_checked()
    fake.reset()
    shop.get_by_role("button", name="Try again").click()
    priced(shop, A5, 500)
    expect(shop.locator("#trouble")).to_be_hidden()


def test_a_service_that_is_down_from_the_start(open_page, fake: FakeService) -> None:
    fake.play(Trick(drop=True))
    page = open_page(fake.url, "#flyer?size=a5&quantity=1000")
    expect(page.locator("#trouble-text")).to_have_text(DOWN)
    assert urlsplit(page.url).fragment == "flyer?size=a5&quantity=1000"
    fake.reset()
    page.get_by_role("button", name="Try again").click()
    priced(page, A5, 1000)


def test_half_an_answer_is_no_answer(shop: Page, fake: FakeService) -> None:
    """The options come, the prices do not: the price of the choice before is taken away."""
    fake.play(Trick(holds="/price?size=a5", status=502))
    shop.get_by_label("A5, 148 x 210 mm").check()
    expect(shop.locator("#trouble-text")).to_have_text(DOWN)
    no_price(shop)


def test_faults_stand_at_their_options(open_page, fake: FakeService) -> None:
    page = open_page(fake.url, "#flyer?stock=silk_130&film=gloss&quantity=250")
    for name in ("stock", "film"):
        expect(page.locator(f"#{name}-fault")).to_have_text(BECAUSE["en"])
    expect(page.locator("#size-fault")).to_be_hidden()
    paper = page.get_by_label("Paper")
    expect(paper).to_have_attribute("aria-invalid", "true")
    expect(paper).to_have_value("silk_130")
    expect(page.get_by_label("Gloss film")).to_be_checked()
    no_price(page)
    paper.select_option("silk_250")
    priced(page, A6 | {"stock": "silk_250", "film": "gloss"}, 250)
    expect(page.locator("#film-fault")).to_be_hidden()
    expect(paper).not_to_have_attribute("aria-invalid", "true")


def test_unknown_values_and_parameters_are_told(open_page, fake: FakeService) -> None:
    page = open_page(fake.url, "#flyer?stock=velvet&gilding=yes&quantity=9")
    expect(page.locator("#stock-fault")).to_contain_text("Expected one of silk_130,")
    expect(page.locator("#faults")).to_contain_text("gilding: There is size, stock, film.")
    expect(page.get_by_label("Paper").locator("option:checked")).to_have_text("Please choose")
    no_price(page)
    page.get_by_role("button", name="Start again").click()
    priced(page, A6, 500)
    expect(page.locator("#faults")).to_be_hidden()


def test_a_fault_of_the_quantity_stands_at_the_quantity(open_page, fake: FakeService) -> None:
    page = open_page(fake.url, "#flyer?quantity=9")
    expect(page.locator("#quantity-fault")).to_have_text("Expected 50 to 5,000.")
    no_price(page)


def test_a_product_that_is_not_sold(open_page, fake: FakeService) -> None:
    page = open_page(fake.url, "#umbrella")
    expect(page.locator("#trouble-text")).to_contain_text("There is no such product here.")
    page.get_by_role("link", name="Flyers").click()
    priced(page, A6, 500)


def test_a_busy_service_is_asked_again_when_it_says(shop: Page, fake: FakeService) -> None:
    fake.play(Trick(holds="size=a5", times=3, status=429, headers={"Retry-After": "1"}))
    started = time.monotonic()
    shop.get_by_label("A5, 148 x 210 mm").check()
    expect(shop.locator("#trouble-text")).to_have_text(
        "Too much was asked at once. Your choice is kept."
    )
    expect(shop.locator("#wait")).to_have_text("Asked again in 1 s.")
    no_price(shop)
    asked = len(fake.asked)
    # Another choice in the meantime does not go before the time that was named.
    shop.get_by_label("DL, 99 x 210 mm").check()
    shop.wait_for_timeout(200)
    assert len(fake.asked) == asked
    priced(shop, A6 | {"size": "dl"}, 500)
    assert time.monotonic() - started >= 1


def test_the_wait_is_read_in_both_its_forms(shop: Page) -> None:
    # RFC 9110, 10.2.3: a number of seconds, or a date of HTTP.
    waits = shop.evaluate(
        """async () => {
            const { waitOf } = await import("./service.js");
            const now = Date.UTC(1999, 11, 31, 23, 59, 29);
            return ["120", "0", "Fri, 31 Dec 1999 23:59:59 GMT", null, "soon"]
                .map((text) => waitOf(text, now));
        }"""
    )
    assert waits == [120, 1, 30, 5, 5]


def test_the_content_policy_says_what_it_forbids(open_page, complaints: list[str]) -> None:
    page = open_page("http://192.0.2.1:8000")
    expect(page.locator("#trouble-text")).to_contain_text("does not let it ask http://192.0.2.1:8000")
    assert complaints, "the browser did not stop it"
    complaints.clear()
