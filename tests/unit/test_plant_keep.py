"""`sidelay plant keep`: a plant file under its revision, whole or not at all."""

from __future__ import annotations

import os
import stat
from argparse import Namespace
from pathlib import Path

import pytest

from shop import demo_text, processes
from sidelay.plant_file import read_plant
from sidelay.plant_tools.keep import run

TEXT = demo_text("toner")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    file = tmp_path / "shop.toml"
    file.write_text(TEXT)
    return file


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "revisions"
    folder.mkdir()
    return folder


def keep(file: Path, folder: Path) -> int:
    return run(Namespace(file=file, folder=folder))


def test_it_is_kept_under_its_revision(file: Path, folder: Path, capsys) -> None:
    os.utime(file, (1_700_000_000, 1_700_000_000))
    file.chmod(0o640)
    assert keep(file, folder) == 0
    [kept] = folder.iterdir()
    assert kept.name == f"demo-{read_plant(file, processes()).revision}.toml"
    assert kept.read_bytes() == file.read_bytes()
    assert stat.S_IMODE(kept.stat().st_mode) == 0o640, "whoever may not read it still may not"
    assert kept.stat().st_mtime == 1_700_000_000
    assert capsys.readouterr().out == f"{kept}: kept\n"


def test_once_is_enough(file: Path, folder: Path, capsys) -> None:
    assert [keep(file, folder), keep(file, folder)] == [0, 0]
    [kept] = folder.iterdir()
    assert capsys.readouterr().out.splitlines()[1] == f"{kept}: is there already"


def test_half_a_file_of_its_name_is_replaced(file: Path, folder: Path, capsys) -> None:
    keep(file, folder)
    [kept] = folder.iterdir()
    kept.write_text(TEXT[:100])
    assert keep(file, folder) == 0
    assert kept.read_text() == TEXT
    assert capsys.readouterr().out.splitlines()[1].endswith(": kept")


def test_a_faulty_file_is_refused_with_every_fault(file: Path, folder: Path, capsys) -> None:
    file.write_text(TEXT.replace("lift_mm = 80", "lift_mm = -80").replace('"EUR"', '"euro"'))
    assert keep(file, folder) == 1
    told = capsys.readouterr().err.splitlines()
    assert any("lift_mm" in line for line in told)
    assert any("currency" in line for line in told)
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize("missing", ["file", "folder"])
def test_what_is_not_there(file: Path, folder: Path, missing: str, capsys) -> None:
    asked = {"file": file, "folder": folder} | {missing: file.with_name("none")}
    assert keep(**asked) == 2
    assert "No such file or directory" in capsys.readouterr().err


def test_nothing_is_left_behind_where_it_fails(file: Path, folder: Path, monkeypatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert keep(file, folder) == 2
    assert list(folder.iterdir()) == []
