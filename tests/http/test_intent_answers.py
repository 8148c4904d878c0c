"""Answers as XJDF and as a quotation: what they tell, in what shape, and to whom."""

from __future__ import annotations

import copy
import json
import os
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

import xjdf_documents
from catalogue_shop import KEYS
from cost_watch import cost_names
from intent_samples import AS_OF, PTK, XJDF, intent, leaflet, product, request, resources
from shop import DEMO_FILE, EXAMPLES, clock, processes
from sidelay.config import Settings
from sidelay.http.app import create_app
from sidelay.http.intent_production import duration_text
from sidelay.http.number_text import number, writable
from sidelay.http.render import to_json
from sidelay.http.service import QUOTE_VALID_H
from sidelay.toml_file import revision_of

SCHEMA = "SIDELAY_TEST_XJDF_SCHEMA"
ISO_DURATION = re.compile(r"PT(?=.)(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?")
# Bound, with a cover and a slip: on plates, and without.
BOOK = json.loads((EXAMPLES / "programme_with_insert.json").read_bytes())
# Larger than any press of the demo plant takes.
POSTER = json.loads((EXAMPLES / "oversize_poster.json").read_bytes())


def ask(client: FlaskClient, path: str, body: Any, accept: str) -> Any:
    """Post a request, and return the JSON of its answer in the type asked for."""
    answer = client.post(path, json=body, headers={"Accept": accept})
    assert answer.status_code == 200, answer.text
    assert answer.content_type == accept
    assert "Accept" in answer.vary
    return answer.get_json(force=True)


def exact(client: FlaskClient, path: str, body: Any) -> Any:
    """A quotation with its figures as they are written."""
    answer = client.post(path, json=body, headers={"Accept": PTK})
    return json.loads(answer.data, parse_float=lambda text: text, parse_int=lambda text: text)


def alone(body: dict[str, Any]) -> dict[str, Any]:
    """A request for its first quantity alone."""
    job = body["job"]
    return body | {"job": job | {"quantities": job["quantities"][:1]}}


def process_of(one: dict[str, Any]) -> str | None:
    """The process that a product of a document is made by; None where it tells none."""
    found = (each[each["Name"]] for each in one["Intent"] if each["Name"] == "ProductionIntent")
    return next((each.get("PrintProcess") for each in found), None)


def seconds(text: str) -> int:
    """A duration as ISO 8601 writes it, in hours, minutes and seconds."""
    found = ISO_DURATION.fullmatch(text)
    assert found, text
    hours, minutes, rest = (int(each or 0) for each in found.groups())
    return 3600 * hours + 60 * minutes + rest


# ---------------------------------------------------------------- the product, its production


def test_the_document_sent_comes_back_with_its_production(client: FlaskClient) -> None:
    sent = request()
    told = ask(client, "/estimate", sent, XJDF)
    best = client.post("/estimate", json=sent).get_json()["estimates"][0]
    part, token = best["parts"][0], processes().about[best["process"]].standard_token
    assert intent(told, "ProductionIntent") == {
        "PrintPreference": "CostEffective",
        "PrintProcess": token,
    }
    for name in ("LayoutIntent", "MediaIntent", "ColorIntent", "FoldingIntent"):
        assert intent(told, name) == intent(sent["xjdf"], name)
    assert {name: told[name] for name in ("Name", "JobID", "Version")} == {
        name: sent["xjdf"][name] for name in ("Name", "JobID", "Version")
    }
    assert resources(told, "CustomerInfo") == resources(sent["xjdf"], "CustomerInfo")
    assert resources(told, "DeliveryParams") == resources(sent["xjdf"], "DeliveryParams")
    (component,) = resources(told, "Component")
    sheets = part["sheets"]
    assert component["AmountPool"]["PartAmount"] == [
        {"Amount": sheets["good"], "Waste": sheets["total"] - sheets["good"]}
    ]
    (media,) = resources(told, "Media")
    assert media["ExternalID"] == part["stock"]["id"]
    assert media["Media"]["Weight"] == part["stock"]["grammage_gsm"]
    assert media["AmountPool"]["PartAmount"] == [{"Amount": sheets["parents"]}]
    (node,) = resources(told, "NodeInfo")
    assert node["NodeInfo"]["End"] == best["ready_at"]
    times = {name: seconds(text) for name, text in node["NodeInfo"].items() if "Dur" in name}
    assert times["TotalDuration"] == pytest.approx(3600 * best["parts"][0]["hours"], abs=10)
    assert times["SetupDuration"] == pytest.approx(60 * part["run"]["make_ready_min"], abs=5)
    assert times["CleanupDuration"] == pytest.approx(60 * part["run"]["wash_up_min"], abs=5)


@pytest.mark.parametrize(
    ("press", "kind", "style"),
    [
        ("sheetfed_litho", "ConventionalPrinting", True),
        ("toner", "DigitalPrinting", False),
    ],
)
def test_a_press_with_plates_has_a_work_style(
    client: FlaskClient, press: str, kind: str, *, style: bool
) -> None:
    body = request(processes=[press])
    told = ask(client, "/estimate", body, XJDF)
    layout = client.post("/estimate", json=body).get_json()["estimates"][0]["parts"][0]["layout"]
    assert told["Types"] == ["Product", kind]
    found = resources(told, "ConventionalPrintingParams")
    assert bool(found) == style == bool(layout["forms"])
    styles = {
        "perfecting": "Perfecting",
        "one_side": "Simplex",
        "sheetwise": "WorkAndBack",
        "work_and_turn": "WorkAndTurn",
        "work_and_tumble": "WorkAndTumble",
    }
    for each in found:
        wanted = {"WorkStyle": styles[layout["work_style"]]}
        assert each["ConventionalPrintingParams"] == wanted


def test_the_document_is_the_same_sent_whole_but_for_where_its_comments_point(
    client: FlaskClient,
) -> None:
    """Without as_of the clock is the service's, here that of the tests."""
    headers = {"Accept": XJDF}
    whole = client.post(
        "/estimate", data=json.dumps(leaflet()), content_type=XJDF, headers=headers
    ).get_json(force=True)
    member = client.post("/estimate", json={"xjdf": leaflet()}, headers=headers).get_json(
        force=True
    )
    comments = [[each["Text"] for each in one.pop("Comment")] for one in (whole, member)]
    assert whole == member
    assert comments[1] == [f"#/xjdf{text[1:]}" for text in comments[0]]


def test_what_is_answered_can_be_asked_again(client: FlaskClient) -> None:
    """A document with its production is read as the job that was priced, at its price."""
    body = request()
    told = ask(client, "/estimate", body, XJDF)
    first, again = (
        client.post("/validate", json={"xjdf": each, "as_of": AS_OF}).get_json()["job"]
        for each in (body["xjdf"], told)
    )
    assert first == again
    prices = [
        client.post("/estimate", json={"xjdf": each, "as_of": AS_OF}).get_json()["estimates"][0]
        for each in (body["xjdf"], told)
    ]
    assert prices[0] == prices[1]


def test_a_due_date_told_as_the_end_of_work_is_kept(client: FlaskClient) -> None:
    body = request()
    sets = body["xjdf"]["ResourceSet"]
    due = "2026-12-08T12:00:00+00:00"
    sets[:] = [{"Name": "NodeInfo", "Usage": "Input", "Resource": [{"NodeInfo": {"End": due}}]}]
    told = ask(client, "/estimate", body, XJDF)
    (node,) = resources(told, "NodeInfo")
    assert node["NodeInfo"]["End"] != due
    assert resources(told, "DeliveryParams") == [{"DeliveryParams": {"Required": due}}]
    job = client.post("/validate", json={"xjdf": told, "as_of": AS_OF}).get_json()["job"]
    assert job["due_at"] == due


def test_what_has_no_effect_is_told_in_comments(client: FlaskClient) -> None:
    body = request()
    body["xjdf"]["Comment"] = [{"Text": "For the walks in May"}]
    product(body["xjdf"])["Colour"] = "blue"
    told = ask(client, "/estimate", body, XJDF)
    warnings = client.post("/estimate", json=body).get_json()["warnings"]
    assert [each["Text"] for each in told["Comment"]] == [
        "For the walks in May",
        *(f"{each['pointer']}: {each['code']}: {each['detail']}" for each in warnings),
    ]
    assert product(told)["Colour"] == "blue"


def test_a_job_comes_back_as_a_document(client: FlaskClient) -> None:
    """Of several parts each has the process that makes it."""
    body = alone(BOOK)
    told = ask(client, "/estimate", body, XJDF)
    best = client.post("/estimate", json=body).get_json()["estimates"][0]
    assert told["Name"] == "XJDF"
    tokens = [processes().about[part["process"]].standard_token for part in best["parts"]]
    assert len(set(tokens)) == 2
    names = [part["part"] for part in best["parts"]]
    root, *children = told["ProductList"]["Product"]
    assert [each["DescriptiveName"] for each in children] == names
    assert [process_of(each) for each in children] == tokens
    assert process_of(root) is None
    assert [each["DescriptiveName"] for each in resources(told, "Component")] == names
    stocks = [each["ExternalID"] for each in resources(told, "Media")]
    assert stocks == [part["stock"]["id"] for part in best["parts"]]
    assert told["Types"] == ["Product", "ConventionalPrinting", "DigitalPrinting"]


def test_the_products_of_a_book_sent_have_the_processes_of_its_parts(client: FlaskClient) -> None:
    body = {"xjdf": xjdf_documents.BOOK, "as_of": AS_OF}
    told = ask(client, "/estimate", body, XJDF)
    best = client.post("/estimate", json=body).get_json()["estimates"][0]
    made = {each["ProductType"]: process_of(each) for each in told["ProductList"]["Product"]}
    tokens = [processes().about[part["process"]].standard_token for part in best["parts"]]
    assert [made["BookBlock"], made["Cover"]] == tokens


def test_one_document_is_about_one_quantity(client: FlaskClient, flyer: dict[str, Any]) -> None:
    headers = {"Accept": XJDF}
    for body, pointer in (
        (flyer, "#/job/quantities"),
        (request(quantities=[500, 1000]), "#/quantities"),
    ):
        answer = client.post("/estimate", json=body, headers=headers)
        assert answer.status_code == 422
        (fault,) = answer.get_json()["errors"]
        assert (fault["pointer"], fault["code"]) == (pointer, "too_many")
        assert "one quantity" in fault["detail"]


def test_a_quantity_beside_the_document_is_its_amount(client: FlaskClient) -> None:
    body = request(quantities=[4500])
    product(body["xjdf"])["MaxAmount"] = 3300
    document = ask(client, "/estimate", body, XJDF)
    told = product(document)
    assert told["Amount"] == 4500
    assert "MaxAmount" not in told
    (delivery,) = resources(document, "DeliveryParams")
    assert delivery["DeliveryParams"]["DropItem"] == [{"Amount": 4500, "ItemRef": "leaflet"}]


def test_overs_go_along_with_a_quantity(client: FlaskClient) -> None:
    """No less than 3,000 and up to 3,300 are overs of a tenth; of 4,500 they are 450."""
    body = request(quantities=[4500])
    product(body["xjdf"]).update(MinAmount=3000, MaxAmount=3300)
    told = ask(client, "/estimate", body, XJDF)
    assert product(told)["MinAmount"] == 4500
    assert product(told)["MaxAmount"] == 4950
    jobs = [
        client.post("/validate", json=each).get_json()["job"]
        for each in (body, {"xjdf": told, "as_of": AS_OF})
    ]
    assert jobs[0] == jobs[1]
    assert jobs[0]["overs_share"] == 0.1


def test_a_document_that_nobody_can_print_has_the_reasons(client: FlaskClient) -> None:
    body = alone(POSTER)
    told = ask(client, "/estimate", body, XJDF)
    texts = [each["Text"] for each in told["Comment"]]
    assert "No press of this plant can print this job." in texts
    excluded = client.post("/estimate", json=body).get_json()["excluded"]
    assert excluded
    for press in excluded:
        for each in press["findings"]:
            assert f"{press['press']}, {press['part']}: {each['message']}" in texts
    assert told["Types"] == ["Product"]
    assert not resources(told, "NodeInfo")


# ---------------------------------------------------------------- the quotation


def quotes_of(told: Any) -> list[Any]:
    """The quotes of a quotation."""
    found: list[Any] = told["Request"]["Quotation"]["Quote"]
    return found


def prices_of(quote: Any, kind: str) -> list[Any]:
    """The prices of one type of a quote."""
    return [each for each in quote["Pricing"]["Price"] if each["PriceType"] == kind]


def test_a_comparison_is_a_quote_for_each_process(client: FlaskClient) -> None:
    body = request(quantities=[500, 3000])
    told = exact(client, "/compare", body)
    plain = client.post("/compare", json=body).get_json()
    best: dict[str, list[Any]] = {}
    for asked in plain["quantities"]:
        seen = set()
        for choice in asked["choices"]:
            if choice["process"] not in seen:
                best.setdefault(choice["process"], []).append((asked["quantity"], choice))
            seen.add(choice["process"])
    assert len(best) > 2
    quotes = quotes_of(told)
    assert len(quotes) == len(best)
    for quote, (process, found) in zip(quotes, best.items(), strict=True):
        (document,) = quote["XJDF"]
        token = processes().about[process].standard_token
        assert intent(document, "ProductionIntent")["PrintProcess"] == token
        assert product(document)["Amount"] == str(found[0][0])
        assert quote["Pricing"]["Currency"] == "EUR"
        lines = prices_of(quote, "Product")
        assert len(lines) == len(found)
        for line, (quantity, choice) in zip(lines, found, strict=True):
            price = choice["price"]
            assert line["Price"] == price["net"]
            assert line["UnitPrice"] == price["per_piece"]
            assert line["Amount"] == str(quantity)
            assert line["TaxType"] == "Net"
            assert line["Additional"] == [
                {
                    "BaseAmount": str(quantity),
                    "BasePrice": price["net"],
                    "Amount": "1000",
                    "Price": price["run_on_per_1000"],
                }
            ]
        totals = prices_of(quote, "Total")
        assert [each["Price"] for each in totals] == [each["Price"] for each in lines]
        assert [each["LineIDRefs"] for each in totals] == [[each["LineID"]] for each in lines]


def test_an_estimate_is_the_one_best(client: FlaskClient) -> None:
    (quote,) = quotes_of(exact(client, "/estimate", request()))
    best = client.post("/estimate", json=request()).get_json()["estimates"][0]
    assert [each["Price"] for each in quote["Pricing"]["Price"]] == [best["price"]["net"]] * 2


def test_best_offers_of_several_processes_are_several_quotes(client: FlaskClient) -> None:
    body = request(quantities=[50, 100, 20_000])
    best = client.post("/estimate", json=body).get_json()["estimates"]
    won: dict[str, list[str]] = {}
    for each in best:
        won.setdefault(each["process"], []).append(str(each["quantity"]))
    assert len(won) == 2
    quotes = quotes_of(exact(client, "/estimate", body))
    amounts = [[line["Amount"] for line in prices_of(quote, "Product")] for quote in quotes]
    assert amounts == list(won.values())


def test_a_job_is_quoted_as_a_document_is(client: FlaskClient) -> None:
    quotes = quotes_of(exact(client, "/compare", alone(BOOK)))
    assert quotes
    for quote in quotes:
        (document,) = quote["XJDF"]
        assert len(document["ProductList"]["Product"]) > 1


def test_the_shape_of_a_quotation(client: FlaskClient, document: dict[str, Any]) -> None:
    """Members and words of PrintTalk 2.1 as its schema has them (read in November 2026).

    PrintTalk: timestamp, Version; Request: BusinessID and one business object; Quotation: Estimate,
    Expires, Quote; Quote: QuoteID, Pricing; Pricing: Currency, Price; Price: DescriptiveName,
    Price, PriceType, TaxType; Additional: BaseAmount, BasePrice.
    """
    components = document["components"]
    schema = {"$ref": "#/components/schemas/Quotation", "components": components}
    told = ask(client, "/compare", request(quantities=[500, 1000]), PTK)
    assert not list(Draft202012Validator(schema).iter_errors(told))
    assert told["Version"] in ("2.0", "2.1")
    assert told["timestamp"] == AS_OF
    for who in ("From", "To"):
        (credential,) = told["Header"][who]["Credential"]
        assert credential["domain"]
        assert credential["Identity"]
    quotation = told["Request"]["Quotation"]
    assert told["Request"]["BusinessID"]
    assert quotation["Estimate"] is True
    assert quotation["Expires"] == "2026-11-27T09:00:00+00:00"
    ids = [quote["QuoteID"] for quote in quotation["Quote"]]
    assert len(set(ids)) == len(ids)
    assert all(re.fullmatch(r"[A-Za-z][A-Za-z0-9._-]*", each) for each in ids)
    kinds = {"Product", "Shipping", "Handling", "Markup", "Discount", "DownPayment", "Prepaid"}
    kinds |= {"Subtotal", "Total", "Other"}
    for quote in quotation["Quote"]:
        assert re.fullmatch("[A-Z]{3}", quote["Pricing"]["Currency"])
        for line in quote["Pricing"]["Price"]:
            assert line["PriceType"] in kinds
            assert line["TaxType"] in ("Net", "Gross", "Tax")
            assert line["DescriptiveName"]
            assert line["Price"] >= 0


def test_a_quotation_holds_as_long_as_the_plant_says(app: Flask) -> None:
    service = app.extensions["sidelay"]
    sold = next(each for each in service.products.values() if each.plant.id == "demo")
    assert sold.catalogue.quote_valid_h == QUOTE_VALID_H == 72
    plant = service.plants["demo"]
    assert service.expiry(plant, 1000) == 1000 + 72 * 3600


def test_an_old_plant_file_promises_nothing(tmp_path: Path) -> None:
    """It is quoted as it was, under another id, and expires as it is told."""
    old = DEMO_FILE.read_text()
    new = old.replace("time_markup = 0.25", "time_markup = 0.35")
    kept, plant = tmp_path / "kept", tmp_path / "demo.toml"
    kept.mkdir()
    (kept / "old.toml").write_text(old)
    plant.write_text(new)
    client = create_app(Settings(plants=plant, revisions=kept)).test_client()
    body = request(plant_revision=revision_of(old.encode()))
    before = ask(client, "/estimate", body, PTK)["Request"]
    now = ask(client, "/estimate", request(), PTK)["Request"]
    assert before["Quotation"]["Expires"] == AS_OF
    assert now["Quotation"]["Expires"] == "2026-11-27T09:00:00+00:00"
    assert before["BusinessID"] != now["BusinessID"]
    refused = client.post("/estimate", json=request(plant_revision="0" * 64))
    (fault,) = refused.get_json()["errors"]
    assert fault["pointer"] == "#/plant_revision"


def test_nothing_is_signed_but_in_json() -> None:
    client = create_app(Settings(quote_keys=KEYS), clock=clock).test_client()
    body = request(quotes=True)
    del body["as_of"]
    assert client.post("/estimate", json=body).status_code == 200
    for path, accept in (("/estimate", XJDF), ("/estimate", PTK), ("/compare", PTK)):
        answer = client.post(path, json=body, headers={"Accept": accept})
        (fault,) = answer.get_json()["errors"]
        assert (fault["pointer"], fault["code"]) == ("#/quotes", "conflicting_members")


def test_an_id_tells_what_is_quoted(client: FlaskClient) -> None:
    """The same for the same at another time; another for another job, process or price."""
    body = request()
    later = body | {"as_of": "2026-11-25T09:00:00+00:00"}
    more = request(quantities=[3001])
    tokens, ids = {}, {}
    for name, each in (("now", body), ("later", later), ("more", more)):
        told = ask(client, "/compare", each, PTK)
        ids[name] = [quote["QuoteID"] for quote in quotes_of(told)]
        tokens[name] = told["Request"]["BusinessID"]
    assert ids["now"] == ids["later"]
    assert tokens["now"] == tokens["later"]
    assert not set(ids["now"]) & set(ids["more"])


def test_nobody_is_a_refusal_with_the_reasons(
    client: FlaskClient, document: dict[str, Any]
) -> None:
    schema = {"$ref": "#/components/schemas/Quotation", "components": document["components"]}
    for path in ("/estimate", "/compare"):
        told = ask(client, path, POSTER, PTK)
        assert not list(Draft202012Validator(schema).iter_errors(told))
        refused = told["Request"]["Refusal"]
        assert "Quotation" not in told["Request"]
        # Busy, InvalidPrice, Milestone, WrongProduct and Other are the reasons of PrintTalk 2.1.
        assert refused["Reason"] == "Other"
        texts = [each["Text"] for each in refused["Comment"]]
        assert texts[0] == "No press of this plant can print this job."
        assert len(texts) > 1


# ---------------------------------------------------------------- figures


@given(st.integers(0, 10**15), st.integers(0, 6))
def test_money_is_written_digit_by_digit(minor: int, digits: int) -> None:
    text = f"{Decimal(minor).scaleb(-digits):f}"
    written = to_json({"Price": number(text)})
    assert written == b'{"Price":%s}' % text.encode()
    assert json.loads(written, parse_float=Decimal, parse_int=Decimal)["Price"] == Decimal(text)


def test_no_binary_noise_can_come() -> None:
    """0.1 + 0.2 is 0.30000000000000004 in binary fractions, and 12.30 loses its nought."""
    assert to_json({"Price": number("0.30")}) == b'{"Price":0.30}'
    assert to_json({"Price": number("12.30")}) == b'{"Price":12.30}'
    assert to_json({"Price": 0.1 + 0.2}) != b'{"Price":0.3}'


@pytest.mark.parametrize(
    "text", ["", "1e3", "NaN", "1.", ".5", "01", "1,000", "1 ", '1,"a":2', "\u0661"]
)
def test_only_plain_decimals_are_numbers(text: str) -> None:
    with pytest.raises(ValueError, match="no decimal number"):
        number(text)


def test_figures_of_a_document_come_back_whole(client: FlaskClient) -> None:
    """A number beyond 64 bits, in a member that has no effect."""
    body = request()
    body["xjdf"]["shop:Serial"] = 10**40 + 7
    answer = client.post("/estimate", json=body, headers={"Accept": XJDF})
    assert answer.status_code == 200
    assert answer.get_json(force=True)["shop:Serial"] == 10**40 + 7
    assert to_json(writable({"a": [-(10**30), True, 1.5, None, 2**63 - 1]})) == (
        b'{"a":[-%d,true,1.5,null,%d]}' % (10**30, 2**63 - 1)
    )


@pytest.mark.parametrize("currency", ["EUR", "JPY"])
def test_money_has_the_digits_of_its_currency(tmp_path: Path, currency: str) -> None:
    text = DEMO_FILE.read_text().replace('currency = "EUR"', f'currency = "{currency}"')
    (tmp_path / "demo.toml").write_text(text)
    client = create_app(Settings(plants=tmp_path), clock=clock).test_client()
    (quote,) = quotes_of(exact(client, "/estimate", request()))
    assert quote["Pricing"]["Currency"] == currency
    digits = {"EUR": 2, "JPY": 0}[currency]
    for line in quote["Pricing"]["Price"]:
        assert len(line["Price"].partition(".")[2]) == digits


@pytest.mark.parametrize(
    ("seconds_of", "text"),
    [(0, "PT0S"), (59, "PT59S"), (60, "PT1M"), (5400, "PT1H30M"), (90_061, "PT25H1M1S")],
)
def test_durations_are_those_of_iso_8601(seconds_of: int, text: str) -> None:
    assert duration_text(seconds_of) == text


@given(st.integers(0, 10**7))
def test_durations_say_what_they_are(length: int) -> None:
    assert seconds(duration_text(length)) == length


# ---------------------------------------------------------------- types, bytes, scopes


def test_bytes_repeat(app: Flask, client: FlaskClient) -> None:
    other = create_app(Settings()).test_client()
    for path, accept in (("/estimate", XJDF), ("/estimate", PTK), ("/compare", PTK)):
        found = {
            each.post(path, json=copy.deepcopy(request()), headers={"Accept": accept}).data
            for each in (client, app.test_client(), other)
        }
        assert len(found) == 1


@pytest.mark.parametrize(
    ("path", "types"),
    [
        ("/estimate", f"application/json or {XJDF} or {PTK}"),
        ("/compare", f"application/json or image/svg+xml or text/csv or {PTK}"),
        ("/validate", "application/json"),
    ],
)
def test_other_types_are_refused_with_those_there_are(
    client: FlaskClient, path: str, types: str
) -> None:
    for accept in ("text/html", "application/vnd.cip4-xjdf+xml"):
        answer = client.post(path, json=request(), headers={"Accept": accept})
        assert answer.status_code == 406
        assert types in answer.get_json()["detail"]


def test_without_a_wish_the_answer_is_json(client: FlaskClient) -> None:
    for accept in ("", "*/*", "application/*", f"application/json, {XJDF}"):
        answer = client.post("/estimate", json=request(), headers={"Accept": accept})
        assert answer.content_type == "application/json"
        assert "Accept" in answer.vary


def test_the_types_are_told(document: dict[str, Any]) -> None:
    for path, answers in (
        ("/estimate", {"application/json", XJDF, PTK}),
        ("/compare", {"application/json", "image/svg+xml", "text/csv", PTK}),
        ("/validate", {"application/json"}),
    ):
        told = document["paths"][path]["post"]
        assert set(told["responses"]["200"]["content"]) == answers
        assert set(told["requestBody"]["content"]) == {"application/json", XJDF}


def written_documents(client: FlaskClient) -> Iterator[tuple[str, Any]]:
    """Documents that are answered: of documents, and of every example."""
    yield "leaflet", ask(client, "/estimate", request(), XJDF)
    for file in sorted(EXAMPLES.glob("*.json")):
        body = json.loads(file.read_bytes())
        yield file.stem, ask(client, "/estimate", alone(body), XJDF)


def test_every_example_has_a_document(client: FlaskClient, document: dict[str, Any]) -> None:
    schema = {"$ref": "#/components/schemas/ProductIntent", "components": document["components"]}
    for name, told in written_documents(client):
        assert not list(Draft202012Validator(schema).iter_errors(told)), name
        assert not cost_names(told), name


@pytest.mark.skipif(SCHEMA not in os.environ, reason=f"{SCHEMA} names no JSON Schema of XJDF")
def test_documents_match_the_schema_of_the_standard(client: FlaskClient) -> None:
    validator = Draft202012Validator(json.loads(Path(os.environ[SCHEMA]).read_bytes()))
    for name, told in written_documents(client):
        faults = [
            f"{fault.json_path}: {fault.message}" for fault in validator.iter_errors(told)
        ]
        assert not faults, (name, faults[:5])
