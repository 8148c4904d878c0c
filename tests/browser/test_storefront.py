"""The sample storefront: what is chosen, what it costs, and what goes into the basket."""

from __future__ import annotations

import json
import re
from urllib.parse import parse_qs, urlsplit

from playwright.sync_api import Page, expect

from browser.fake_service import BECAUSE, LADDER, FakeService, net_of
from browser.looking import A5, A6, euros, no_price, priced


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
    expect(free).to_have_value("500")
    free.fill("640")
    priced(shop, A6, 640)
    expect(shop.locator("#ladder tbody tr")).to_have_count(len(LADDER) + 1)
    expect(shop.locator("#ladder tr[aria-current=true]")).to_contain_text("640")
    # While it is typed, a quantity may come past one of the ladder.
    free.fill("1000")
    priced(shop, A6, 1000)
    free.blur()
    shop.get_by_label("A5, 148 x 210 mm").check()
    priced(shop, A5, 1000)
    expect(free).to_be_visible()
    free.fill("20")
    expect(shop.locator("#quantity-fault")).to_have_text("Give a whole number, 50 to 5,000.")
    no_price(shop)
    free.fill("640")
    shop.locator("#more").click()
    priced(shop, A5, 1000)
    expect(free).to_be_hidden()
    expect(shop.get_by_role("combobox", name="Quantity")).to_have_value("1000")


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
    shop.get_by_label("DL, 99 x 210 mm").check()
    priced(shop, A6 | {"size": "dl"}, 1000)
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
