"""The sample storefront in a real browser: what it asks, what it shows, and what it never shows."""

from __future__ import annotations

import json
import re
import time
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Page, expect

from browser.fake_service import BECAUSE, LADDER, FakeService, Trick, net_of

DOWN = "Prices cannot be shown just now. Your choice is kept; try again."
RENEWED = "Earlier price; being renewed."
A6 = {"size": "a6", "stock": "silk_130", "film": "none"}
A5 = A6 | {"size": "a5"}


def euros(amount: object) -> str:
    return f"€{amount:,}"


@pytest.fixture
def shop(open_page, fake: FakeService) -> Page:
    """The page with a price of 500 A6 flyers."""
    page: Page = open_page(fake.url)
    expect(page.locator("#net")).to_have_text(f"{euros(net_of('flyer', A6, 500))} for 500")
    return page


def priced(page: Page, settled: dict[str, str], quantity: int) -> None:
    """Wait for the price of a choice of flyers, shown as one that stands."""
    told = f"{euros(net_of('flyer', settled, quantity))} for {quantity:,}"
    expect(page.locator("#net")).to_have_text(told)
    expect(page.locator("#renewing")).to_be_hidden()
    expect(page.locator("#put")).to_have_attribute("aria-disabled", "false")


def no_price(page: Page) -> None:
    """See that nothing on the page can be taken for a price that stands."""
    for place in ("#net", "#each", "#ready", "#same", "#held"):
        expect(page.locator(place)).to_be_empty()
    expect(page.locator("#more")).to_be_hidden()
    expect(page.locator("#ladder")).to_be_hidden()
    expect(page.locator("#put")).to_have_attribute("aria-disabled", "true")
    assert "€" not in page.locator("main").inner_text()


# ---------------------------------------------------------------- choosing


def test_another_value_has_another_price(shop: Page) -> None:
    priced(shop, A6, 500)
    shop.get_by_label("A5, 148 x 210 mm").check()
    priced(shop, A5, 500)
    shop.get_by_label("Paper").select_option("silk_350")
    priced(shop, A5 | {"stock": "silk_350"}, 500)
    shop.get_by_role("combobox", name="Quantity").select_option("1000")
    priced(shop, A5 | {"stock": "silk_350"}, 1000)


def test_what_is_shown_of_a_price(shop: Page) -> None:
    shown = shop.locator("#price").inner_text()
    assert "€31.00 for 500" in shown
    assert "€0.0620 each" in shown
    # 11:00 UTC in November is 11:00 in the shop's zone too; the zone is told.
    assert "Ready Thursday 26 November at 11:00 GMT" in shown
    assert "All prices are net of tax." in shown
    assert "An estimate until the shop confirms it." in shown
    assert "Held for you until Sunday 29 November at 11:00 GMT." in shown


def test_a_value_that_does_not_go_says_why(shop: Page) -> None:
    shop.get_by_label("Paper").select_option("silk_150")
    film = shop.get_by_role("radio", name="Gloss film")
    expect(film).to_be_disabled()
    expect(film).to_have_accessible_description(BECAUSE["en"])
    expect(shop.locator("#field-film")).to_contain_text(BECAUSE["en"])
    shop.get_by_label("Paper").select_option("silk_250")
    expect(film).to_be_enabled()
    expect(film).to_have_accessible_description("")


def test_what_was_not_chosen_gives_way_and_says_so(shop: Page) -> None:
    shop.get_by_label("Gloss film").check()
    priced(shop, A6 | {"film": "gloss", "stock": "gloss_170"}, 500)
    paper = shop.get_by_label("Paper")
    expect(paper).to_have_value("gloss_170")
    expect(shop.locator("#note-stock")).to_have_text(
        "Now Coated gloss 170 g/m2, to go with what else you chose."
    )
    thin = paper.locator("option[value=silk_130]")
    expect(thin).to_be_disabled()
    expect(thin).to_have_text(f"Coated silk 130 g/m2 ({BECAUSE['en']})")
    expect(paper).to_have_accessible_description(re.compile(re.escape(BECAUSE["en"])))


def test_numbers_have_bounds_that_follow_the_choice(open_page, fake: FakeService) -> None:
    page = open_page(fake.url, "#booklet")
    pages = page.get_by_label("Pages")
    expect(pages).to_have_attribute("max", "64")
    page.get_by_label("Gloss film").check()
    expect(pages).to_have_attribute("max", "48")
    expect(page.locator("#hint-pages")).to_contain_text("Film holds at most 48 pages.")
    assert [pages.get_attribute(name) for name in ("type", "min", "step")] == ["number", "8", "4"]
    pages.fill("30")
    expect(page.locator("#pages-fault")).to_have_text(
        "Give a whole number, 8 to 48, in steps of 4."
    )
    no_price(page)
    pages.fill("32")
    told = euros(net_of("booklet", {"pages": "32", "film": "gloss"}, 500))
    expect(page.locator("#net")).to_have_text(f"{told} for 500")
    expect(page.locator("#pages-fault")).to_be_hidden()


def test_an_option_without_a_default_has_to_be_chosen(open_page, fake: FakeService) -> None:
    page = open_page(fake.url, "#coaster")
    expect(page.locator("#trouble")).to_contain_text("Choose Board to see the price.")
    no_price(page)
    page.get_by_label("Grey board").check()
    told = euros(net_of("coaster", {"board": "grey"}, 500))
    expect(page.locator("#net")).to_have_text(f"{told} for 500")
    # Nothing between the quantities of the ladder is sold of these.
    assert page.get_by_role("combobox", name="Quantity").locator("option").count() == len(LADDER)


def test_what_no_press_can_make_is_refused_with_a_remedy(shop: Page) -> None:
    shop.get_by_label("Gloss film").check()
    shop.get_by_label("DL, 99 x 210 mm").check()
    expect(shop.locator("#refusals")).to_contain_text("No press takes film of this size.")
    expect(shop.locator("#refusals")).to_contain_text("Choose A5, or no film.")
    no_price(shop)


def test_the_next_step_is_a_click_away(shop: Page) -> None:
    more = shop.locator("#more")
    expect(more).to_have_text("500 more for €11.00: €0.0420 each")
    more.click()
    priced(shop, A6, 1000)
    expect(shop.get_by_role("combobox", name="Quantity")).to_have_value("1000")


def test_the_ladder_marks_the_row_of_the_choice(shop: Page) -> None:
    rows = shop.locator("#ladder tbody tr")
    expect(rows).to_have_count(len(LADDER))
    for place, quantity in enumerate(LADDER):
        expect(rows.nth(place)).to_contain_text(f"{euros(net_of('flyer', A6, quantity))}")
    marked = shop.locator("#ladder tr[aria-current=true]")
    expect(marked).to_have_count(1)
    expect(marked).to_have_text(re.compile(r"your choice\s*500\s*€31.00\s*€0.0620"))


def test_a_quantity_between_those_of_the_ladder(shop: Page) -> None:
    shop.get_by_role("combobox", name="Quantity").select_option("Another quantity")
    free = shop.get_by_label("Number of copies")
    expect(free).to_be_focused()
    free.fill("640")
    priced(shop, A6, 640)
    expect(shop.locator("#ladder tbody tr")).to_have_count(len(LADDER) + 1)
    expect(shop.locator("#ladder tr[aria-current=true]")).to_contain_text("640")
    # While it is typed, a quantity may come past one of the ladder.
    free.fill("1000")
    priced(shop, A6, 1000)
    expect(free).to_be_visible()
    free.fill("20")
    expect(shop.locator("#quantity-fault")).to_have_text("Give a whole number, 50 to 5,000.")
    no_price(shop)


def test_another_language(shop: Page) -> None:
    shop.get_by_label("A5, 148 x 210 mm").check()
    shop.get_by_label("Language").select_option("de")
    expect(shop.get_by_role("heading", level=1)).to_have_text("Flyer")
    expect(shop.locator("html")).to_have_attribute("lang", "de")
    expect(shop.locator("#price-heading")).to_have_text("Preis")
    net = f"{net_of('flyer', A5, 500)}".replace(".", ",")
    expect(shop.locator("#net")).to_have_text(re.compile(rf"{net}\s€ für 500"))
    expect(shop.get_by_label("Papier")).to_have_value("silk_130")
    expect(shop.locator("#ready")).to_contain_text("Donnerstag, 26. November")


def test_the_address_keeps_the_choice(shop: Page, fake: FakeService) -> None:
    shop.get_by_label("A5, 148 x 210 mm").check()
    shop.get_by_role("combobox", name="Quantity").select_option("1000")
    priced(shop, A5, 1000)
    fragment = urlsplit(shop.url).fragment
    assert fragment == "flyer?size=a5&quantity=1000"
    shop.reload()
    priced(shop, A5, 1000)
    shop.get_by_role("link", name="Booklets").click()
    expect(shop.get_by_role("heading", level=1)).to_have_text("Booklets")
    shop.go_back()
    expect(shop.get_by_role("heading", level=1)).to_have_text("Flyers")
    priced(shop, A5, 1000)


def test_starting_again_forgets_the_choice(shop: Page) -> None:
    shop.get_by_label("A5, 148 x 210 mm").check()
    priced(shop, A5, 500)
    shop.get_by_role("button", name="Start again").click()
    priced(shop, A6, 500)
    expect(shop.get_by_label("A6, 105 x 148 mm")).to_be_checked()


def test_only_an_address_of_the_web_is_taken_for_the_service(open_page, fake) -> None:
    page = open_page("javascript:alert(1)")
    # Nothing answers at the address of the meta element, or something that is not meant.
    page.wait_for_load_state()
    assert page.evaluate(
        """async () => {
            const { serviceAddress } = await import("./service.js");
            const at = (text) => serviceAddress(document, new URLSearchParams({ service: text }));
            return ["javascript:alert(1)", "data:,x", "no", "https://a.test/x/", "http://a.test"].map(at);
        }"""
    ) == ["http://127.0.0.1:8000"] * 3 + ["https://a.test/x", "http://a.test"]


# ---------------------------------------------------------------- late answers


def test_a_late_answer_never_overwrites_a_newer_one(shop: Page, fake: FakeService) -> None:
    slow = fake.play(Trick(holds="size=a5", delay_s=0.6))
    shop.get_by_label("A5, 148 x 210 mm").check()
    shop.wait_for_function("performance.getEntriesByType('resource').length > 0")
    started = time.monotonic()
    shop.get_by_label("DL, 99 x 210 mm").check()
    newer = A6 | {"size": "dl"}
    priced(shop, newer, 500)
    assert time.monotonic() - started < slow.delay_s, "the newer answer came after the late one"
    assert any("size=a5" in address for address in fake.asked)
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


def test_an_answer_in_time_has_no_spinner(open_page, fake: FakeService) -> None:
    page = open_page(fake.url, locale="en-IE")
    priced(page, A6, 500)
    page.clock.install()
    page.clock.pause_at(page.evaluate("Date.now()") + 1000)
    page.get_by_label("A5, 148 x 210 mm").check()
    priced(page, A5, 500)
    page.clock.run_for(1000)
    expect(page.locator("#spinner")).to_be_hidden()


# ---------------------------------------------------------------- trouble


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


# ---------------------------------------------------------------- basket


def test_the_basket_keeps_what_a_till_needs(shop: Page, fake: FakeService) -> None:
    shop.get_by_label("A5, 148 x 210 mm").check()
    priced(shop, A5, 500)
    shop.get_by_role("button", name="Put in basket").click()
    # What is chosen afterwards does not change what is in the basket.
    shop.get_by_role("combobox", name="Quantity").select_option("1000")
    priced(shop, A5, 1000)
    item = shop.locator("#basket li")
    expect(item).to_contain_text("500 × Flyers")
    expect(item).to_contain_text(f"{euros(net_of('flyer', A5, 500))} net of tax")
    expect(item).to_contain_text("Size: A5, 148 x 210 mm · Paper: Coated silk 130 g/m2")
    expect(item).to_contain_text("An estimate until the shop confirms it.")
    item.get_by_text("What the till would post").click()
    head, body = item.locator("pre").inner_text().split("\n\n")
    assert head.splitlines()[0] == f"POST {fake.url}/quotes/check"
    assert json.loads(body) == {"token": "made-up.flyer.500.a5.silk_130.none"}
    item.get_by_role("button", name="Take out: 500 × Flyers").click()
    expect(item).to_have_count(0)
    expect(shop.locator("#basket-said")).to_be_focused()


def test_nothing_is_asked_twice_in_vain(shop: Page, fake: FakeService) -> None:
    """A quantity of the ladder is two questions, one beside it three; the range is kept."""
    fake.reset()
    shop.get_by_role("combobox", name="Quantity").select_option("1000")
    priced(shop, A6, 1000)
    assert [urlsplit(address).path for address in sorted(fake.asked)] == [
        "/products/flyer",
        "/products/flyer/price",
    ]
    assert all("quantity" not in parse_qs(urlsplit(address).query) for address in fake.asked)


# ---------------------------------------------------------------- for everyone


def test_from_page_load_to_basket_by_keyboard_alone(shop: Page) -> None:
    def tab_to(identity: str) -> None:
        for _ in range(30):
            shop.keyboard.press("Tab")
            if shop.evaluate("document.activeElement.id") == identity:
                break
        else:
            pytest.fail(f"{identity} cannot be reached by the Tab key")
        outline = shop.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline == "solid", f"the focus on {identity} cannot be seen"

    tab_to("option-size-a6")
    shop.keyboard.press("ArrowDown")
    priced(shop, A5, 500)
    assert shop.evaluate("document.activeElement.id") == "option-size-a5", "the focus was lost"
    tab_to("option-stock")
    shop.keyboard.press("End")
    heavy = A5 | {"stock": "silk_350"}
    priced(shop, heavy, 500)
    tab_to("quantity")
    shop.keyboard.press("End")
    expect(shop.get_by_label("Number of copies")).to_be_focused()
    shop.keyboard.type("700")
    priced(shop, heavy, 700)
    tab_to("more")
    shop.keyboard.press("Enter")
    priced(shop, heavy, 1000)
    tab_to("put")
    shop.keyboard.press("Space")
    expect(shop.locator("#basket li")).to_contain_text("1,000 × Flyers")


def test_roles_and_names(shop: Page) -> None:
    figures = shop.locator("#figures")
    expect(figures).to_have_attribute("aria-live", "polite")
    expect(figures).to_have_role("status")
    expect(shop.get_by_role("navigation", name="What we print")).to_be_visible()
    expect(shop.get_by_role("link", name="Flyers")).to_have_attribute("aria-current", "page")
    expect(shop.get_by_role("group", name="Size").get_by_role("radio")).to_have_count(3)
    expect(shop.get_by_role("table", name="Prices of other quantities")).to_be_visible()
    for control in shop.locator("input, select, button").all():
        if control.is_visible():
            expect(control).to_have_accessible_name(re.compile(r"\w"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_it_fits_the_screen(
    open_page, fake: FakeService, tmp_path: Path, width: int, scheme: str
) -> None:
    page = open_page(fake.url, "#flyer?film=gloss", width=width, color_scheme=scheme)
    dear = A6 | {"stock": "gloss_170", "film": "gloss"}
    priced(page, dear, 500)
    page.locator("#put").click()
    page.get_by_text("What the till would post").click()
    fits(page, tmp_path / f"priced-{width}-{scheme}.png")
    readable(page)
    fake.play(Trick(holds="size=a5", delay_s=5))
    page.get_by_label("A5, 148 x 210 mm").check()
    expect(page.locator("#spinner")).to_be_visible()
    fits(page, tmp_path / f"renewing-{width}-{scheme}.png")
    readable(page)
    fake.reset()
    fake.play(Trick(status=503))
    page.get_by_label("DL, 99 x 210 mm").check()
    expect(page.locator("#trouble")).to_be_visible()
    fits(page, tmp_path / f"down-{width}-{scheme}.png")
    readable(page)
    fake.reset()
    page.evaluate("location.hash = 'flyer?stock=silk_130&film=gloss&quantity=9'")
    expect(page.locator("#film-fault")).to_be_visible()
    fits(page, tmp_path / f"faults-{width}-{scheme}.png")
    readable(page)


def test_a_narrow_screen_has_the_price_at_hand(open_page, fake: FakeService) -> None:
    page = open_page(fake.url, width=360, height=640)
    priced(page, A6, 500)
    bar = page.locator("#bar")
    page.get_by_label("A5, 148 x 210 mm").scroll_into_view_if_needed()
    expect(page.locator("#net")).not_to_be_in_viewport()
    expect(bar).to_be_in_viewport()
    expect(bar).to_have_text("€31.00 for 500")
    slow = fake.play(Trick(holds="size=a5", delay_s=5))
    page.get_by_label("A5, 148 x 210 mm").check()
    expect(bar).to_have_text("€31.00 for 500 being renewed")
    slow.holds, slow.delay_s, slow.status = "size=dl", 0, 503
    page.get_by_label("DL, 99 x 210 mm").check()
    expect(bar).to_have_text(DOWN)


def fits(page: Page, picture: Path) -> None:
    """See that nothing has to be scrolled sideways, and keep a picture."""
    page.screenshot(path=picture, full_page=True)
    wide, room = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide <= room


# The contrast of every text with what it stands on: WCAG 2.2, 1.4.3, by its formulas of relative
# luminance and contrast ratio; large is 24 px, or 18.66 px where bold. What does nothing now is
# exempt there, but not here.
CONTRASTS = """() => {
    const channel = (c) => (c /= 255) <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
    const rgb = (text) => text.match(/[\\d.]+/g).map(Number);
    const light = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
    const ground = (at) => {
        for (; at; at = at.parentElement) {
            const color = rgb(getComputedStyle(at).backgroundColor);
            if (color[3] !== 0) return color;
        }
        return rgb(getComputedStyle(document.body).backgroundColor);
    };
    const poor = [];
    let count = 0;
    for (const at of document.body.querySelectorAll("*")) {
        const own = [...at.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
        if (!own || !at.checkVisibility() || at.closest("option, noscript, script")) continue;
        const style = getComputedStyle(at);
        const [one, two] = [light(rgb(style.color)), light(ground(at))].sort((a, b) => b - a);
        const size = parseFloat(style.fontSize);
        const large = size >= 24 || (size >= 18.66 && style.fontWeight >= 700);
        count += 1;
        if ((one + 0.05) / (two + 0.05) < (large ? 3 : 4.5)) poor.push(at.outerHTML);
    }
    return { count, poor };
}"""


def readable(page: Page) -> None:
    found = page.evaluate(CONTRASTS)
    assert found["poor"] == []
    assert found["count"] > 20, "the texts were not found"


def test_nothing_moves_for_who_wants_no_motion(open_page, fake: FakeService) -> None:
    for motion, name in (("reduce", "none"), ("no-preference", "turn")):
        page = open_page(fake.url, reduced_motion=motion)
        priced(page, A6, 500)
        moving = "getComputedStyle(document.querySelector('#spinner'), '::before').animationName"
        page.evaluate("document.querySelector('#spinner').hidden = false")
        assert page.evaluate(moving) == name


def test_nothing_inline_can_run(shop: Page, complaints: list[str]) -> None:
    """The content policy holds: a script that came into the page in some way does not run."""
    forbidden = shop.evaluate(
        """() => new Promise((found) => {
            const tell = (event) => found(event.effectiveDirective);
            document.addEventListener("securitypolicyviolation", tell);
            const script = document.createElement("script");
            script.textContent = "globalThis.ran = true";
            document.body.append(script);
        })"""
    )
    assert forbidden == "script-src-elem"
    assert shop.evaluate("globalThis.ran") is None
    assert len(complaints) == 1
    complaints.clear()
