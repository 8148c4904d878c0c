"""The service as it runs in production, asked through the client and the command line."""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import requests

from sidelay.client import Client, ProblemError
from sidelay.config import DEMO_ACCESS

ROOT = Path(__file__).parents[2]


@pytest.fixture
def body(example):
    return json.loads(example.read_text()) | {"as_of": "2026-11-24T09:00:00Z"}


@pytest.fixture
def client(service):
    with Client(service.url) as made:
        yield made


def test_a_job_is_compared(client, body):
    answer = client.compare(body)
    assert [row["quantity"] for row in answer["quantities"]] == body["job"]["quantities"]
    assert answer["bands"][0]["from"] == 1
    assert answer["bands"][-1]["to"] == 1_000_000
    assert {"toner", "sheetfed_litho"} == {band["process"] for band in answer["bands"]}


def test_estimate_and_compare_agree_on_the_best(client, body):
    best = client.estimate(body)["estimates"]
    ranked = [row["choices"][0] for row in client.compare(body)["quantities"]]
    assert [(one["press"], one["price"]) for one in best] == [
        (one["press"], one["price"]) for one in ranked
    ]


def test_every_call_of_the_client_is_answered(client, body):
    assert client.ready()["status"] == "ready"
    assert client.validate(body)["valid"] is True
    for one, many in ((client.process, client.processes), (client.plant, client.plants)):
        listed = next(iter(many().values()))
        assert [one(each["id"])["id"] for each in listed] == [each["id"] for each in listed]
    with pytest.raises(ProblemError) as caught:
        client.plant("no such/plant")
    assert caught.value.status == 404
    assert caught.value.request_id


def test_both_workers_give_the_same_answer(service, body):
    def ask(_: int) -> str:
        with Client(service.url) as client:
            return json.dumps(client.compare(body))

    with ThreadPoolExecutor(8) as pool:
        assert len(set(pool.map(ask, range(40)))) == 1


def test_counts_are_those_of_both_workers_together(service, client):
    """Asked often enough that both have answered; whichever tells the counts, none is missing."""

    def counted() -> float:
        text = requests.get(f"{service.url}/metrics", timeout=10).text
        line = 'sidelay_requests_total{method="GET",route="/products/<product_id>",status="200"} '
        found = [row for row in text.splitlines() if row.startswith(line)]
        return float(found[0][len(line) :]) if found else 0.0

    before = counted()
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda _: Client(service.url).product("flyer"), range(40)))
    assert [counted() - before for _ in range(6)] == [40.0] * 6


def test_a_price_holds_at_the_till_whichever_worker_is_asked(start):
    begun = start(SIDELAY_QUOTE_KEYS="a secret of the shop that is long enough to be one")
    begun.wait_until_ready()
    with Client(begun.url) as till:
        row = till.prices("booklet", pages=24, quantity=500)["prices"][0]
        ordered = {"quantity": 500, "net": row["price"]["net"]}
        told = [till.check_quote(row["quote"]["token"], **ordered) for _ in range(8)]
    assert {each["status"] for each in told} == {"valid"}


def test_a_price_list_comes_in_pieces(service):
    asked = f"{service.url}/products/poster/price-list"
    with requests.get(asked, headers={"Accept": "text/csv"}, stream=True, timeout=30) as answer:
        assert answer.headers["Transfer-Encoding"] == "chunked"
        lines = [line for line in answer.iter_lines() if line]
    assert len(lines) == 1 + 60


def test_the_command_prints_a_table(service, sidelay, example, client, body):
    done = sidelay("compare", str(example), "--url", service.url)
    assert (done.returncode, done.stderr) == (0, "")
    best = client.compare(body)["quantities"][0]["choices"][0]
    lines = done.stdout.splitlines()
    assert max(map(len, lines)) <= 100
    first = next(line for line in lines if line.split()[:1] == ["100"])
    assert first.split()[1:4] == [best["press"], best["process"], best["price"]["net"]]


def test_the_command_shows_a_book_with_its_parts_and_its_binding(service, sidelay, example, client):
    book = example.with_name("paperback_novel.json")
    done = sidelay("estimate", str(book), "--url", service.url)
    assert (done.returncode, done.stderr) == (0, "")
    offer = client.estimate(book.read_bytes())["estimates"][0]
    blocks = {text.splitlines()[0]: text.splitlines()[3:] for text in done.stdout.split("\n\n")}
    parts, steps = blocks["The parts"], blocks["Finishing, binding and packing"]
    assert parts[0].split()[:3] == ["50", "text", offer["parts"][0]["press"]]
    assert parts[1].split()[:2] == ["cover", offer["parts"][1]["press"]]
    copies = [line.split()[-4] for line in steps if line.split()[0] == "copies"]
    assert copies == [step["machine"] for step in offer["operations"]]


def test_the_command_prints_the_answer_as_json(service, sidelay, example, client, body):
    at = "2026-11-24T09:00:00Z"
    done = sidelay("compare", str(example), "--url", service.url, "--json", "--as-of", at)
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout) == client.compare(body)


def test_the_command_draws_and_writes_tables(service, sidelay, example, client, body):
    ask = ("compare", str(example), "--url", service.url)
    drawn = sidelay(*ask, "--chart", "money", "--measure", "price")
    assert (drawn.returncode, drawn.stderr) == (0, "")
    assert drawn.stdout == client.chart(body, chart="money", measure="price").decode()
    table = sidelay(*ask, "--csv", "bands")
    assert (table.returncode, table.stderr) == (0, "")
    assert table.stdout.splitlines() == client.csv(body, table="bands").decode().splitlines()
    assert len(table.stdout.splitlines()) == 1 + len(client.compare(body)["bands"])
    refused = sidelay(*ask, "--chart", "pie")
    assert (refused.returncode, refused.stdout) == (1, "")
    assert refused.stderr.splitlines()[1].startswith("?chart: ")


def test_the_command_reads_standard_input(service, sidelay, example):
    at = ("--as-of", "2026-11-24T09:00:00Z", "--url", service.url)
    by_name = sidelay("estimate", str(example), *at)
    piped = sidelay("estimate", "-", *at, stdin=example.read_bytes())
    assert piped.returncode == by_name.returncode == 0
    assert piped.stdout == by_name.stdout != ""


@pytest.mark.parametrize(
    ("sent", "lines"),
    [
        (
            b'{"job": {"quantities": [1.5], "parts": []}, "x": 1}',
            ["#/job/parts: ", "#/job/quantities/0: ", "#/x: "],
        ),
        (b'{"job": 1, "job": 2}', []),
        (b"\xff\xfe", []),
        (b"", []),
        (b" " * 300_000, []),
    ],
)
def test_a_refused_request_is_told_by_line(service, sidelay, sent, lines):
    done = sidelay("compare", "-", "--url", service.url, stdin=sent)
    assert (done.returncode, done.stdout) == (1, "")
    told = done.stderr.splitlines()[1:]
    assert len(told) == len(lines)
    assert all(line.startswith(start) for line, start in zip(told, lines, strict=True))
    assert "Traceback" not in done.stderr


def test_no_service_is_told_in_one_line(sidelay, example, free_port):
    url = f"http://127.0.0.1:{free_port()}"
    done = sidelay("compare", str(example), "--url", url)
    assert (done.returncode, done.stdout) == (3, "")
    assert done.stderr == f"No service answers at {url}.\n"


def test_a_reader_that_leaves_is_no_fault(service, example):
    command = [Path(sys.executable).with_name("sidelay"), "compare", example, "--url", service.url]
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(command, stdout=writing, stderr=subprocess.PIPE, timeout=60)
    os.close(writing)
    assert (done.returncode, done.stderr) == (141, b"")


def test_a_terminal_without_the_letters_still_shows_the_price(service, body):
    body["job"]["title"] = "Größe"
    command = [Path(sys.executable).with_name("sidelay"), "compare", "-", "--url", service.url]
    done = subprocess.run(
        command,
        input=json.dumps(body).encode(),
        capture_output=True,
        env=os.environ | {"PYTHONIOENCODING": "ascii"},
        timeout=60,
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.startswith(b"Gr??e\n")


def test_a_taken_port_is_told_in_one_line(service, sidelay):
    done = sidelay("serve", "--port", str(service.port))
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == f"Port {service.port} is taken on 127.0.0.1; choose another.\n"


def test_a_plant_file_with_a_fault_stops_the_start(start, tmp_path):
    plant = tmp_path / "broken.toml"
    plant.write_text('[plant]\nid = "broken"\n')
    begun = start(
        SIDELAY_PLANTS=str(plant), SIDELAY_ACCESS=str(DEMO_ACCESS), TMPDIR=str(tmp_path)
    )
    assert begun.process.wait(30) == 3
    told = begun.log.read_text()
    assert told.count("broken.toml:1: [plant] name: ") == 1
    assert "Traceback" not in told
    assert "Listening" not in told
    assert list(tmp_path.glob("sidelay-metrics-*")) == []


@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="needs Linux's table of sockets")
def test_it_listens_on_loopback_whatever_the_environment_says(start, free_port):
    begun = start(GUNICORN_CMD_ARGS="--bind 0.0.0.0:1 --workers 1")
    begun.wait_until_ready()
    tables = "".join(Path("/proc/net", name).read_text() for name in ("tcp", "tcp6"))
    listening = [
        row.split()[1]
        for row in tables.splitlines()
        if row.split()[1].endswith(f":{begun.port:04X}") and row.split()[3] == "0A"
    ]
    little_endian = socket.inet_aton("127.0.0.1")[::-1].hex().upper()
    assert listening == [f"{little_endian}:{begun.port:04X}"]


@pytest.mark.parametrize("sent", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_stops_it_and_frees_the_port(start, sidelay, example, sent):
    begun = start()
    begun.wait_until_ready()
    begun.process.send_signal(sent)
    assert begun.process.wait(30) == 0
    assert sidelay("compare", str(example), "--url", begun.url).returncode == 3


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="needs Linux's /proc")
def test_a_new_master_takes_over_and_counts_in_a_folder_of_its_own(start, tmp_path):
    """USR2 starts a new master beside the old one, which then goes and takes its folder along."""
    begun = start(TMPDIR=str(tmp_path))
    begun.wait_until_ready()
    begun.process.send_signal(signal.SIGUSR2)
    deadline = time.monotonic() + 30
    while len(list(tmp_path.glob("sidelay-metrics-*"))) < 2 and time.monotonic() < deadline:
        time.sleep(0.1)
    time.sleep(3)  # until the new master listens too
    new = int(re.findall(r"pid: (\d+)", begun.log.read_text())[-1])
    begun.process.send_signal(signal.SIGTERM)
    assert begun.process.wait(30) == 0
    try:
        with Client(begun.url) as client:
            assert client.prices("poster", quantity=10)["prices"]
        assert "sidelay_requests_total" in requests.get(f"{begun.url}/metrics", timeout=10).text
    finally:
        parent = int(Path(f"/proc/{new}/stat").read_text().rsplit(")", 1)[1].split()[1])
        os.kill(parent, signal.SIGTERM)
    while list(tmp_path.glob("sidelay-metrics-*")) and time.monotonic() < deadline + 30:
        time.sleep(0.1)
    assert list(tmp_path.glob("sidelay-metrics-*")) == []


def test_an_operators_gunicorn_has_the_same_settings(tmp_path):
    def settings(config: str) -> list[str]:
        printed = subprocess.run(
            [sys.executable, "-m", "gunicorn", "-c", config, "--print-config", "sidelay:x"],
            capture_output=True,
            text=True,
            cwd=tmp_path,
            timeout=60,
        )
        return [line for line in printed.stdout.splitlines() if not line.startswith("config ")]

    operators = settings(str(ROOT / "deploy" / "gunicorn.conf.py"))
    assert operators == settings("python:sidelay.serving")
    named = {line.split("=")[0].strip(): line.split("=")[1].strip() for line in operators}
    assert named["bind"] == "['127.0.0.1:8000']"
    assert (named["worker_class"], named["preload_app"]) == ("sync", "True")
    assert (named["control_socket_disable"], named["max_requests"]) == ("True", "0")
