"""`sidelay key`: a key is told once, and the lines it prints let that key in."""

from __future__ import annotations

import hashlib
import io
import sys
import tomllib
from pathlib import Path

import pytest

from access_files import SHOP_KEY
from sidelay import cli
from sidelay.http.access import read_access


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert cli.main(["key", *arguments]) == 0
    return capsys.readouterr().out


def test_the_lines_printed_let_the_key_printed_in(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = run(capsys, "web_shop")
    key = told.splitlines()[2]
    table = told[told.index("[[clients]]") :]
    assert told.count(key) == 1
    assert tomllib.loads(table)["clients"][0]["id"] == "web_shop"
    file = tmp_path / "access.toml"
    file.write_text("open = []\n" + table)
    found = read_access(file).caller_of(key)
    assert found is not None
    assert (found.client, found.scopes) == ("web_shop", {"price"})


def test_every_key_is_new(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "shop").splitlines()[2] != run(capsys, "shop").splitlines()[2]


@pytest.mark.parametrize("end", ["", "\n", "\r\n"])
def test_the_hash_of_a_key_that_is_typed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], end: str
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(SHOP_KEY + end))
    expected = hashlib.sha256(SHOP_KEY.encode()).hexdigest()
    assert run(capsys, "shop", "--hash") == expected + "\n"


def test_sha_256_is_the_published_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """FIPS 180-4's example of 448 bits is a key by its form; its hash is told there."""
    text = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"
    monkeypatch.setattr(sys, "stdin", io.StringIO(text))
    expected = "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"
    assert run(capsys, "shop", "--hash").strip() == expected


@pytest.mark.parametrize("typed", ["", "short", "k" * 31, "k" * 257, "k" * 20 + ", " + "k" * 20])
def test_what_is_no_key_is_refused_and_not_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], typed: str
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
    assert cli.main(["key", "shop", "--hash"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("Expected a key of 32 to 256 characters")
    assert not typed or typed not in said.err


@pytest.mark.parametrize("name", ["Web Shop", "", "1shop", 'a"b', "a" * 64])
def test_an_id_that_the_file_would_refuse(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        cli.main(["key", name])
    assert ended.value.code == 2
    assert "snake_case" in capsys.readouterr().err
