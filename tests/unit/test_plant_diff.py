"""`sidelay plant diff`: which prices move between two plant files, and why."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest

from shop import DEMO_FILE, EXAMPLES, demo_text
from sidelay import cli
from sidelay.plant_tools.changes import changes
from sidelay.plant_tools.trials import planned_trials

LEAFLET = EXAMPLES / "tri_fold_leaflet.json"
CARDS = EXAMPLES / "business_cards.json"
AS_OF = ["--as-of", "2026-11-24T09:00:00+00:00"]


@pytest.fixture
def files(tmp_path: Path):
    """Writes an old plant file and a new one, in which some texts are put in place of others."""

    def write(*pairs: tuple[str, str]) -> list[str]:
        text = demo_text("sheetfed_litho", "toner")
        (tmp_path / "old.toml").write_text(text)
        for before, after in pairs:
            assert before in text
            text = text.replace(before, after, 1)
        (tmp_path / "new.toml").write_text(text)
        return [str(tmp_path / "old.toml"), str(tmp_path / "new.toml")]

    return write


@pytest.fixture
def report(files, capsys):
    """Runs the command with --json, and returns what it prints."""

    def run(*pairs: tuple[str, str], jobs=(LEAFLET,), options=()):
        asked = ["plant", "diff", *files(*pairs), *map(str, jobs), "--json", *AS_OF, *options]
        assert cli.main(asked) == 0
        return json.loads(capsys.readouterr().out)

    return run


MARKUP = ("time_markup = 0.25", "time_markup = 0.35")


def test_nothing_moves_where_only_words_changed(report, files, capsys):
    found = report(('name = "Guillotine"', 'name = "The big guillotine"'))
    assert [move["status"] for move in found["moves"]] == ["same"] * 3
    assert [change["words"] for change in found["changes"]] == [True]
    assert found["trials"] == []
    assert cli.main(["plant", "diff", *files(), str(LEAFLET)]) == 0
    told = capsys.readouterr().out
    assert "0 of 3 prices of 1 job(s) move" in told
    assert "Nothing changed in the plant file" in told


def test_a_move_is_explained_by_lines_steps_and_changes(report):
    found = report(MARKUP, ("wage_per_hour = 24.00", "wage_per_hour = 27.00"))
    assert [change["key"] for change in found["changes"]] == ["time_markup", "wage_per_hour"]
    move = next(move for move in found["moves"] if move["quantity"] == 10_000)
    assert (move["status"], move["rerouted"]) == ("moved", None)
    parts = sum(Decimal(each["difference"]) for each in (*move["lines"], *move["steps"]))
    assert parts == Decimal(move["difference"])
    assert {line["label"] for line in move["lines"]} == {"make-ready", "running", "wash-up"}
    effects = [Decimal(each["difference"]) for each in move["effects"]]
    assert len(effects) == 2
    assert sum(effects) + Decimal(move["joint"]) == Decimal(move["difference"])
    assert min(effects) > Decimal(move["joint"]) > 0
    shares = [abs(each["percent"]) for each in found["moves"]]
    assert shares == sorted(shares, reverse=True)


def test_an_effect_is_the_price_of_the_old_file_with_that_change_alone(report):
    both = report(MARKUP, ("wage_per_hour = 24.00", "wage_per_hour = 27.00"))
    alone = report(MARKUP)
    for move in alone["moves"]:
        (other,) = (m for m in both["moves"] if m["quantity"] == move["quantity"])
        assert other["effects"][0]["price"] == move["new"]["price"]


def _dearer(stock: str) -> tuple[str, str]:
    """The text of a stock, and of the same at other prices per tonne."""
    text = demo_text("toner")
    start = text.index(f'id = "{stock}"')
    block = text[start : text.index("[[stocks]]", start)]
    return block, block.replace("\nprice = 1", "\nprice = 2").replace("price = 15", "price = 25")


def test_a_stock_that_the_job_is_not_on_has_no_effect(report):
    both = report(_dearer("silk_350"), _dearer("silk_150"))
    alone = report(_dearer("silk_150"))
    assert {change["table"][:16] for change in both["changes"]} == {
        "stocks[silk_150]",
        "stocks[silk_350]",
    }
    effects = 0
    for move, of_own in zip(both["moves"], alone["moves"], strict=True):
        assert (move["new"], move["joint"]) == (of_own["new"], of_own["joint"])
        for effect, same in zip(move["effects"], of_own["effects"], strict=True):
            (number,) = both["trials"][effect["trial"]]["changes"]
            assert both["changes"][number]["table"].startswith("stocks[silk_150]")
            assert (effect["price"], effect["presses"]) == (same["price"], same["presses"])
            effects += 1
    assert effects >= 3


def test_a_press_that_changed_is_told_with_what_the_old_one_costs(report, files, capsys):
    dearer = ("click_colour_price = 0.038", "click_colour_price = 0.38")
    found = report(dearer)
    moved = [move for move in found["moves"] if move["rerouted"]]
    assert moved
    for move in moved:
        old = move["rerouted"]["old_presses_now"]
        assert old["presses"] == move["old"]["presses"] != move["new"]["presses"]
        assert Decimal(old["price"]) >= Decimal(move["new"]["price"])
        before = move["rerouted"]["new_presses_before"]
        assert Decimal(before["price"]) >= Decimal(move["old"]["price"])
    assert cli.main(["plant", "diff", *files(dearer), str(LEAFLET), *AS_OF]) == 0
    told = capsys.readouterr().out
    assert "The presses changed from toner_colour_a3 to litho" in told
    assert all(len(line) <= 100 for line in told.splitlines()[2:])


def test_a_job_that_became_impossible_and_possible_says_why(report, capsys, files):
    gone = ('id = "silk_350"', 'id = "silk_360"')
    found = report(gone, jobs=[CARDS])
    assert {move["status"] for move in found["moves"]} == {"impossible_now"}
    assert all("No stock has this id" in move["why_not"][0] for move in found["moves"])
    old, new = files(gone)
    assert cli.main(["plant", "diff", new, old, str(CARDS)]) == 0
    told = capsys.readouterr().out
    assert "possible now" in told
    assert "makes it possible, for" in told


def test_a_change_that_makes_no_plant_alone_is_told(report):
    found = report(
        MARKUP,
        ('cost_centre = "cutting"', 'cost_centre = "new_cutting"'),
        ('id = "cutting"', 'id = "new_cutting"'),
    )
    faults = [trial["faults"] for trial in found["trials"] if trial["faults"]]
    assert faults
    assert any("no cost centre" in fault for each in faults for fault in each)


def test_changes_beyond_the_most_go_together_and_are_told(report, files, capsys):
    pairs = [
        MARKUP,
        ("minimum_charge = 15.00", "minimum_charge = 16.00"),
        ("wage_per_hour = 24.00", "wage_per_hour = 27.00"),
        ("investment = 900000", "investment = 950000"),
    ]
    found = report(*pairs, options=["--most-trials", "2"])
    assert found["trials_together"]
    assert found["trials_left_out"] == 0
    assert [len(trial["changes"]) for trial in found["trials"]] == [2, 2]
    options = ["--most-trials", "1"]
    assert cli.main(["plant", "diff", *files(*pairs), str(LEAFLET), *options]) == 0
    assert "1 tried alone; 1 more were not, see --most-trials." in capsys.readouterr().out
    assert report(*pairs, options=["--most-trials", "0"])["trials"] == []


def test_tables_that_the_answers_name_are_tried_first():
    old = {"stocks": [{"id": name, "price": 1} for name in "abc"], "price_policy": {"m": 1}}
    new = {"stocks": [{"id": name, "price": 2} for name in "abc"], "price_policy": {"m": 2}}
    found = changes(old, new)
    plan = planned_trials(found, {"c"}, 2)
    assert [found[numbers[0]].record for numbers in plan.trials] == ["stocks[c]", "price_policy"]
    assert plan.left_out == 2


def test_jobs_come_from_folders_and_lines(report, tmp_path):
    lines = tmp_path / "jobs.ndjson"
    body = json.loads(CARDS.read_text())
    rows = [{"id": "first", "request": body}, body]
    lines.write_text("\n\n".join(map(json.dumps, rows)))
    folder = tmp_path / "jobs"
    folder.mkdir()
    (folder / "leaflet.json").write_bytes(LEAFLET.read_bytes())
    (folder / "notes.txt").write_text("no job")
    found = report(jobs=[lines, folder])
    assert {move["job"] for move in found["moves"]} == {"first", "jobs:3", "leaflet"}


def test_a_customer_group_has_its_own_prices(report):
    found = report(MARKUP, options=["--group", "trade"])
    assert {move["status"] for move in found["moves"]} == {"same"}


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda d: [d / "none.toml", DEMO_FILE, LEAFLET], "cannot be read"),
        (lambda d: [_write(d, "[plant\n"), DEMO_FILE, LEAFLET], "not TOML"),
        (lambda d: [DEMO_FILE, DEMO_FILE, d / "none.json"], "cannot be read"),
        (lambda d: [DEMO_FILE, DEMO_FILE, _write(d, "{}", "a.json")], "a request with a job"),
        (lambda d: [DEMO_FILE, DEMO_FILE, _write(d, "{\n", "a.jsonl")], "line 1"),
        (lambda d: [DEMO_FILE, DEMO_FILE, d], "no request"),
        (lambda d: [DEMO_FILE, DEMO_FILE, LEAFLET, "--group", "nobody"], "has a customer group"),
        (
            lambda d: [DEMO_FILE, _write(d, _text().replace('"EUR"', '"GBP"')), LEAFLET],
            "cannot be compared",
        ),
    ],
)
def test_what_cannot_be_read_or_compared_is_refused(tmp_path, capsys, make, told):
    assert cli.main(["plant", "diff", *map(str, make(tmp_path))]) == 2
    assert told in capsys.readouterr().err


def _text() -> str:
    return demo_text("toner")


def _write(folder: Path, text: str, name: str = "plant.toml") -> Path:
    (folder / name).write_text(text)
    return folder / name


@pytest.mark.parametrize(
    "options", [["--as-of", "2026-11-24T09:00:00"], ["--as-of", "soon"], ["--most-trials", "-1"]]
)
def test_options_that_mean_nothing_are_wrong_usage(options, capsys):
    with pytest.raises(SystemExit) as ended:
        cli.main(["plant", "diff", "a.toml", "b.toml", "c.json", *options])
    assert ended.value.code == 2
    assert "expected" in capsys.readouterr().err
