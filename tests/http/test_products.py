"""Products over HTTP: what is shown, what is priced, and what is refused."""

from __future__ import annotations

import json

import pytest

from catalogue_shop import Shop, comes
from shop import CLOCK, DEMO_FILE, demo
from sidelay.catalogue_file import catalogue_path, read_catalogue

PRODUCTS = read_catalogue(catalogue_path(DEMO_FILE), demo()).products
IDS = [product.id for product in PRODUCTS]
AT = "as_of=2026-11-24T09:00:00Z"


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> Shop:
    return Shop(tmp_path_factory.mktemp("shop"))


def faults_of(answer) -> dict[str, str]:
    assert answer.status_code == 422, answer.text
    assert answer.content_type == "application/problem+json"
    errors = answer.get_json()["errors"]
    assert all(error["pointer"] == "#" and error["detail"] for error in errors)
    return {error["parameter"]: error["code"] for error in errors}


def test_every_product_is_listed_and_shown(shop, conforms):
    listed = shop.get("/products").get_json()
    conforms("Products", listed)
    assert [each["id"] for each in listed["products"]] == IDS
    for each in listed["products"]:
        shown = shop.get(f"/products/{each['id']}").get_json()
        conforms("Product", shown)
        assert (shown["name"], shown["about"]) == (each["name"], each["about"])
        for option in shown["options"]:
            assert option["settled"] == option["default"]


def test_every_text_comes_in_every_language(shop):
    def words(path: str, **headers: str) -> str:
        answer = shop.get(path, **headers)
        assert answer.headers["Content-Language"] == answer.get_json()["language"]
        return answer.text

    for path in ("/products", *(f"/products/{name}" for name in IDS)):
        english, german = words(path), words(f"{path}?language=de")
        assert english != german
        assert words(path, Accept_Language="de-AT, de;q=0.9, en;q=0.1") == german
        assert words(path, Accept_Language="fr, *;q=0.1") == english
        assert words(f"{path}?language=DE", Accept_Language="en") == german


def test_what_does_not_go_with_the_chosen_is_told_with_its_reason(shop):
    shown = shop.get("/products/flyer?film=matt").get_json()
    stock = next(option for option in shown["options"] if option["id"] == "stock")
    legal = {value["id"] for value in stock["values"] if value["legal"]}
    heavy = {stock.id for stock in demo().stocks.values() if stock.grammage_gsm >= 170}
    assert legal == heavy & {value["id"] for value in stock["values"]}
    assert all("170 g/m2" in v["because"] for v in stock["values"] if not v["legal"])
    assert (stock["default"], stock["settled"]) == ("silk_130", "gloss_170")
    film = next(option for option in shown["options"] if option["id"] == "film")
    assert all(value["legal"] for value in film["values"])  # the stock is not chosen


def test_of_a_number_the_bounds_are_told(shop, conforms):
    shown = shop.get("/products/booklet?stock=silk_150").get_json()
    conforms("Product", shown)
    pages = next(option for option in shown["options"] if option["id"] == "pages")
    assert (pages["from"], pages["to"], pages["step"]) == (8, 64, 4)
    assert (pages["legal_from"], pages["legal_to"]) == (8, 48)
    assert "130 g/m2" in pages["because"]


@pytest.mark.parametrize("name", IDS)
def test_the_price_is_that_of_an_estimate_of_the_same_job(shop, name, conforms):
    """Price on the page, price at the till: the same to the cent, and ready at the same moment."""
    prices = shop.get(f"/products/{name}/price?{AT}").get_json()
    conforms("ProductPrices", prices)
    body = shop.get(f"/products/{name}/job").get_json() | {"as_of": "2026-11-24T09:00:00Z"}
    estimate = shop.client.post("/estimate", json=body).get_json()
    assert prices["job_fingerprint"] == estimate["job_fingerprint"]
    assert [row["quantity"] for row in prices["prices"]] == [
        offer["quantity"] for offer in estimate["estimates"]
    ]
    for row, offer in zip(prices["prices"], estimate["estimates"], strict=True):
        assert row["price"] == offer["price"]
        assert row["ready_at"] == offer["ready_at"]


@pytest.mark.parametrize("name", IDS)
def test_the_next_step_is_the_next_at_which_each_costs_less(shop, name):
    rows = shop.get(f"/products/{name}/price?{AT}").get_json()["prices"]
    for place, row in enumerate(rows):
        cheaper = [
            later
            for later in rows[place + 1 :]
            if float(later["price"]["net"]) / later["quantity"]
            < float(row["price"]["net"]) / row["quantity"]
        ]
        step = row["next_step"]
        if not cheaper:
            assert step is None
            continue
        assert step["quantity"] == cheaper[0]["quantity"]
        assert step["net"] == cheaper[0]["price"]["net"]
        assert step["per_piece"] == cheaper[0]["price"]["per_piece"]
        more = round(100 * (float(step["net"]) - float(row["price"]["net"])))
        assert step["more"] == f"{more // 100}.{more % 100:02d}"


def test_one_quantity_has_the_row_of_the_ladder(shop):
    ladder = shop.get(f"/products/flyer/price?{AT}").get_json()["prices"]
    for row in ladder:
        one = shop.get(f"/products/flyer/price?{AT}&quantity={row['quantity']}").get_json()
        assert one["prices"] == [row]
    between = shop.get(f"/products/flyer/price?{AT}&quantity=612").get_json()["prices"][0]
    assert between["next_step"]["quantity"] == 1000


def test_a_choice_that_no_press_can_make_is_an_answer_with_reasons(tmp_path):
    shop = Shop(tmp_path)
    shop.change('default = "a1"', 'default = "a1"  # ', catalogue=True)
    shop.change('"/parts/0/size" = "a0"', '"/parts/0/size" = {width = 4000, height = 6000}',
                catalogue=True)
    answer = shop.get("/products/poster/price?size=a0")
    assert answer.status_code == 200
    told = answer.get_json()
    assert told["prices"] == []
    assert told["refusals"]
    assert all(each["message"] for each in told["refusals"])


def test_a_number_that_makes_no_job_is_an_answer_with_the_reason(tmp_path):
    """Between the numbers that are tried at the start there can be one that makes no job."""
    shop = Shop(tmp_path)
    shop.change("from = 8\nto = 64\nstep = 4", "from = 8\nto = 64\nstep = 1", catalogue=True)
    told = shop.get("/products/booklet/price?pages=9").get_json()
    assert (told["prices"], told["job_fingerprint"]) == ([], None)
    assert "even number" in told["refusals"][0]["message"]


def test_choices_that_make_no_job_together_are_refused_with_the_reason(tmp_path):
    """Each goes with the defaults, which is what is tried at the start; the two do not."""
    shop = Shop(tmp_path)
    shop.change('default = "a6"', 'default = "dl"', catalogue=True)
    shop.change('put = {"/rush" = true}', 'put = {"/parts/0/size/width" = 90}', catalogue=True)
    assert shop.get("/products/flyer/price?turn=rush").get_json()["prices"]
    told = shop.get("/products/flyer/price?size=a6&turn=rush").get_json()
    assert told["prices"] == []
    assert "make no job together" in told["refusals"][0]["message"]
    refused = shop.get("/products/flyer/job?size=a6&turn=rush")
    assert refused.status_code == 422
    assert refused.get_json()["errors"][0]["code"] == "options_conflict"
    one = "stock=silk_130&front=black&back=blank&film=none&corners=square&quantity=100"
    rows = shop.get(f"/products/flyer/price-list?size=a6,dl&turn=rush&{one}").get_json()["rows"]
    assert [row["net"] is None for row in rows] == [True, False]


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("size=a9", {"size": "unknown_value"}),
        ("sise=a6", {"sise": "unknown_parameter"}),
        ("size=a6&size=a5", {"size": "parameter_twice"}),
        ("size=", {"size": "unknown_value"}),
        ("film=matt&stock=silk_130", {"film": "options_conflict", "stock": "options_conflict"}),
        ("quantity=49", {"quantity": "out_of_range"}),
        ("quantity=20001", {"quantity": "out_of_range"}),
        ("quantity=0", {"quantity": "out_of_range"}),
        ("quantity=-5", {"quantity": "not_an_integer"}),
        ("quantity=5e2", {"quantity": "not_an_integer"}),
        ("quantity=500.0", {"quantity": "not_an_integer"}),
        ("quantity=%D9%A5%D9%A0%D9%A0", {"quantity": "not_an_integer"}),
        ("quantity=" + "9" * 400, {"quantity": "not_an_integer"}),
        ("quantity=500&quantity=500", {"quantity": "parameter_twice"}),
        ("language=fr", {"language": "unknown_language"}),
        ("as_of=yesterday", {"as_of": "not_a_date_time"}),
        ("as_of=2026-11-24T09:00:00", {"as_of": "no_offset"}),
        ("as_of=1999-11-24T09:00:00Z", {"as_of": "out_of_range"}),
        ("size=a9&quantity=1&x=1", {"size": "unknown_value", "quantity": "out_of_range",
                                    "x": "unknown_parameter"}),
    ],
)  # fmt: skip
@pytest.mark.parametrize("what", ["price", "job"])
def test_a_bad_query_is_refused_with_every_fault(shop, what, query, expected):
    assert faults_of(shop.get(f"/products/flyer/{what}?{query}")) == expected


def test_faults_of_a_conflict_are_told_in_the_language_asked(shop):
    answer = shop.get("/products/flyer/price?film=matt&stock=silk_130&language=de")
    assert answer.get_json()["errors"][0]["detail"].startswith("Folie rollt")


def test_a_number_is_one_of_the_steps(shop):
    for text, code in {"9": "out_of_range", "68": "out_of_range", "4": "out_of_range",
                       "16.0": "not_an_integer"}.items():
        assert faults_of(shop.get(f"/products/booklet/price?pages={text}")) == {"pages": code}


def test_an_option_without_a_default_has_to_be_chosen(tmp_path):
    shop = Shop(tmp_path)
    shop.change('default = "a6"\n', "", catalogue=True)
    shown = shop.get("/products/flyer").get_json()["options"][0]
    assert (shown["default"], shown["chosen"], shown["settled"]) == (None, None, None)
    assert faults_of(shop.get("/products/flyer/price")) == {"size": "required"}
    assert shop.get("/products/flyer/price?size=a5").status_code == 200


def test_a_ladder_without_quantities_between(tmp_path):
    shop = Shop(tmp_path)
    shop.change("between = true", "between = false", catalogue=True)
    assert faults_of(shop.get("/products/flyer/price?quantity=600")) == {
        "quantity": "unknown_value"
    }
    assert shop.get("/products/flyer/price?quantity=500").status_code == 200


def test_a_product_that_is_not_there(shop):
    for what in ("", "/price", "/price-list", "/job"):
        answer = shop.get(f"/products/nothing{what}")
        assert answer.status_code == 404
        assert "flyer" in answer.get_json()["detail"]


def test_a_plant_without_a_catalogue_sells_nothing_by_choice(tmp_path):
    shop = Shop(tmp_path)
    catalogue_path(tmp_path / "demo.toml").unlink()
    shop.restart()
    assert shop.get("/products").get_json() == {
        "language": "en", "languages": ["en"], "products": [],
    }  # fmt: skip
    assert shop.get("/products/flyer").status_code == 404


def test_customer_groups_have_prices_of_their_own(tmp_path, monkeypatch):
    shop = Shop(tmp_path)

    def net_of(group: str) -> tuple[str, str]:
        comes(monkeypatch, "price", group=group)
        answer = shop.get(f"/products/booklet/price?quantity=500&{AT}")
        return answer.get_json()["prices"][0]["price"]["net"], answer.headers["ETag"]

    (everyone, first), (trade, second) = net_of(""), net_of("trade")
    assert float(trade) < float(everyone)
    assert first != second
    assert net_of("no such group")[0] == everyone


def test_the_answer_does_not_hang_on_the_order_of_the_query(shop):
    one = shop.get("/products/flyer/price?size=a5&quantity=500")
    other = shop.get("/products/flyer/price?quantity=500&size=a5")
    assert one.data == other.data
    assert one.headers["ETag"] == other.headers["ETag"]


def test_dates_are_reckoned_from_the_last_full_step_of_the_clock(shop):
    shop.now = CLOCK + 14 * 60 + 59
    assert shop.get("/products/poster/price").get_json()["clock"] == {
        "as_of": "2026-11-24T09:00:00+00:00", "given": False, "time_zone": "Europe/Dublin",
    }  # fmt: skip
    shop.now = CLOCK + 15 * 60
    told = shop.get("/products/poster/price").get_json()["clock"]["as_of"]
    assert told == "2026-11-24T09:15:00+00:00"
    shop.now = CLOCK


def test_the_job_is_shown_as_a_request_that_validates(shop):
    body = shop.get("/products/booklet/job?pages=24&quantity=500").get_json()
    assert body["job"]["quantities"] == [500]
    assert body["job"]["parts"][0]["pages"] == 24
    assert json.dumps(body)
    assert shop.client.post("/validate", json=body).status_code == 200
