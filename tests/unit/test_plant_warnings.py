"""What is hardly meant and what is of no use is told as a warning; sound plants have none.

That the demo plant has none is seen through the command line, in test_plant_check.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from marshmallow import fields, validate

from shop import CLOCK, processes
from sidelay.catalogue_file import catalogue_path
from sidelay.describe import figure, whole
from sidelay.http.catalogues import read_products
from sidelay.plant_file import read_plant
from sidelay.plant_schema import PlantSchema
from sidelay.plant_tools.new import starter
from sidelay.plant_tools.unlikely import usual_figures
from sidelay.plant_tools.warn import warnings_of
from sidelay.plugin import PressBase, PressSchema, Usual, steps
from sidelay.processes import Processes
from sidelay.toml_file import PlantFault
from stencil import stencil

SHOP = starter("own", "EUR", ["sheetfed_litho", "toner"], processes())
DRILL = """
[[operations]]
id = "drill"
name = "Paper drill"
operation = "drill"
unit = "piece"
cost_centre = "cutting"
lifts_per_hour = 200
lift_mm = 50
grades = ["coated"]
"""
BINDER = """
[[binders]]
id = "stitcher"
name = "Stitcher"
method = "saddle_stitch"
cost_centre = "folding"
copies_per_hour = 2000
min_pages = 8
max_pages = 64
max_block_mm = 6
max_width_mm = 300
max_height_mm = 420
"""
MACHINE = """
[[time.machines]]
id = "toner_a3"
maintenance = [{ from = 2026-11-01T00:00:00, to = 2027-11-01T00:00:00, reason = "rebuilt" }]
"""
CATALOGUE = """
[catalogue]
languages = ["en"]

[[products]]
id = "card"
name = { en = "Cards" }
about = { en = "Cards." }
ladder = [100, 500]
[products.job]
[[products.job.parts]]
size = "a6"
front = { inks = ["black"] }
[[products.options]]
id = "stock"
name = { en = "Paper" }
default = "silk"
values = [
  { id = "silk", name = { en = "Silk" }, put = { "/parts/0/stock" = { id = "silk_150" } } },
  { id = "plain", name = { en = "Plain" }, put = { "/parts/0/stock" = { id = "offset_100" } } },
]
"""


def warned(
    tmp_path: Path,
    *changes: tuple[str, str],
    text: str = SHOP,
    catalogue: str = "",
    of: Processes | None = None,
) -> list[PlantFault]:
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    path = tmp_path / "own.toml"
    path.write_text(text)
    if catalogue:
        catalogue_path(path).write_text(catalogue)
    of = of or processes()
    plant = read_plant(path, of)
    products = read_products([(path, plant)])
    found = warnings_of(path, plant, products.values(), of, CLOCK)
    lines = {path.name: text.split("\n"), catalogue_path(path).name: catalogue.split("\n")}
    for warning in found:
        # Each stands where it says.
        assert warning.line is not None
        line = lines[warning.file][warning.line - 1]
        assert warning.key in line or line.startswith("[["), (str(warning), line)
    return found


def test_a_starter_with_machines_and_a_catalogue_has_none(tmp_path):
    text = SHOP + DRILL + BINDER + MACHINE.replace("2027-11", "2026-12")
    assert warned(tmp_path, text=text, catalogue=CATALOGUE) == []


@pytest.mark.parametrize(
    ("old", "new", "where", "told"),
    [
        (
            "rate_per_hour = 48 ",
            "rate_per_hour = 1 ",
            "[cost_centres[0]] rate_per_hour",
            "1 is unlikely; usual is 8 to 3,000 EUR/h",
        ),
        (
            "rate_per_hour = 48 ",
            "rate_per_hour = 10000 ",
            "[cost_centres[0]] rate_per_hour",
            "10,000 is unlikely",
        ),
        (
            "rate_per_hour = 48  # money an hour\ncrew = 1 ",
            "basis = { investment = 20, life_years = 10, chargeable_hours = 1000 } # ",
            "[cost_centres[0]] basis",
            "0.002 is unlikely",
        ),
        (
            "time_markup = 0.25",
            "time_markup = 3.5",
            "[price_policy] time_markup",
            "3.5 is unlikely; usual is 0 to 3 (",
        ),
        ("price = 1180", "price = 3", "[stocks[0]] price", "as money for a kilogram: 0.003"),
        ("price = 1560", "price = 156000", "[stocks[0].sheets[0]] price", "for a kilogram: 156"),
        (
            "bulk_cm3_per_g = 0.90",
            "caliper_um = 75",
            "[stocks[0]] caliper_um",
            "0.5 is unlikely; usual is 0.6 to 2.5 cm3/g",
        ),
        ("bulk_cm3_per_g = 0.90", "bulk_cm3_per_g = 2.6", "[stocks[0]] bulk_cm3_per_g", "2.6 is"),
        (
            "bulk_cm3_per_g = 0.90",
            "bulk_cm3_per_g = 0.90\nlead_days = 61",
            "[stocks[0]] lead_days",
            "61 is unlikely; usual is 0 to 60 d",
        ),
        ("plate_price = 4.50", "plate_price = 450", "[presses[0]] plate_price", "450 is unlikely"),
        (
            "rated_sheets_per_hour = 12000",
            "rated_sheets_per_hour = 600",
            "[presses[0]] rated_sheets_per_hour",
            "600 is unlikely; usual is 2,000 to 21,000 sheet/h",
        ),
        (
            "[[216, 80], [330, 55], [488, 42]]",
            "[[216, 800], [330, 55], [488, 42]]",
            "[presses[1]] sides_per_minute_by_length",
            "800 is unlikely",
        ),
        ("minutes = 30 ", "minutes = 300 ", "[proofs.press] minutes", "300 is unlikely"),
        (
            "[[cost_centres]]",
            '[[customer_groups]]\nid = "trade"\nname = "Trade"\n[customer_groups.price_policy]\n'
            "material_markup = 4\ntime_markup = 0\noutwork_markup = 0\n[[cost_centres]]",
            "[customer_groups[0].price_policy] material_markup",
            "4 is unlikely",
        ),
    ],
)
def test_a_figure_that_is_hardly_meant_is_told(tmp_path, old, new, where, told):
    found = [str(warning) for warning in warned(tmp_path, (old, new))]
    assert len(found) == 1, found
    assert where in found[0]
    assert told in found[0]


def test_money_is_not_judged_in_a_currency_of_another_size(tmp_path):
    changes = ("rate_per_hour = 48 ", "rate_per_hour = 9000 "), ('"EUR"', '"JPY"')
    assert warned(tmp_path, *changes) == []
    [still] = warned(tmp_path, *changes, ("time_markup = 0.25", "time_markup = 4"))
    assert still.key == "time_markup"


@pytest.mark.parametrize(
    ("old", "new", "where", "told"),
    [
        (
            "[[stocks]]",
            '[[stocks]]\nid = "tin"\nname = "Tin"\ngrade = "tin"\nfinish = "x"\n'
            "grammage_gsm = 1500\ncaliper_um = 2000\nprice = 2000\nprice_unit = 'tonne'\n"
            'sheets = [{ size = "sra3", grain = "long" }]\n[[stocks]]',
            "[stocks[0]] id",
            "no press of the plant prints on it: ",
        ),
        (
            "max_caliper_um = 400",
            "max_caliper_um = 60",
            "[presses[0]] id",
            "it prints on no stock of the plant: ",
        ),
        (
            "[[cost_centres]]",
            '[[cost_centres]]\nid = "old"\nname = "Old"\nrate_per_hour = 40\n[[cost_centres]]',
            "[cost_centres[0]] id",
            "no machine names this cost centre",
        ),
        (
            'grades = ["coated"]',
            'grades = ["boxboard"]',
            "[operations (drill)] id",
            "no stock of the plant goes in: Paper drill does not take",
        ),
        (
            "max_block_mm = 6",
            "max_block_mm = 0.1",
            "[binders (stitcher)] max_block_mm",
            "no stock of the plant makes a block of 0 to 0.1 mm in 8 to 64 pages",
        ),
        (
            "to = 2026-12-01",
            "to = 2027-12-01",
            "[time.machines[0]] id",
            "no work at all in the next 60 days",
        ),
        (
            'source = "common practice, no source"\n\n# ------',
            'source = "x"\nclosed_days = [{ from = 2026-11-01, to = 2027-03-01, reason = "x" }]\n'
            "# ------",
            "[time]",
            "no work at all in the next 60 days",
        ),
    ],
)
def test_what_no_job_can_use_is_told(tmp_path, old, new, where, told):
    text = SHOP + DRILL + BINDER + MACHINE.replace("2027-11", "2026-12")
    if where == "[time]":
        before, _, after = text.partition("[time]\n")
        assert old in after
        text, old, new = before + "[time]\n" + after.replace(old, new, 1), "", ""
    found = [str(warning) for warning in warned(tmp_path, (old, new), text=text)]
    assert any(where in line and told in line for line in found), found


def test_a_product_that_no_press_makes_is_told(tmp_path):
    bare = CATALOGUE.replace('size = "a6"', "size = { width = 1500, height = 2000 }")
    [warning] = warned(tmp_path, catalogue=bare)
    assert warning.file == "own.products.toml"
    assert (warning.table, warning.key) == ("products (card)", "id")
    assert "no press of the plant makes it" in warning.expected


def test_a_product_that_one_choice_makes_is_none(tmp_path):
    # Only the second value, not the default, is printed by the press left.
    drill = DRILL.replace('["coated"]', '["uncoated"]')
    one = CATALOGUE.replace('size = "a6"', 'size = "a6"\noperations = [{ operation = "drill" }]')
    assert warned(tmp_path, text=SHOP + drill, catalogue=one) == []
    none = DRILL.replace('["coated"]', '["boxboard"]')
    tables = [each.table for each in warned(tmp_path, text=SHOP + none, catalogue=one)]
    assert tables == ["operations (drill)", "products (card)"]


def test_a_plug_in_of_anothers_has_its_figures_judged_too(tmp_path):
    @dataclass(frozen=True, kw_only=True)
    class StencilPress(PressBase):
        copies_per_minute: float
        drums: int
        price_by_length: tuple[tuple[float, float], ...]
        master_price: float

    class StencilSchema(PressSchema):
        press_class = StencilPress
        copies_per_minute = figure(
            "/min", 1, 1000, "copies a minute", usual=Usual(60, 200, "from memory")
        )
        drums = whole("{drum}", 0, 9, "drums", usual=Usual(1, 4))
        price_by_length = steps("mm", "{currency}", "money", low=0, high=9, usual=Usual(0.01, 0.1))
        master_price = figure("{currency}", 0, 9, "one master")

    text = starter("own", "EUR", ["toner"], processes()).replace('"toner"', '"stencil"')
    head, _, _ = text.partition("[[presses]]")
    press = (
        '[[presses]]\nprocess = "stencil"\nid = "one"\nname = "One"\ncost_centre = "stencil"\n'
        "copies_per_minute = 130\ndrums = 0\nprice_by_length = [[100, 0.02], [300, 0.04]]\n"
        'master_price = 9\n[presses.feed]\nkind = "sheet"\nmin_width_mm = 100\n'
        "max_width_mm = 320\nmin_length_mm = 100\nmax_length_mm = 450\ngripper_mm = 5\n"
        'tail_mm = 5\nside_mm = 5\ncolour_bar_mm = 0\nwork_styles = ["one_side", "sheetwise"]\n'
    )
    of = stencil(StencilSchema)
    assert warned(tmp_path, text=head + press, of=of) == []
    found = warned(
        tmp_path,
        ("copies_per_minute = 130", "copies_per_minute = 13"),
        ("drums = 0", "drums = 8"),
        ("[300, 0.04]", "[300, 4]"),
        text=head + press,
        of=of,
    )
    assert [warning.key for warning in found] == ["copies_per_minute", "drums", "price_by_length"]
    assert "13 is unlikely; usual is 60 to 200 /min (from memory)" in str(found[0])


@pytest.mark.parametrize("process", list(processes().about))
def test_each_bundled_process_says_what_is_usual_of_a_speed_and_of_a_price(process):
    said = {
        name: field.metadata
        for name, field in processes().press_schema(process).fields.items()
        if "x-usual" in field.metadata
    }
    assert all(about["x-usual-source"] for about in said.values())
    assert any("price" in name for name in said)
    assert any("rated" in name or "per_minute" in name or "m_per_min" in name for name in said)


def test_what_is_usual_lies_within_the_range_of_a_figure():
    with pytest.raises(ValueError, match="usual 0 to 5 is not in 1 to 4"):
        figure("mm", 1, 4, "x", usual=Usual(0, 5))
    with pytest.raises(ValueError, match="usual 3 to 2"):
        whole("mm", 1, 4, "x", usual=Usual(3, 2))


def field_of(table: str, key: str) -> fields.Field:
    schema = PlantSchema()
    for step in [*table.split("."), key][:-1]:
        field = schema.fields["soft" if step == "kind" else step]
        schema = (field.inner if isinstance(field, fields.List) else field).schema
    return schema.fields[key]


@pytest.mark.parametrize("each", usual_figures()["figures"], ids=lambda each: each["key"])
def test_the_table_of_usual_figures_speaks_of_figures_that_there_are(each):
    table = "proofs.kind" if each["table"] == "proofs" else each["table"]
    field = field_of(table, each["key"])
    [allowed] = [check for check in field.validators if isinstance(check, validate.Range)]
    assert allowed.min <= each["low"] < each["high"] <= allowed.max
    # One that could not be outside would never be told.
    assert (each["low"], each["high"]) != (allowed.min, allowed.max)
    assert field.metadata["x-unit"] == each["unit"]
    assert each["source"]
