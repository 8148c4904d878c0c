"""What Accept and the query of /compare choose between: JSON, a picture, a table."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
import xml.etree.ElementTree as ET
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.datastructures import MIMEAccept
from werkzeug.http import parse_accept_header

from shop import DEMO_FILE, EXAMPLES, clock
from sidelay.config import Settings
from sidelay.http.app import create_app
from sidelay.http.exchange import negotiated
from sidelay.http.media_types import CSV, JSON, PTK, SVG
from sidelay.http.shown import PARAMETERS

OFFERED = (JSON, SVG, CSV, PTK)
CHARTS, TABLES = PARAMETERS["chart"].words, PARAMETERS["table"].words
SVG_NAME = "{http://www.w3.org/2000/svg}"
SVG_TYPE = "image/svg+xml; charset=utf-8"


def example(name: str) -> Any:
    return json.loads((EXAMPLES / f"{name}.json").read_bytes())


def ask(client: FlaskClient, body: Any, accept: str, query: str = "") -> Any:
    response = client.post(f"/compare{query}", json=body, headers={"Accept": accept})
    assert response.status_code == 200, response.text
    return response


def rows(response: Any) -> list[dict[str, str]]:
    assert response.content_type == "text/csv; charset=utf-8; header=present"
    assert response.data.endswith(b"\r\n")
    assert response.data.count(b"\n") == response.data.count(b"\r\n")
    return list(csv.DictReader(io.StringIO(response.data.decode(), newline="")))


def picture(client: FlaskClient, body: Any, query: str = "") -> tuple[str, str]:
    """Title and description of a picture, which is well-formed."""
    root = ET.fromstring(ask(client, body, SVG, query).data)
    assert root.tag == f"{SVG_NAME}svg"
    assert root.get("role") == "img"
    title, told = root.find(f"{SVG_NAME}title"), root.find(f"{SVG_NAME}desc")
    assert title is not None
    assert told is not None
    assert root.get("aria-labelledby") == f"{title.get('id')} {told.get('id')}"
    assert list(root)[:2] == [title, told]
    return title.text or "", told.text or ""


# ---------------------------------------------------------------- the type of the answer


@pytest.mark.parametrize(
    ("accept", "chosen"),
    [
        ("", JSON),
        ("*/*", JSON),
        ("application/*", JSON),
        ("image/*", SVG),
        ("text/*", CSV),
        ("image/svg+xml", SVG),
        ("IMAGE/SVG+XML", SVG),
        ("text/csv; charset=utf-8", CSV),
        ("text/csv;header=present, application/json;q=0.9", CSV),
        ("text/csv;q=0.5, image/svg+xml;q=0.6", SVG),
        ("text/csv, */*", CSV),
        ("text/html, image/svg+xml, */*;q=0.8", SVG),
        ("application/json;q=0.1, */*", SVG),
        ("application/json;q=0, */*;q=0.1", SVG),
        ("image/svg+xml;q=0, text/csv;q=0, */*", JSON),
        ("application/json, image/svg+xml", JSON),
        ("*/*;q=0.1, text/*;q=0.2, text/csv;q=0", JSON),
        ("text/html", None),
        ("image/png, text/plain", None),
        ("*/*;q=0", None),
        ("application/problem+json", None),
    ],
)
def test_the_type_wanted_most_is_chosen(accept: str, chosen: str | None) -> None:
    assert negotiated(parse_accept_header(accept, MIMEAccept), OFFERED) == chosen


@pytest.mark.parametrize(
    ("accept", "content_type"),
    [
        (JSON, "application/json"),
        (SVG, SVG_TYPE),
        (CSV, "text/csv; charset=utf-8; header=present"),
    ],
)
def test_the_answer_has_that_type(
    client: FlaskClient, flyer: dict[str, Any], accept: str, content_type: str
) -> None:
    response = ask(client, flyer, accept)
    assert response.content_type == content_type
    assert response.headers["Vary"] == "Accept"
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert response.headers["Cache-Control"] == "private, no-store"
    sandboxed = response.headers.get("Content-Security-Policy")
    assert sandboxed == ("sandbox" if accept == SVG else None)


def test_a_406_lists_what_there_is(client: FlaskClient, flyer: dict[str, Any]) -> None:
    response = client.post("/compare", json=flyer, headers={"Accept": "image/png"})
    assert response.status_code == 406
    assert response.content_type == "application/problem+json"
    assert response.headers["Vary"] == "Accept"
    assert all(each in response.get_json()["detail"] for each in OFFERED)


@pytest.mark.parametrize("accept", [SVG, CSV])
def test_other_paths_have_json_alone(
    client: FlaskClient, flyer: dict[str, Any], accept: str
) -> None:
    for response in (
        client.post("/validate", json=flyer, headers={"Accept": accept}),
        client.get("/plants", headers={"Accept": accept}),
    ):
        assert response.status_code == 406
        assert response.get_json()["detail"] == "Answers here come as application/json only."
        assert "Vary" not in response.headers


@pytest.mark.parametrize("accept", [SVG, CSV])
def test_an_error_is_a_problem_whatever_is_accepted(
    client: FlaskClient, flyer: dict[str, Any], accept: str
) -> None:
    fields = {"Accept": accept}
    for response, status in (
        (client.post("/compare", json={}, headers=fields), 422),
        (client.post("/compare", data=b"{", content_type=JSON, headers=fields), 400),
        (client.post("/compare", data=b"{}", content_type="a/b", headers=fields), 415),
        (client.get("/compare", headers=fields), 405),
        (client.get("/nothing", headers=fields), 404),
    ):
        assert response.status_code == status
        assert response.content_type == "application/problem+json"


def test_the_document_tells_types_and_parameters(document: dict[str, Any]) -> None:
    told = document["paths"]["/compare"]["post"]
    assert set(told["responses"]["200"]["content"]) == set(OFFERED)
    assert [each["name"] for each in told["parameters"]] == list(PARAMETERS)
    chart = told["parameters"][0]["schema"]
    assert (chart["enum"], chart["default"]) == (list(CHARTS), "unit_cost")
    assert "parameters" not in document["paths"]["/estimate"]["post"]


# ---------------------------------------------------------------- pictures


@pytest.mark.parametrize("measure", ["cost", "price"])
@pytest.mark.parametrize("chart", CHARTS)
@pytest.mark.parametrize("name", ["a6_flyer", "paperback_novel", "oversize_poster"])
def test_a_picture_comes_as_the_same_bytes_again(
    client: FlaskClient, name: str, chart: str, measure: str
) -> None:
    query = f"?chart={chart}&measure={measure}"
    first, again = (ask(client, example(name), SVG, query) for _ in range(2))
    assert first.data == again.data
    assert first.content_type == SVG_TYPE
    assert b"<!DOCTYPE" not in first.data
    assert b"<metadata" not in first.data
    assert b"Matplotlib v" not in first.data


def test_threads_draw_the_same(app: Flask) -> None:
    def drawn(name: str) -> bytes:
        return bytes(ask(app.test_client(), example(name), SVG).data)

    names = ["a6_flyer", "bottle_labels"] * 4
    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(drawn, names))
    assert len(set(found)) == 2
    assert found[0] == found[2] == drawn("a6_flyer")


def test_the_text_tells_what_the_json_says(client: FlaskClient) -> None:
    body = example("a6_flyer") | {"curves": True}
    answer = ask(client, body, JSON).get_json()
    title, told = picture(client, body, "?measure=price")
    assert title == body["job"]["title"]
    for band in answer["bands"]:
        assert f"from {band['from']:,} to {band['to']:,}" in told
    for asked in answer["quantities"]:
        best = asked["choices"][0]["price"]["per_piece"]
        assert f"At {asked['quantity']:,}: " in told
        assert f"{best} EUR" in told.split(f"At {asked['quantity']:,}: ")[1].split(" At ")[0]


def test_bands_of_costs_go_with_curves_of_costs(client: FlaskClient) -> None:
    body = example("paperback_novel") | {"explain": ["cost_bands"]}
    answer = ask(client, body, JSON).get_json()
    costs, prices = (picture(client, body, f"?measure={m}")[1] for m in ("cost", "price"))
    to_web, to_web_priced = (
        next(swap for swap in answer[member] if swap["to_process"] == "web_litho")
        for member in ("cost_crossovers", "crossovers")
    )
    assert to_web["first_at"] != to_web_priced["first_at"]
    assert f"Web lithography from {to_web['first_at']:,} to" in costs
    assert f"Web lithography from {to_web_priced['first_at']:,} to" in prices


@pytest.mark.parametrize("name", ["a6_flyer", "paperback_novel"])
def test_the_money_of_a_bar_is_that_of_the_offer(client: FlaskClient, name: str) -> None:
    answer = ask(client, example(name), JSON).get_json()
    for asked in answer["quantities"]:
        for measure, member in (("cost", ("cost", "total")), ("price", ("price", "net"))):
            query = f"?chart=money&measure={measure}&quantity={asked['quantity']}"
            _, told = picture(client, example(name), query)
            assert f"for {asked['quantity']:,} pieces" in told
            for choice in asked["choices"]:
                amount = choice[member[0]][member[1]]
                whole, _, cents = amount.partition(".")
                assert f": {int(whole):,}.{cents} EUR; " in told


def test_the_quantity_in_the_middle_is_the_one_of_the_bars(client: FlaskClient) -> None:
    body = example("a6_flyer")
    middle = body["job"]["quantities"][len(body["job"]["quantities"]) // 2]
    named, by_default = (picture(client, body, f"?chart=money{q}") for q in (
        f"&quantity={middle}", ""
    ))  # fmt: skip
    assert named == by_default


TITLES = [
    '<script>alert("x")</script> & \'y\'',
    "=cmd|' /C calc'!A0",
    "-->",
    "--",
    "]]>",
    "$\\alpha$ $",
    "$\\nosuch{$",
    "日本語のちらし",
    "tab\tnew\nline",
    "a\x00b\x1f",
    "half \ud83d a pair",
    "x" * 200,
    "",
]


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("chart", CHARTS)
@pytest.mark.parametrize("title", TITLES)
def test_any_title_stands_in_a_picture(
    client: FlaskClient, flyer: dict[str, Any], title: str, chart: str
) -> None:
    flyer["job"]["title"] = title
    response = client.post(
        f"/compare?chart={chart}", json=flyer, headers={"Accept": SVG}
    )
    if response.status_code != 200:  # half a pair is no JSON
        assert response.status_code in (400, 422)
        return
    told, _ = picture(client, flyer, f"?chart={chart}")
    kept = "".join(letter if letter.isprintable() else " " for letter in title)
    assert told == (" ".join(kept.split()) or "Job without a title")
    assert b"<script" not in response.data


def test_where_nothing_qualifies_the_picture_says_why(client: FlaskClient) -> None:
    body = example("oversize_poster")
    excluded = ask(client, body, JSON).get_json()["excluded"]
    for chart in CHARTS:
        title, told = picture(client, body, f"?chart={chart}")
        assert title == body["job"]["title"]
        assert "No press of this plant can make this job." in told
        assert f"{len({row['press'] for row in excluded})} presses left out" in told
        above = {
            row["press"] for row in excluded
            if any(finding["code"] == "size_above" for finding in row["findings"])
        }  # fmt: skip
        assert f"{len(above)} presses: size above." in told


def test_a_currency_without_decimals_is_drawn(tmp_path: Any) -> None:
    plant = tmp_path / "yen.toml"
    text = DEMO_FILE.read_text(encoding="utf-8").replace('currency = "EUR"', 'currency = "JPY"')
    plant.write_text(text, encoding="utf-8")
    client = create_app(Settings(plants=plant), clock=clock).test_client()
    body = example("a6_flyer")
    answer = ask(client, body, JSON).get_json()
    best = answer["quantities"][3]["choices"][0]["price"]["net"]
    assert best.isdigit()
    _, told = picture(client, body, "?chart=money&measure=price")
    assert f": {int(best):,} JPY; " in told
    _, told = picture(client, body, "?chart=total_cost&measure=price")
    assert f" {int(best):,} JPY" in told
    choices = rows(ask(client, body, CSV))
    assert all(row["net"].isdigit() for row in choices)


@pytest.mark.parametrize("chart", CHARTS)
def test_a_single_quantity_and_a_single_point_are_drawn(
    client: FlaskClient, flyer: dict[str, Any], chart: str
) -> None:
    flyer["job"]["quantities"] = [1]
    picture(client, flyer | {"from": 7, "up_to": 7}, f"?chart={chart}")


def test_who_never_draws_never_loads_matplotlib() -> None:
    told = (
        "import sys; from sidelay.config import Settings; from sidelay.http.app import create_app;"
        "client = create_app(Settings()).test_client();"
        "assert client.get('/plants').status_code == 200;"
        "print('matplotlib' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"


# ---------------------------------------------------------------- tables


def test_tables_of_dates_are_those_of_the_json(client: FlaskClient) -> None:
    body = example("when_ready")
    answer = ask(client, body, JSON).get_json()
    due = [c["due"] for asked in answer["quantities"] for c in asked["choices"]]
    found = rows(ask(client, body, CSV))
    assert [(row["due_holds"], row["slack_h"]) for row in found] == [
        (str(each["holds"]).lower(), str(each["slack_h"])) for each in due
    ]
    bands = rows(ask(client, body, CSV, "?table=due_bands"))
    assert [(row["from"], row["press"]) for row in bands] == [
        (str(band["from"]), band["press"] or "") for band in answer["due_bands"]
    ]
    assert not bands[-1]["press"]
    trade_off = rows(ask(client, body, CSV, "?table=trade_off"))
    assert [(row["press"], row["ready_at"]) for row in trade_off] == [
        (each["press"], each["ready_at"])
        for asked in answer["quantities"]
        for each in asked["trade_off"]
    ]
    assert len(trade_off) > len(answer["quantities"])


def test_choices_are_those_of_the_json(client: FlaskClient) -> None:
    body = example("paperback_novel")
    answer = ask(client, body, JSON).get_json()
    expected = [
        {
            "quantity": str(asked["quantity"]),
            "rank": str(choice["rank"]),
            "process": choice["process"],
            "press": choice["press"],
            "net": choice["price"]["net"],
            "per_piece": choice["price"]["per_piece"],
            "currency": "EUR",
            "cost_total": choice["cost"]["total"],
            "cost_fixed": choice["cost"]["fixed"],
            "cost_variable": choice["cost"]["variable"],
            "ratio_to_best": str(choice["ratio_to_best"]),
            "sheets": str(choice["sheets"]["total"]),
            "hours": str(choice["hours"]),
            "ready_at": choice["ready_at"] or "",
            "hours_to_ready": str(choice["readiness"]["hours"]),
            "due_holds": "",
            "slack_h": "",
            "score": str(choice["score"]),
            "ratio_price": str(choice["ratios"]["price"]),
            "ratio_cost": str(choice["ratios"]["cost"]),
            "ratio_readiness": str(choice["ratios"]["readiness"]),
        }
        for asked in answer["quantities"]
        for choice in asked["choices"]
    ]
    assert len(expected) > 20
    assert rows(ask(client, body, CSV)) == expected
    assert rows(ask(client, body | {"detail": "trace"}, CSV, "?table=choices")) == expected


def test_curves_are_those_of_the_json(client: FlaskClient, flyer: dict[str, Any]) -> None:
    answer = ask(client, flyer | {"curves": True}, JSON).get_json()
    found = rows(ask(client, flyer, CSV, "?table=curves"))
    expected = [
        {
            "quantity": str(point["quantity"]),
            "process": curve["process"],
            "press": curve["press"],
            "cost": point["cost"],
            "price": point["price"],
            "per_piece": point["per_piece"],
        }
        for curve in answer["curves"]
        for point in curve["points"]
    ]
    assert len(expected) > 100
    assert found == expected


def test_bands_are_those_of_the_json(client: FlaskClient) -> None:
    body = example("paperback_novel")
    answer = ask(client, body, JSON).get_json()
    found = rows(ask(client, body, CSV, "?table=bands"))
    assert [(int(row["from"]), int(row["to"]), row["press"]) for row in found] == [
        (band["from"], band["to"], band["press"]) for band in answer["bands"]
    ]
    assert all(row["route"].count(": ") == len(body["job"]["parts"]) for row in found)


def test_a_name_like_a_formula_is_words(
    client: FlaskClient, flyer: dict[str, Any], flyer_part: dict[str, Any]
) -> None:
    flyer_part["name"] = "=HYPERLINK(A1)"
    for row in rows(ask(client, flyer, CSV, "?table=bands")):
        assert row["route"].startswith("'=HYPERLINK(A1): ")


def leaves(value: Any, way: str = "") -> dict[str, Any]:
    """What stands at the end of each way of members."""
    if not isinstance(value, dict):
        return {way: value}
    found: dict[str, Any] = {}
    for name, inner in value.items():
        found |= leaves(inner, f"{way}.{name}" if way else name)
    return found


def test_characteristics_have_every_member_of_the_json(client: FlaskClient) -> None:
    body = example("a6_flyer")
    answer = ask(client, body, JSON).get_json()
    found = rows(ask(client, body, CSV, "?table=characteristics"))
    assert [row["process"] for row in found] == [r["process"] for r in answer["characteristics"]]
    for row, told in zip(found, answer["characteristics"], strict=True):
        sources = told.pop("sources")
        assert row["sources"] == ", ".join(f"{name} {words}" for name, words in sources.items())
        for column, value in leaves(told).items():
            if value is None and column not in row:
                assert not any(row[each] for each in row if each.startswith(f"{column}."))
            elif value is None:
                assert row[column] == ""
            elif isinstance(value, str):
                assert row[column] == value
            elif isinstance(value, bool | list):
                assert column in row
            else:
                assert float(row[column]) == value


@pytest.mark.parametrize("table", TABLES)
def test_where_nothing_qualifies_there_are_no_rows(client: FlaskClient, table: str) -> None:
    """Processes are what they are whatever the job."""
    response = ask(client, example("oversize_poster"), CSV, f"?table={table}")
    found = rows(response)
    assert len(found) == (9 if table == "characteristics" else 0)
    header = ask(client, example("a6_flyer"), CSV, f"?table={table}").data.partition(b"\r\n")[0]
    assert response.data.partition(b"\r\n")[0] == header
