"""Catalogue files: what is read, and how faults are told."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from shop import DEMO_FILE, demo, processes
from sidelay.catalogue_file import RESERVED, catalogue_path, read_catalogue
from sidelay.http.catalogues import read_products
from sidelay.http.gate import KEY_PARAMETERS
from sidelay.toml_file import PlantFileError

GOOD = """
[catalogue]
languages = ["en", "de"]

[[products]]
id = "card"
name = {en = "Cards", de = "Karten"}
about = {en = "Cards.", de = "Karten."}
ladder = [100, 500]
processes = ["toner"]
[products.job]
[[products.job.parts]]
size = "a6"
front = {inks = ["black"]}
operations = []

[[products.options]]
id = "stock"
name = {en = "Paper", de = "Papier"}
default = "thin"
values = [
  {id = "thin", name = {en = "Thin", de = "Dünn"}, put = {"/parts/0/stock" = {id = "silk_130"}}},
  {id = "thick", name = {en = "Thick", de = "Dick"}, put = {"/parts/0/stock" = {id = "silk_350"}}},
]

[[products.options]]
id = "film"
name = {en = "Film", de = "Folie"}
default = "none"
values = [
  {id = "none", name = {en = "None", de = "Keine"}},
  {id = "matt", name = {en = "Matt", de = "Matt"}, put = {"/parts/0/operations/-" = {operation = "laminate", finish = "matt"}}},
]

[[products.options]]
id = "copies"
name = {en = "Leaves", de = "Blatt"}
unit = "{leaf}"
from = 1
to = 10
step = 2
default = 3
put = ["/parts/0/per_copy"]

[[products.rules]]
when = [{option = "film", one_of = ["matt"]}]
needs = [{option = "stock", fact = "grammage_gsm", at_least = 170}]
because = {en = "Too thin.", de = "Zu dünn."}
"""  # noqa: E501


def read(text: str, folder: Path):
    plant_file = folder / "demo.toml"
    path = catalogue_path(plant_file)
    path.write_text(text)
    plant_file.write_text("")
    read_catalogue(path, demo())
    (sold,) = read_products([(plant_file, demo())]).values()
    return sold


def test_what_is_left_out_has_its_default(tmp_path):
    sold = read(GOOD, tmp_path)
    catalogue = sold.catalogue
    assert (catalogue.public, catalogue.max_age_s, catalogue.clock_step_min) == (False, 60, 15)
    assert catalogue.quote_valid_h == 72
    assert sold.product.between is True
    assert sold.product.plant == "demo"


def test_a_stock_of_the_plant_lends_its_figures(tmp_path):
    stock = read(GOOD, tmp_path).product.option("stock")
    assert [value.facts["grammage_gsm"] for value in stock.values] == [130, 350]
    assert stock.values[0].facts["caliper_um"] == demo().stocks["silk_130"].caliper_um


def test_a_fact_that_is_told_stands(tmp_path):
    told = GOOD.replace('{id = "silk_130"}}}', '{id = "silk_130"}}, facts = {grammage_gsm = 200}}')
    stock = read(told, tmp_path).product.option("stock")
    assert stock.values[0].facts["grammage_gsm"] == 200


def test_the_last_number_is_one_of_the_steps(tmp_path):
    leaves = read(GOOD, tmp_path).product.option("copies")
    assert (leaves.least, leaves.most, leaves.takes(9), leaves.takes(10)) == (1, 9, True, False)


def test_a_change_of_the_file_changes_the_revision(tmp_path):
    first = read(GOOD, tmp_path).catalogue.revision
    assert read(GOOD + "# a word\n", tmp_path).catalogue.revision != first


def test_the_demo_catalogue_is_read():
    assert list(read_products([(DEMO_FILE, demo())])) == [
        "flyer", "folded_leaflet", "business_card", "booklet", "label", "poster",
    ]  # fmt: skip
    assert processes()


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('["en", "de"]', '["en", "fr"]', "fr: expected a text in this language"),
        ('["en", "de"]', '["en", "Deutsch"]', "expected a language tag"),
        ("[100, 500]", "[500, 100]", "the quantities must rise"),
        ("[100, 500]", "[0, 100]", "ladder"),
        ('processes = ["toner"]', 'processes = ["lino"]', "no press runs 'lino'"),
        ('id = "card"', 'id = "Card!"', "expected a snake_case id"),
        ('id = "film"', 'id = "stock"', "'stock' stands there twice"),
        ('id = "film"\n', 'id = "quantity"\n', "is a parameter of its own"),
        ('default = "none"', 'default = "gloss"', "no such value; there is none, matt"),
        ("default = 3", "default = 4", "expected one of the numbers 1 to 9 in steps of 2"),
        ('id = "thick"', 'id = "thin"', "'thin' stands there twice"),
        ('"/parts/0/stock" = {id = "silk_130"}', '"/parts/1/stock" = 1', "there is no item '1'"),
        ('"/parts/0/stock" = {id = "silk_130"}', '"parts" = 1', "expected a JSON Pointer"),
        ('{id = "silk_130"}', '{id = "silk_999"}', "No stock has this id"),
        ('"/parts/0/per_copy"', '"/quantities/0"', "neither quantities nor a due date"),
        ("[products.job]", '[products.job]\ndue_at = "2027-01-01T00:00:00Z"', "nor a due date"),
        ('option = "film", one', 'option = "foil", one', "the product has no such option"),
        ('one_of = ["matt"]', 'one_of = ["satin"]', "no value satin; there is none, matt"),
        ('"grammage_gsm", at', '"weight", at', "no value has the fact 'weight'"),
        ('fact = "grammage_gsm", ', "", "expected the fact that the bound is of"),
        ("at_least = 170", "at_least = 400", "the rules leave no choice that has this value"),
        (", at_least = 170", "", "expected either one_of, or at_least or at_most"),
        ("from = 1\n", "", "expected from, to and put together"),
        ("to = 10", "to = 0", "expected at least from, 1"),
        ('"laminate"', '"gild"', "Nobody does it"),
        ("[catalogue]", "[catalogue]\ncolour = 1", "colour"),
        ("[catalogue]", '[catalogue]\ncache = "shared"', "cache"),
        ("[catalogue]", "[catalogue]\nclock_step_min = 7", "clock_step_min"),
        ("[[products]]", "[products]", "products"),
        ("ladder = ", "ladder == ", "not TOML"),
    ],
)
def test_every_fault_is_told(old, new, told, tmp_path):
    assert old in GOOD
    with pytest.raises(PlantFileError) as caught:
        read(GOOD.replace(old, new, 1), tmp_path)
    assert told in str(caught.value)
    assert all(str(fault).startswith("demo.products.toml") for fault in caught.value.faults)


def test_rules_that_tie_too_much_together_are_refused(tmp_path):
    def option(name: str) -> str:
        values = ", ".join(f'{{id = "v{n}", name = {{en = "v", de = "v"}}}}' for n in range(30))
        name_of = 'name = {en = "o", de = "o"}'
        return f'\n[[products.options]]\nid = "{name}"\n{name_of}\nvalues = [{values}]\n'

    names = ["alpha", "beta", "gamma"]
    rules = "".join(
        f'\n[[products.rules]]\nwhen = [{{option = "{one}", one_of = ["v1"]}}]\n'
        f'needs = [{{option = "{two}", one_of = ["v2"]}}]\nbecause = {{en = "b", de = "b"}}\n'
        for one, two in pairwise(names)
    )
    with pytest.raises(PlantFileError, match="tie too many values together"):
        read(GOOD + "".join(map(option, names)) + rules, tmp_path)


def test_no_option_is_called_as_a_key_would_be():
    """Such a parameter is refused at the gate before any option is read."""
    assert {name for name in KEY_PARAMETERS if name.isidentifier()} <= set(RESERVED)
