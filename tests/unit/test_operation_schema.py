"""The [[operations]] tables: what is read, and what is refused with table, key and reason."""

import pytest
from marshmallow import ValidationError

from shop import demo_text, processes
from sidelay.operation_schema import OperationSchema, finishing_machine
from sidelay.plant_file import read_plant
from sidelay.toml_file import PlantFileError

HOUSE = {
    "id": "drill_one",
    "name": "Drill",
    "operation": "drill",
    "unit": "piece",
    "cost_centre": "drilling",
    "units_per_hour": 1000,
}
OUT = {"id": "foil", "name": "Foil", "operation": "foil", "unit": "flat", "bought_out": True}


def without(table, *names):
    return {name: value for name, value in table.items() if name not in names}


def load(table):
    return finishing_machine(OperationSchema().load(table))


def test_a_table_with_its_defaults():
    made = load(HOUSE | {"finishes": ["gloss"]})
    assert (made.units_per_hour, made.m_per_min, made.finishes) == (1000, None, ("gloss",))
    assert (made.crew, made.sides_per_pass, made.counts_per_pass) == (1, 2, None)
    assert (made.grades, made.max_width_mm, made.source) == ((), None, "plant file")


def test_work_bought_out():
    assert load(OUT | {"price_per_1000": 45}).bought_out


LIFTS = without(HOUSE, "units_per_hour") | {"lifts_per_hour": 240, "lift_mm": 50}
PACKS = without(HOUSE, "units_per_hour") | {"packs_per_hour": 100, "default_per": 250}


@pytest.mark.parametrize(
    ("table", "key", "why"),
    [
        (without(HOUSE, "units_per_hour"), "operation", "exactly one of units_per_hour"),
        (HOUSE | {"m_per_min": 10}, "operation", "exactly one of"),
        (without(HOUSE, "cost_centre"), "cost_centre", "expected the cost centre"),
        (HOUSE | {"price_per_1000": 9}, "price_per_1000", "goes with bought_out = true only"),
        (HOUSE | {"least_price": 9}, "least_price", "goes with bought_out"),
        (OUT, "bought_out", "expected a price"),
        (OUT | {"price_per_m2": 1, "units_per_hour": 9}, "units_per_hour", "bought out"),
        (OUT | {"price_per_m2": 1, "cost_centre": "cutting"}, "cost_centre", "bought out"),
        (OUT | {"price_per_m2": 1, "set_up_min": 5}, "set_up_min", "bought out"),
        (OUT | {"price_per_m2": 1, "material_per_m2": 5}, "material_per_m2", "bought out"),
        (without(LIFTS, "lift_mm"), "lift_mm", "go together"),
        (HOUSE | {"lift_mm": 9}, "lift_mm", "go together"),
        (LIFTS | {"material_per_unit": 1}, "material_per_unit", "units_per_hour or m_per_min"),
        (PACKS | {"material_per_m2": 1}, "material_per_m2", "units_per_hour or m_per_min"),
        (without(PACKS, "default_per"), "default_per", "expected one of default_per"),
        (PACKS | {"pack_width_mm": 300}, "pack_width_mm", "go together"),
        (
            PACKS | {"pack_width_mm": 300, "pack_length_mm": 400},
            "max_pack_mm",
            "height of the stacks",
        ),
        (HOUSE | {"default_per": 9}, "default_per", "goes with packs_per_hour only"),
        (HOUSE | {"material_per_pack": 9}, "material_per_pack", "goes with packs_per_hour only"),
        (HOUSE | {"gap_share": 0.1}, "gap_share", "goes with m_per_min only"),
        (HOUSE | {"max_count": 3}, "max_count", "expected counts"),
        (HOUSE | {"counts_per_pass": 3}, "counts_per_pass", "expected counts"),
        (HOUSE | {"least_tool_price": 3}, "least_tool_price", "priced by size only"),
        (HOUSE | {"min_width_mm": 300, "max_width_mm": 200}, "min_width_mm", "at most"),
        (HOUSE | {"unit": "parent"}, "unit", "one of"),
        (HOUSE | {"units_per_hour": 0}, "units_per_hour", "than or equal"),
        (HOUSE | {"speed": 1}, "speed", "Unknown"),
        (HOUSE | {"operation": "Drill Holes"}, "operation", "snake_case"),
        (HOUSE | {"sides_per_pass": 3}, "sides_per_pass", "than or equal"),
    ],
)
def test_a_table_that_cannot_be_is_refused_and_told_why(table, key, why):
    with pytest.raises(ValidationError) as caught:
        OperationSchema().load(table)
    assert why in str(caught.value.messages[key])


def read(tmp_path, old, new):
    text = demo_text("toner")
    assert old in text
    path = tmp_path / "shop.toml"
    path.write_text(text.replace(old, new, 1))
    return read_plant(path, processes())


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        (
            'cost_centre = "drilling"',
            'cost_centre = "driling"',
            "[operations (paper_drill)] cost_centre: no cost centre 'driling'",
        ),
        ('id = "paper_punch"', 'id = "paper_drill"', "[operations] id: 'paper_drill' stands there"),
        ("lifts_per_hour = 240\n", "", "[operations[4]] operation: expected exactly one"),
        ("lifts_per_hour = 240\n", 'lifts_per_hour = "x"\n', "[operations[4]] lifts_per_hour"),
    ],
)
def test_a_faulty_plant_file_says_where(tmp_path, old, new, where):
    with pytest.raises(PlantFileError) as caught:
        read(tmp_path, old, new)
    assert any(where in str(fault) for fault in caught.value.faults), str(caught.value)


def test_machines_keep_the_order_of_the_file(tmp_path):
    plant = read(tmp_path, "lift_mm = 50.8", "lift_mm = 60")
    ids = [each.id for each in plant.operations]
    assert ids.index("laminate_gloss") < ids.index("laminate_matt") < ids.index("varnish_flood")
    assert next(each for each in plant.operations if each.id == "paper_drill").lift_mm == 60
