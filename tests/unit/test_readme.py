"""What README.md shows is what the service answers."""

import json
import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from shop import clock, demo
from sidelay import cli
from sidelay.client import ProblemError
from sidelay.compare import EXPLAINED
from sidelay.http.app import create_app
from sidelay.http.shown import PARAMETERS
from sidelay.tables import comparison_text

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text()


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app(clock=clock).test_client()


def request_shown(number=0):
    return json.loads(re.findall(r"-d '\n(.*?)'\n```", README, flags=re.DOTALL)[number])


def answer_shown():
    return json.loads(re.search(r"```json\n(.*?)```", README, flags=re.DOTALL)[1])


def test_the_first_request_has_the_answer_shown(client):
    assert client.post("/estimate", json=request_shown()).get_json() == answer_shown()


def members_shown():
    return json.loads(re.search(r"```jsonc\n(.*?)```", README, flags=re.DOTALL)[1])


def holds(whole, shown):
    """Whether all that is shown stands in an answer; lists have every item, members may lack."""
    if isinstance(shown, dict):
        return all(name in whole and holds(whole[name], shown[name]) for name in shown)
    if isinstance(shown, list):
        return len(whole) == len(shown) and all(map(holds, whole, shown))
    return whole == shown


def test_the_whole_job_has_the_members_shown(client):
    answer = client.post("/estimate", json=request_shown(1)).get_json()
    shown = members_shown()
    (at,) = (estimate["quantity"] for estimate in shown["estimates"])
    kept = [estimate for estimate in answer["estimates"] if estimate["quantity"] == at]
    assert holds(answer | {"estimates": kept}, shown)
    assert f"at {at:,} copies" in README


def test_what_is_shown_would_be_missed_if_it_were_wrong(client):
    answer = client.post("/estimate", json=request_shown(1)).get_json()
    assert not holds(answer, members_shown() | {"findings": [{"code": "none"}]})
    assert not holds(answer["binding"], {"spine_mm": 1.0})
    assert not holds(answer["binding"], {"width_mm": 1.0})


def table_after(heads):
    """The rows of a table of README.md, each as its cells."""
    lines = README[README.index(heads) :].splitlines()[2:]
    rows = (line for line in lines[: lines.index("")])
    return [[cell.strip() for cell in row.strip("|").split("|")] for row in rows]


def test_every_operation_of_the_demo_plant_is_told_where_it_is_done():
    units = ("sheet", "flat", "piece", "copy")
    for unit, (_, told) in zip(units, table_after("| done to |"), strict=True):
        done = {each.operation for each in demo().operations if each.unit == unit}
        assert set(re.findall(r"`(\w+)`", told)) == done


def test_every_way_to_bind_is_told_with_its_pages_and_days():
    told = {}
    for methods, _, pages, by in table_after("| `method` |"):
        for method in re.findall(r"`(\w+)`", methods):
            told[method] = ([int(n.replace(",", "")) for n in re.findall(r"[\d,]+", pages)], by)
    binders = demo().binders
    assert list(told) == list(dict.fromkeys(binder.method for binder in binders))
    for method, (pages, by) in told.items():
        able = [binder for binder in binders if binder.method == method]
        limits = [min(each.min_pages for each in able), max(each.max_pages for each in able)]
        assert pages == limits[: len(pages)]
        if able[0].bought_out:
            by_hand = "" if all(each.bought_out for each in able) else ", or by hand on the bench"
            assert by == f"bought out, {able[0].lead_days:g} working days{by_hand}"


class InProcess:
    """Stands in for `sidelay.client.Client`: the same answers, without a network."""

    def __init__(self, client):
        self._client = client

    def __enter__(self):
        return self

    def __exit__(self, *_):
        return None

    def estimate(self, body):
        response = self._client.post("/estimate", json=body)
        found = response.get_json()
        if response.status_code != 200:
            raise ProblemError(response.status_code, found["title"], errors=found["errors"])
        return found


def test_the_page_of_options_gets_its_prices_and_tells_what_is_wrong(client):
    (block,) = (each for each in re.findall(r"```python\n(.*?)```", README, re.S) if "page" in each)
    shown = {}
    exec(block, shown)
    shown["Client"] = lambda url: InProcess(client)
    found = shown["page"]("http://127.0.0.1:8000")
    assert len(found) == 8
    for (pages, _), (net, remedies) in found.items():
        if pages == 26:
            assert not net
            assert "28" in remedies[0]
        else:
            assert list(net) == [100, 250, 500, 1000]
    # What no press of the plant can do comes without a price, and with what would help.
    none, remedies = shown["prices"](InProcess(client), 120, "silk_350")
    assert not none
    assert all(remedies)


def test_every_kind_of_part_is_told(client):
    part = client.get("/openapi.json").get_json()["components"]["schemas"]["Part"]
    kinds = part["properties"]["kind"]
    assert {row[0].strip("`") for row in table_after("| `kind` |")} == set(
        kinds.get("enum") or kinds["x-extensible-enum"]
    )


def test_the_crossover_told_is_the_one_computed(client):
    bands = client.post("/compare", json=request_shown()).get_json()["bands"]
    told = re.search(r"toner up to ([\d,]+)\s+copies, litho\s+from\s+([\d,]+)", README)
    assert [int(number.replace(",", "")) for number in told.groups()] == [
        bands[0]["to"],
        bands[1]["from"],
    ]
    assert [band["process"] for band in bands] == ["toner", "sheetfed_litho"]


def test_the_decision_shown_is_the_one_made(client):
    body = json.loads((ROOT / "openapi/examples/which_process.json").read_text())
    told = comparison_text(client.post("/compare", json=body).get_json())
    shown = re.search(r"```text\n(.*?)```", README, flags=re.DOTALL)[1]
    blocks = shown.strip().split("\n\n")
    assert len(blocks) >= 5
    for block in blocks:
        assert f"\n{block}\n" in told


def test_what_can_be_explained_is_told():
    for word in EXPLAINED:
        assert f'"explain": ["{word}"]' in README
    for name in (*PARAMETERS["chart"].words, *PARAMETERS["table"].words):
        assert f"`{name}`" in README or f"={name}`" in README


def test_every_path_told_is_in_the_document(client):
    paths = set(client.get("/openapi.json").get_json()["paths"])
    told = set(re.findall(r"`(?:POST |GET )?(/[a-z.]+(?:/\{id\})?(?:/[a-z-]+)?)`", README))
    generic = {re.sub(r"\{\w+\}", "{id}", path) for path in paths}
    assert told <= generic
    assert {path for path in generic if not path.startswith("/problems")} <= told


def test_the_price_of_a_product_has_the_members_shown(client):
    path = re.search(r"8000(/products/\S+?)'", README)[1]
    shown = json.loads(re.findall(r"```jsonc\n(.*?)```", README, flags=re.DOTALL)[1])
    assert holds(client.get(path).get_json(), shown)


def test_every_file_linked_exists():
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / target).exists(), target


def test_every_variable_the_service_reads_is_told():
    read = set(re.findall(r"SIDELAY_[A-Z_]+", (ROOT / "service/sidelay/config.py").read_text()))
    assert read <= set(re.findall(r"SIDELAY_[A-Z_]+", README))


def test_a_plant_file_is_started_and_checked_as_shown(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    for command in ("new own.toml --id own --currency EUR", "check own.toml"):
        assert cli.main(["plant", *command.split()]) == 0
        assert f"sidelay plant {command}\n{capsys.readouterr().out}" in README
