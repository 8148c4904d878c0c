"""Requests that hold an XJDF document: where it stands, what it is read as, what is told of it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from intent_samples import LEAFLET, SHOWN, XJDF, intent, leaflet, product, request
from sidelay import cli
from sidelay.http.asked import fingerprint
from sidelay.http.json_reader import MOST_DEPTH

PATHS = ("/estimate", "/compare", "/validate")
QUANTITY = "#/xjdf/ProductList/Product/0/Amount"


def errors(answer: Any) -> dict[str, str]:
    """The faults of a problem: code by pointer."""
    assert answer.status_code == 422, answer.text
    return {each["pointer"]: each["code"] for each in answer.get_json()["errors"]}


def as_document(client: FlaskClient, path: str, document: Any, **headers: str) -> Any:
    """Post a document as the whole body, by its own media type."""
    return client.post(path, data=json.dumps(document), content_type=XJDF, headers=headers)


# ---------------------------------------------------------------- where a document stands


@pytest.mark.parametrize("path", PATHS)
def test_a_document_is_a_member_or_the_body_by_its_type_or_by_its_name(
    client: FlaskClient, path: str
) -> None:
    answers = [
        client.post(path, json={"xjdf": leaflet()}),
        as_document(client, path, leaflet()),
        client.post(path, json=leaflet()),
    ]
    told = [answer.get_json() for answer in answers]
    assert [answer.status_code for answer in answers] == [200, 200, 200]
    pointers = [[each["pointer"] for each in one.pop("warnings")] for one in told]
    assert told[0] == told[1] == told[2]
    assert pointers[1] == pointers[2]
    assert pointers[0] == [f"#/xjdf{pointer[1:]}" for pointer in pointers[1]]


def test_by_its_type_a_body_needs_no_name(client: FlaskClient) -> None:
    document = leaflet()
    del document["Name"]
    assert as_document(client, "/validate", document).status_code == 200
    assert "#/job" in errors(client.post("/validate", json=document))


def test_a_document_is_priced_as_the_job_that_it_is_read_as(client: FlaskClient) -> None:
    read = client.post("/validate", json=request()).get_json()
    job = read["job"]
    assert job["quantities"] == [3000]
    assert read["job_fingerprint"] == fingerprint(job)
    for path in ("/estimate", "/compare"):
        mine = client.post(path, json=request()).get_json()
        plain = client.post(path, json={"job": job, "as_of": SHOWN["as_of"]}).get_json()
        assert mine.pop("warnings")
        assert mine == plain
        assert mine["job_fingerprint"] == read["job_fingerprint"]


def test_the_job_read_is_that_of_the_document(client: FlaskClient) -> None:
    job = client.post("/validate", json=request()).get_json()["job"]
    (part,) = job["parts"]
    assert job["title"] == "Guided walks, leaflet of six pages"
    assert job["due_at"] == "2026-12-08T12:00:00+00:00"
    # 280.63 x 595.28 points are 99 x 210 mm, to 0.01 point.
    assert (part["size"]["width"], part["size"]["height"]) == (99, 210)
    assert part["stock"] == {"grade": "coated", "finish": "silk", "grammage_gsm": 150}
    assert part["pages"] == 6
    assert part["folds"] == 2


def test_other_members_of_a_request_stand_beside_it(client: FlaskClient) -> None:
    body = request(processes=["sheetfed_litho"], plant="demo", up_to=5000)
    answer = client.post("/compare", json=body).get_json()
    choices = answer["quantities"][0]["choices"]
    assert {each["process"] for each in choices} == {"sheetfed_litho"}
    assert (answer["clock"]["as_of"], answer["clock"]["given"]) == (SHOWN["as_of"], True)
    assert answer["bands"][-1]["to"] == 5000


def test_quantities_beside_it_stand_for_its_amount(client: FlaskClient) -> None:
    answer = client.post("/estimate", json=request(quantities=[500, 2000])).get_json()
    assert [each["quantity"] for each in answer["estimates"]] == [500, 2000]
    told = {each["pointer"]: each for each in answer["warnings"]}
    assert told[QUANTITY]["code"] == "ignored"
    assert QUANTITY not in {
        each["pointer"] for each in client.post("/validate", json=request()).get_json()["warnings"]
    }


def test_processes_beside_it_stand_for_its_own(client: FlaskClient) -> None:
    body = request(processes=["toner"])
    intent(body["xjdf"], "ProductionIntent")["PrintProcess"] = "Lithography"
    answer = client.post("/estimate", json=body).get_json()
    assert answer["estimates"][0]["process"] == "toner"
    pointers = [each["pointer"] for each in answer["warnings"]]
    assert any(each.endswith("/ProductionIntent/PrintProcess") for each in pointers)
    del body["processes"]
    answer = client.post("/estimate", json=body).get_json()
    assert answer["estimates"][0]["process"] in ("sheetfed_litho", "web_litho")


def test_null_beside_a_document_is_nothing(client: FlaskClient) -> None:
    body = request(job=None, quantities=None, processes=None)
    assert client.post("/validate", json=body).status_code == 200


def test_a_plain_request_has_neither_warnings_nor_job(
    client: FlaskClient, flyer: dict[str, Any]
) -> None:
    for path in PATHS:
        assert not {"warnings", "job"} & client.post(path, json=flyer).get_json().keys()
    assert client.post("/validate", json=flyer | {"xjdf": None}).status_code == 200


def test_answers_match_the_document_of_the_service(
    client: FlaskClient, conforms: Callable[[str, Any], None]
) -> None:
    body = request()
    conforms("DocumentRequest", SHOWN)
    conforms("Estimate", client.post("/estimate", json=body).get_json())
    conforms("Comparison", client.post("/compare", json=body).get_json())
    conforms("Valid", client.post("/validate", json=body).get_json())


# ---------------------------------------------------------------- faults


@pytest.mark.parametrize("path", PATHS)
def test_a_job_and_a_document_exclude_each_other(
    client: FlaskClient, flyer: dict[str, Any], path: str
) -> None:
    body = flyer | {"xjdf": leaflet()}
    assert errors(client.post(path, json=body)) == {"#/job": "conflicting_members"}


def test_every_fault_is_told_at_once_where_it_stands(client: FlaskClient) -> None:
    """Those of the document, and those of what stands beside it."""
    body = request(plant=7, detail="all", quantities=[0], extra=1)
    product(body["xjdf"])["Amount"] = -3
    del intent(body["xjdf"], "MediaIntent")["MediaType"]
    found = errors(client.post("/validate", json=body))
    assert found == {
        "#/plant": "not_a_string",
        "#/detail": "unknown_value",
        "#/quantities/0": "out_of_range",
        "#/extra": "unknown_member",
        QUANTITY: "out_of_range",
        "#/xjdf/ProductList/Product/0/Intent/1/MediaIntent/MediaType": "required",
    }


def test_faults_of_the_job_read_point_into_the_document(client: FlaskClient) -> None:
    """30,000 points are more than 10,000 mm: a rule of jobs, not of documents."""
    document = leaflet()
    intent(document, "LayoutIntent")["FinishedDimensions"] = [30_000, 595.28, 0]
    inside = "/ProductList/Product/0/Intent/0/LayoutIntent/FinishedDimensions"
    found = errors(client.post("/validate", json={"xjdf": document}))
    assert any(pointer.startswith(f"#/xjdf{inside}") for pointer in found), found
    found = errors(as_document(client, "/validate", document))
    assert any(pointer.startswith(f"#{inside}") for pointer in found), found


def test_faults_of_the_plant_stay_with_what_stands_beside(client: FlaskClient) -> None:
    body = request(plant="nowhere", processes=["nothing"])
    assert errors(client.post("/estimate", json=body)) == {"#/plant": "unknown_plant"}
    body = request(processes=["nothing"], quantities=[10, 0])
    assert errors(client.post("/estimate", json=body)) == {
        "#/processes/0": "unknown_process",
        "#/quantities/1": "out_of_range",
    }


def test_a_fault_of_a_parameter_is_told_with_those_of_a_document(client: FlaskClient) -> None:
    body = request()
    product(body["xjdf"])["Amount"] = "3000"
    problem = client.post("/compare?chart=pie", json=body).get_json()
    found = {(each["pointer"], each.get("parameter")): each["code"] for each in problem["errors"]}
    assert set(found) == {("#", "chart"), (QUANTITY, None)}


@pytest.mark.parametrize("document", [[], "XJDF", 3, True])
def test_a_document_is_an_object(client: FlaskClient, document: Any) -> None:
    assert errors(client.post("/validate", json={"xjdf": document})) == {
        "#/xjdf": "not_an_object"
    }


def test_points_as_text_are_no_number(client: FlaskClient) -> None:
    document = leaflet()
    intent(document, "LayoutIntent")["FinishedDimensions"] = ["280.63", "595.28", 0]
    found = errors(as_document(client, "/estimate", document))
    assert set(found.values()) == {"not_a_number"}
    assert "#/ProductList/Product/0/Intent/0/LayoutIntent/FinishedDimensions/0" in found


def test_two_root_products_are_refused(client: FlaskClient) -> None:
    document = leaflet()
    products = document["ProductList"]["Product"]
    products.append(products[0] | {"ID": "second"})
    found = errors(client.post("/validate", json={"xjdf": document}))
    assert all(pointer.startswith("#/xjdf/ProductList") for pointer in found)
    assert found


@pytest.mark.parametrize("amount", [-1, 0, 1.5, "3000", True])
def test_an_amount_is_a_positive_whole_number(client: FlaskClient, amount: Any) -> None:
    body = {"xjdf": leaflet(Amount=amount)}
    assert QUANTITY in errors(client.post("/validate", json=body))


def test_what_is_foreign_is_told_and_changes_nothing(client: FlaskClient) -> None:
    document = leaflet()
    document["shop:Priority"] = {"shop:Level": 3}
    product(document)["Colour"] = "blue"
    plain = client.post("/validate", json={"xjdf": leaflet()}).get_json()
    told = client.post("/validate", json={"xjdf": document}).get_json()
    assert told["job"] == plain["job"]
    more = {each["pointer"] for each in told["warnings"]} - {
        each["pointer"] for each in plain["warnings"]
    }
    assert any(each.startswith("#/xjdf/shop:Priority") for each in more)
    assert "#/xjdf/ProductList/Product/0/Colour" in more


# ---------------------------------------------------------------- the body


def test_the_limits_of_a_body_hold_for_documents(client: FlaskClient) -> None:
    large = json.dumps(leaflet(DescriptiveName="x" * 10_000_000))
    answer = client.post("/estimate", data=large, content_type=XJDF)
    assert answer.status_code == 413
    deep = leaflet()
    deep["Comment"] = json.loads("[" * 32 + "]" * 32)
    assert as_document(client, "/estimate", deep).status_code == 400


def test_a_document_is_far_below_the_depth_that_is_read() -> None:
    """Inks nest deepest of what is read: in a surface, of an intent, of a product."""

    def depth(value: Any) -> int:
        if isinstance(value, dict):
            value = list(value.values())
        return 1 + max(map(depth, value), default=0) if isinstance(value, list) else 0

    assert depth({"xjdf": LEAFLET}) == 11 < MOST_DEPTH - 10


@pytest.mark.parametrize("path", PATHS)
def test_types_that_are_not_read_are_told_with_those_that_are(
    client: FlaskClient, path: str
) -> None:
    for content_type in ("text/plain", "application/vnd.cip4-xjdf+xml", None):
        answer = client.post(path, data=json.dumps(leaflet()), content_type=content_type)
        assert answer.status_code == 415
        assert answer.headers["Accept"] == f"application/json, {XJDF}"
        assert XJDF in answer.get_json()["detail"]
    latin = client.post(path, data=b"{}", content_type=f"{XJDF}; charset=latin-1")
    assert latin.status_code == 415


def test_lines_of_a_batch_hold_documents(client: FlaskClient) -> None:
    bodies = [request(), leaflet(), request(quantities=[0]), leaflet(Amount=-1)]
    lines = [
        json.dumps({"id": str(number), "ask": "estimate", "request": body})
        for number, body in enumerate(bodies)
    ]
    text = "\n".join(lines)
    answer = client.post("/batch", data=text, content_type="application/x-ndjson")
    member, whole, wrong, negative, _ = map(json.loads, answer.text.splitlines())
    assert member["answer"] == client.post("/estimate", json=bodies[0]).get_json()
    assert whole["answer"]["warnings"][0]["pointer"].startswith("#/JobID")
    found = [each["problem"]["errors"][0]["pointer"] for each in (wrong, negative)]
    assert found == ["#/quantities/0", QUANTITY.replace("/xjdf", "")]
    whole_batch = client.post("/batch", data=text, content_type=XJDF)
    assert whole_batch.status_code == 415


def test_quotes_are_no_documents(client: FlaskClient) -> None:
    answer = as_document(client, "/quotes/check", leaflet())
    assert answer.status_code == 415
    assert answer.headers["Accept"] == "application/json"


# ---------------------------------------------------------------- the command


class Served:
    """Stands for a client of the service under test."""

    client: FlaskClient

    def __init__(self, *_: object, **__: object) -> None:
        pass

    def __enter__(self) -> Served:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def estimate(self, body: bytes) -> Any:
        return self._post("/estimate", body)

    def compare(self, body: bytes) -> Any:
        return self._post("/compare", body)

    def _post(self, path: str, body: bytes) -> Any:
        answer = self.client.post(path, data=body, content_type="application/json")
        assert answer.status_code == 200, answer.text
        return answer.get_json()


@pytest.mark.parametrize("command", ["estimate", "compare"])
@pytest.mark.parametrize("members", [[], ["--as-of", SHOWN["as_of"]]])
def test_the_command_takes_a_document_as_it_is(
    client: FlaskClient,
    command: str,
    members: list[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(cli, "Client", Served)
    monkeypatch.setattr(Served, "client", client, raising=False)
    file = tmp_path / "walks.json"
    file.write_text(json.dumps(leaflet()))
    assert cli.main([command, str(file), *members]) == 0
    told = capsys.readouterr().out
    assert "What of the document had no effect, or was assumed" in told
    assert "Guided walks, leaflet of six pages" in told
    at = "#/xjdf" if members else "#"
    assert f"{at}/ResourceSet/0: Who asks has no bearing on the price here" in told
    assert all(len(line) <= 100 for line in told.splitlines())


def test_the_command_puts_no_due_date_into_a_document(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for body in (leaflet(), request()):
        file = tmp_path / "walks.json"
        file.write_text(json.dumps(body))
        assert cli.main(["estimate", str(file), "--due", SHOWN["as_of"]]) == 2
        assert "DeliveryParams" in capsys.readouterr().err
