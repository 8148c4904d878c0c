"""No route tells a caller without the scope cost any cost, rate or mark-up, in whatever form.

The plant is the demo plant with all its money made odd, so that its figures are known again.
"""

from __future__ import annotations

import copy
import csv
import io
import json
import re
import shutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from access_files import CLOSED, OFFICE_KEY, SHOP_KEY
from cost_watch import betrayed, cost_names, figures_in, money_in
from intent_samples import PTK, XJDF, leaflet, request
from shop import DEMO_FILE, EXAMPLES, clock, processes
from sidelay.catalogue_file import catalogue_path
from sidelay.config import Settings
from sidelay.http.app import create_app
from sidelay.http.problems import PROBLEM_TYPES
from sidelay.http.schemas.answer_compare import ComparisonSchema
from sidelay.http.schemas.answers import EstimateSchema
from sidelay.http.schemas.catalogue import PlantSchema
from sidelay.http.shown import PARAMETERS

CSV, JSON, NDJSON, SVG = "text/csv", "application/json", "application/x-ndjson", "image/svg+xml"
BODIES = {file.stem: json.loads(file.read_bytes()) for file in sorted(EXAMPLES.glob("*.json"))}
SCHEMAS = {"/estimate": EstimateSchema, "/compare": ComparisonSchema}
# Columns of tables that are numbers in JSON, and no money.
NUMBERS = frozenset(
    {
        "score",
        "hours",
        "hours_to_ready",
        "slack_h",
        "ratio_to_best",
        "ratio_price",
        "ratio_readiness",
    }
)
# Jobs that are answered in the forms of other standards: with outwork, shells, a due date, nobody.
INTENTS = ("brochure", "case_bound_history", "when_ready", "shirts", "oversize_poster")
# Documents of the software, the same for every plant: they may name costs, and hold none of ours.
DOCUMENTS = ("/openapi.json", "/processes/<process_id>")
MONEY = re.compile(
    r"^(\w*(?:price|rate_per_hour|wage_per_hour|markup|material_per|investment|supplies|"
    r"supervision|repairs)\w*) = ([0-9.]+)",
    re.MULTILINE,
)


@dataclass(frozen=True)
class Ask:
    """A request, and the status that it is answered with."""

    path: str
    body: Any = None
    accept: str = ""
    status: int = 200
    method: str = ""

    def send(self, client: FlaskClient) -> Any:
        """Return the answer."""
        headers = {"Accept": self.accept} if self.accept else {}
        method = self.method or ("GET" if self.body is None else "POST")
        if isinstance(self.body, bytes):
            return client.open(
                self.path, method=method, data=self.body, headers=headers, content_type=self.accept
            )
        return client.open(self.path, method=method, json=self.body, headers=headers)


# ---------------------------------------------------------------- what is asked, route by route


def asked(name: str, **changes: Any) -> dict[str, Any]:
    """An example as a caller may ask it that sees no costs, with all else that there is."""
    body = copy.deepcopy(BODIES[name])
    for member in ("detail", "rank_by", "from"):
        body.pop(member, None)
    return body | {"up_to": 20_000, "curves": True, "explain": ["remedies"]} | changes


def single(name: str) -> dict[str, Any]:
    """An example at its first quantity alone."""
    body = asked(name)
    body["job"]["quantities"] = body["job"]["quantities"][:1]
    return body


def estimates() -> Iterator[Ask]:
    for name in BODIES:
        yield Ask("/estimate", asked(name))
    yield Ask("/estimate", asked("when_ready", overtime=True))
    yield Ask("/estimate", request())
    yield Ask("/estimate", leaflet())
    yield Ask("/estimate", request(), XJDF)
    for name in INTENTS:
        yield Ask("/estimate", single(name), XJDF)
        yield Ask("/estimate", asked(name), PTK)
    yield Ask("/estimate", asked("brochure"), XJDF, 422)
    yield from faulty("/estimate")
    yield from refused("/estimate")


def comparisons() -> Iterator[Ask]:
    for name in BODIES:
        yield Ask("/compare", asked(name))
    for name in ("a6_flyer", "when_ready", "shirts", "oversize_poster"):
        for table in PARAMETERS["table"].words:
            yield Ask(f"/compare?table={table}", asked(name), CSV)
        for chart in ("unit_cost", "total_cost"):
            yield Ask(f"/compare?chart={chart}", asked(name), SVG)
    yield Ask("/compare", asked("a6_flyer", rank_by={"price": 0.5, "readiness": 0.5}))
    yield Ask("/compare", request())
    yield Ask("/compare", request(), PTK)
    for name in INTENTS:
        yield Ask("/compare", asked(name), PTK)
    yield Ask("/compare?measure=cost", asked("a6_flyer"), SVG, 403)
    yield Ask("/compare?chart=money", asked("a6_flyer"), SVG, 403)
    yield Ask("/compare?chart=money&measure=price", asked("a6_flyer"), SVG, 403)
    yield Ask("/compare?sort=cost", asked("a6_flyer"), status=422)
    yield from faulty("/compare")
    yield from refused("/compare")


def validations() -> Iterator[Ask]:
    for name in BODIES:
        yield Ask("/validate", asked(name))
    yield Ask("/validate", request())
    yield from faulty("/validate")
    yield from refused("/validate")


def faulty(path: str) -> Iterator[Ask]:
    """Requests with a fault of each kind."""
    yield Ask(path, asked("a6_flyer", plant="nowhere"), status=422)
    yield Ask(path, asked("a6_flyer", presses=["nowhere"]), status=422)
    yield Ask(path, asked("a6_flyer", rank_by={"cost": 0.5}), status=422)
    yield Ask(path, asked("a6_flyer", detail="cost", explain=["cost"]), status=422)
    body = asked("a6_flyer")
    body["job"]["parts"][0]["stock"] = {"id": "nowhere"}
    body["job"]["parts"][0]["operations"] = [{"operation": "gild"}]
    yield Ask(path, body, status=422)
    yield Ask(path, [], status=400)
    yield Ask(path, asked("a6_flyer"), "image/png", 406)
    yield Ask(path, method="GET", status=405)


def batches() -> Iterator[Ask]:
    """What the other paths are asked, in lines: of one job each, and all that is refused."""
    for ask in ("estimate", "compare", "validate"):
        for name in ("a6_flyer", "brochure", "programme_with_insert", "shirts"):
            yield Ask("/batch", a_line(ask, asked(name)), NDJSON)
        wrong = [*faulty(f"/{ask}"), *refused(f"/{ask}")]
        lines = [a_line(ask, each.body) for each in wrong if each.status in (403, 422)]
        yield Ask("/batch", b"".join([*lines, b"{"]), NDJSON)
    yield Ask("/batch?after=none", b"{}", NDJSON, 422)


def a_line(ask: str, body: Any) -> bytes:
    """A line of a batch."""
    return json.dumps({"ask": ask, "request": body}).encode() + b"\n"


COSTLY = (
    ({"detail": "lines"}, "detail lines"),
    ({"detail": "trace"}, "detail trace"),
    ({"explain": ["cost_bands"]}, "explain cost_bands"),
    ({"explain": ["remedies", "sensitivity"]}, "explain sensitivity"),
    ({"rank_by": "cost"}, "rank_by cost"),
    ({"rank_by": {"price": 0.9, "cost": 0.1}}, "rank_by cost"),
)


def refused(path: str) -> Iterator[Ask]:
    """Requests for what may not be seen."""
    for changes, _ in COSTLY:
        yield Ask(path, asked("a6_flyer", **changes), status=403)


def price_lists() -> Iterator[Ask]:
    query = "size=a6&stock=silk_130,silk_250&back=blank&film=none,matt&corners=square&turn=usual"
    for accept in (JSON, CSV, NDJSON):
        yield Ask(f"/products/flyer/price-list?{query}&quantity=250,1000", accept=accept)
    yield Ask("/products/flyer/price-list?cost=1", status=422)


def of_each(path: str) -> Callable[[], Iterator[Ask]]:
    """Ask the same of each product, and of one that is not there."""

    def asks() -> Iterator[Ask]:
        for product in ("flyer", "folded_leaflet", "business_card", "booklet", "label", "poster"):
            yield Ask(path.format(product))
        yield Ask(path.format("nothing"), status=404)

    return asks


def simply(path: str, *names: str) -> Callable[[], Iterator[Ask]]:
    """Ask for a path, with each of some names and with one that is not there."""

    def asks() -> Iterator[Ask]:
        yield from (Ask(path.format(name)) for name in names or ("",))
        if names:
            yield Ask(path.format("nothing"), status=404)

    return asks


# Every route of the service. A new one needs its line: ask it for all that it can tell.
ROUTES: Mapping[str, Callable[[], Iterator[Ask]]] = {
    "/estimate": estimates,
    "/compare": comparisons,
    "/validate": validations,
    "/batch": batches,
    "/products": simply("/products"),
    "/products/<product_id>": of_each("/products/{}"),
    "/products/<product_id>/price": of_each("/products/{}/price"),
    "/products/<product_id>/job": of_each("/products/{}/job?quantity=1000"),
    "/products/<product_id>/price-list": price_lists,
    "/quotes/check": lambda: iter([Ask("/quotes/check", {"token": "none"})]),
    "/processes": simply("/processes"),
    "/processes/<process_id>": simply("/processes/{}", *processes().about),
    "/plants": simply("/plants"),
    "/plants/<plant_id>": simply("/plants/{}", "demo"),
    "/problems/<problem_id>": simply("/problems/{}", *PROBLEM_TYPES),
    "/openapi.json": simply("/openapi.json"),
    "/metrics": lambda: iter([Ask("/metrics", status=403)]),
    "/livez": simply("/livez"),
    "/readyz": simply("/readyz"),
}


# ---------------------------------------------------------------- who asks, and what is secret


def oddly(line: re.Match[str]) -> str:
    """Make the money of a line odd; a factor stays what it is."""
    name, figure = line.groups()
    if name.endswith("_times"):
        return line[0]
    return f"{name} = {float(figure) * (1.0371 + line.start() % 7 * 0.00113):.6g}"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the odd plant and its catalogue."""
    where = tmp_path_factory.mktemp("odd")
    text, changed = MONEY.subn(oddly, DEMO_FILE.read_text())
    assert changed > 200
    (where / DEMO_FILE.name).write_text(text)
    shutil.copy(catalogue_path(DEMO_FILE), where)
    return where


@pytest.fixture(scope="module")
def app(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """The service on the odd plant, for those who have a key."""
    access = tmp_path_factory.mktemp("access") / "access.toml"
    access.write_text(CLOSED)
    return create_app(Settings(plants=folder, access=access), clock=clock)


def who_has(key: str, app: Flask) -> FlaskClient:
    """Return a client that sends a key."""
    client = app.test_client()
    client.environ_base["HTTP_X_API_KEY"] = key
    return client


@pytest.fixture(scope="module")
def client(app: Flask) -> FlaskClient:
    """A shop, whose key has the scope price alone."""
    return who_has(SHOP_KEY, app)


@pytest.fixture(scope="module")
def insider(app: Flask) -> FlaskClient:
    """The office, which sees the costs."""
    return who_has(OFFICE_KEY, app)


@dataclass(frozen=True)
class Known:
    """Figures of money that tell costs: those of the plant, and those of a job."""

    insider: FlaskClient
    plant: frozenset[str]

    def secret(self, route: str, ask: Ask) -> set[str]:
        """Return the figures that an answer may not tell."""
        if route == "/batch" and ask.body.count(b"\n") == 1:
            line = json.loads(ask.body)
            return self.secret(f"/{line['ask']}", Ask("", line["request"]))
        if ask.status != 200 or route not in SCHEMAS:
            return set(self.plant)
        return self._of_job(route, json.dumps(ask.body))

    @cache  # noqa: B019  (one to a module)
    def _of_job(self, route: str, told: str) -> set[str]:
        body = json.loads(told) | {"detail": "trace", "explain": ["remedies", "cost_bands"]}
        answer, schema = self.insider.post(route, json=body).get_json(), SCHEMAS[route]()
        costs, prices = (set(money_in(answer, schema, of_costs=of)) for of in (True, False))
        return (self.plant | costs) - prices


@pytest.fixture(scope="module")
def known(insider: FlaskClient, folder: Path) -> Known:
    """What is secret, with the figures of the plant file as texts would tell them."""
    text = (folder / DEMO_FILE.name).read_text()
    forms = ("{:.2f}", "{:.3f}", "{:.4f}", "{:g}")
    figures = {form.format(float(each[2])) for each in MONEY.finditer(text) for form in forms}
    shown = insider.get("/plants/demo").get_json()
    rates = set(money_in(shown, PlantSchema(), of_costs=True))
    assert len(rates) > 50
    return Known(insider, frozenset(figures | rates))


# ---------------------------------------------------------------- watching


def parsed(answer: Any) -> Any:
    """Return what an answer tells, as JSON: tables by their columns, pictures by their words."""
    kind = answer.content_type.partition(";")[0]
    if kind.endswith("json") and kind != NDJSON:
        return answer.get_json()
    if kind == NDJSON:
        told = [json.loads(line) for line in answer.text.splitlines()]
        return [each for each in told if "done" not in each]  # its lines are those of a batch
    if kind == CSV:
        return [
            {name: float(cell) if cell and name in NUMBERS else cell for name, cell in row.items()}
            for row in csv.DictReader(io.StringIO(answer.text))
        ]
    if kind == SVG:
        return re.findall(r">([^<>]+)<", answer.text)
    return answer.text


def seen(answer: Any, secret: set[str], *, document: bool = False) -> set[str]:
    """Return what an answer tells of costs: members by their names, and figures."""
    told = parsed(answer)
    names = set() if document else cost_names(told)
    if answer.content_type.startswith(CSV):
        header = answer.text.partition("\r\n")[0].split(",")
        names |= cost_names(dict.fromkeys(header))
    return names | betrayed(told, secret)


ASKS = [
    pytest.param(route, ask, id=f"{ask.method or ''}{ask.path}-{number}-{ask.accept}")
    for route, asks in ROUTES.items()
    for number, ask in enumerate(asks())
]


def test_every_route_is_watched(app: Flask) -> None:
    assert {rule.rule for rule in app.url_map.iter_rules()} == set(ROUTES)


@pytest.mark.parametrize(("route", "ask"), ASKS)
def test_no_cost_is_told(client: FlaskClient, known: Known, route: str, ask: Ask) -> None:
    answer = ask.send(client)
    assert answer.status_code == ask.status, answer.text
    secret = known.secret(route, ask)
    assert not seen(answer, secret, document=route in DOCUMENTS)


@pytest.mark.parametrize("path", ["/estimate", "/compare", "/validate"])
@pytest.mark.parametrize(("changes", "named"), COSTLY)
def test_what_may_not_be_seen_is_refused_by_name(
    client: FlaskClient, path: str, changes: dict[str, Any], named: str
) -> None:
    answer = client.post(path, json=asked("a6_flyer", **changes))
    assert answer.status_code == 403
    assert answer.content_type == "application/problem+json"
    problem = answer.get_json()
    assert problem["type"] == "/problems/scope_missing"
    assert named in problem["detail"]
    assert "scope cost" in problem["detail"]


def test_what_is_asked_wrongly_is_told_first(client: FlaskClient) -> None:
    """A fault is a fault for whoever asks."""
    body = asked("a6_flyer", detail="lines", plant="nowhere")
    assert client.post("/estimate", json=body).status_code == 422


# ---------------------------------------------------------------- the watch itself


@pytest.mark.parametrize(
    "ask",
    [
        Ask("/estimate", asked("brochure")),
        Ask("/estimate", asked("brochure", detail="trace")),
        Ask("/compare", asked("brochure")),
        Ask("/compare?table=choices", asked("brochure"), CSV),
        Ask("/compare?table=curves", asked("brochure"), CSV),
        Ask("/compare?chart=total_cost", asked("brochure"), SVG),
        Ask("/compare?chart=money", asked("brochure"), SVG),
        Ask("/plants/demo"),
    ],
    ids=lambda ask: f"{ask.path}-{ask.accept}",
)
def test_the_watch_sees_what_an_insider_is_told(
    insider: FlaskClient, known: Known, ask: Ask
) -> None:
    route = ask.path.partition("?")[0]
    assert seen(ask.send(insider), known.secret(route, ask))


def test_the_watch_sees_a_cost_that_is_put_back(client: FlaskClient, known: Known) -> None:
    ask = Ask("/compare", asked("brochure"))
    told, secret = ask.send(client).get_json(), known.secret("/compare", ask)
    inside = known.insider.post("/compare", json=ask.body).get_json()
    choice = told["quantities"][0]["choices"][0]
    cost = inside["quantities"][0]["choices"][0]["cost"]["total"]
    assert cost in secret
    assert not cost_names(told)
    assert not betrayed(told, secret)
    choice["note"] = f"made for {cost}, and no less"
    assert betrayed(told, secret) == {cost}
    choice["note"], choice["unit_cost"] = "", 1
    assert cost_names(told) == {"unit_cost"}


def test_the_watch_sees_what_work_is_bought_at(insider: FlaskClient, known: Known) -> None:
    """Sentences about steps tell prices of outwork; they are no figure of their own member."""
    body = asked("case_bound_history")
    steps = insider.post("/estimate", json=body).get_json()["estimates"][0]["operations"]
    bound = next(step for step in steps if step["bought_out"])
    assert set(figures_in(bound["because"])) & known.plant


def test_an_insider_and_a_stranger_are_told_the_same_prices(
    client: FlaskClient, insider: FlaskClient
) -> None:
    for path, schema in SCHEMAS.items():
        body = asked("programme_with_insert")
        mine, theirs = (each.post(path, json=body).get_json() for each in (client, insider))
        prices = [list(money_in(each, schema(), of_costs=False)) for each in (mine, theirs)]
        assert prices[0] == prices[1] != []


def test_a_picture_without_a_measure_is_of_prices(client: FlaskClient) -> None:
    ask = Ask("/compare", asked("a6_flyer"), SVG)
    assert ask.send(client).data == replace(ask, path="/compare?measure=price").send(client).data
