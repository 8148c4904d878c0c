"""What tests of the page look at: a price that stands, and no price at all."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from browser.fake_service import net_of

DOWN = "Prices cannot be shown just now. Your choice is kept; try again."
RENEWED = "Earlier price; being renewed."
# Choices of the flyer of the stand-in: what is settled where nothing is chosen, and another size.
A6 = {"size": "a6", "stock": "silk_130", "film": "none"}
A5 = A6 | {"size": "a5"}


def euros(amount: object) -> str:
    return f"€{amount:,}"


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
