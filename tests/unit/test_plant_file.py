"""A faulty plant file is refused with file, table, key and what was expected."""

import pytest

from plant_faults import plainly, refused
from shop import DEMO_FILE, demo, demo_text, processes
from sidelay.plant import NoSuchStock, find_stock
from sidelay.plant_file import read_plant


def faults(tmp_path, *changes, text=None):
    content = demo_text("sheetfed_litho", "toner") if text is None else text
    return plainly(refused(tmp_path, content, *changes))


def test_the_demo_plant_is_read():
    plant = demo()
    keys = [(installed.process, installed.press.id) for installed in plant.presses]
    assert keys == sorted(keys)
    assert {"litho_b1_five", "toner_mono_a3", "web_coldset_four"} <= {press for _, press in keys}
    assert len(plant.stocks) >= 25
    assert (plant.currency, plant.digits) == ("EUR", 2)


def test_every_demo_price_and_rate_says_where_it_comes_from():
    plant = demo()
    assert all(centre.source for centre in plant.cost_centres.values())
    assert all(sheet.source for stock in plant.stocks.values() for sheet in stock.sheets)


def test_every_demo_cost_centre_says_who_is_at_it():
    centres = demo().cost_centres
    assert all(centre.crew for centre in centres.values())
    assert centres["large_litho"].crew == 2  # of its basis
    assert centres["heatset_web"].crew == 3  # told beside its rate


def test_a_figure_left_to_its_default_has_the_source_of_the_default():
    press = next(each.press for each in demo().presses if each.press.id == "litho_b1_five")
    assert press.source("process_ink_price_per_kg") == "default: common practice, no source"
    assert press.source("plate_price") == "7 to 12 for B1, finished, from memory"
    assert press.source("id") == "plant file"


def test_a_revision_follows_the_content(tmp_path):
    copy = tmp_path / "copy.toml"
    copy.write_bytes(DEMO_FILE.read_bytes())
    assert read_plant(copy, processes()).revision == demo().revision
    copy.write_bytes(DEMO_FILE.read_bytes() + b"# changed\n")
    assert read_plant(copy, processes()).revision != demo().revision


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ("units = 2", "units = 0", "[presses[0]] units"),
        ("units = 2", 'units = "two"', "[presses[0]] units"),
        ("units = 2", "untis = 2", "[presses[0]] untis"),
        ("max_width_mm = 520", "max_width_mm = -520", "[presses[0].feed] max_width_mm"),
        (
            "[presses.feed]\nmin_width_mm = 140",
            '[presses.feed]\nkind = "web"\nmin_width_mm = 140',
            "[presses[0].feed] kind",
        ),
        ("min_width_mm = 140", "min_width_mm = 540", "[presses[0].feed] min_width_mm"),
        ("[presses.feed]\nmin", '[presses.feed]\nkind = ["web"]\nmin', "[presses[0].feed] kind"),
        ("max_caliper_um = 356", "min_caliper_um = 400\nmax_caliper_um = 356", "min_caliper_um"),
        ('currency = "EUR"', 'currency = "EURO"', "[plant] currency"),
        ('process = "toner"', 'process = "tonre"', "[presses[2]] process"),
        ('cost_centre = "cutting"', 'cost_centre = "cuting"', "[finishing.guillotine] cost_centre"),
        ('cost_centre = "colour_toner"', 'cost_centre = "paint"', "cost_centre"),
        ('cost_centre = "perfect_binding"', 'cost_centre = "glue"', "[binders (perfect_binder)]"),
        ('id = "coil_winder"', 'id = "wire_closer"', "[binders] id"),
        ("copies_per_hour = 350\n", "", "[binders[2]] copies_per_hour"),
        ("max_pages = 80", "max_pages = 6", "[binders[0]] min_pages"),
        ("creep_factor = 1.2", "creep_factor = 1.5", "[binders[0]] creep_factor"),
        ("price_per_1000 = 620", "copies_per_hour = 620", "[binders[4]] copies_per_hour"),
        ("price_per_1000 = 620\n", "", "[binders[4]] price_per_1000"),
        ("leaves_per_hour = 25000", "least_price = 25", "[binders[2]] least_price"),
        ("price_set_up = 140", "set_up_min = 30", "[binders[4]] set_up_min"),
        ('method = "pad"', 'method = "paste"', "[binders[8]] method"),
        ('id = "silk_150"', 'id = "silk_130"', "[stocks] id"),
        ("bulk_cm3_per_g = 0.92", "caliper_um = 120\nbulk_cm3_per_g = 0.92", "caliper_um"),
        ("price = 1180", "price = nan", "price"),
        (
            "[[1000, 0.020], [5000, 0.014], [25000, 0.010]]",
            "[[100, 0.5], [200, 0.01]]",
            "running_waste",
        ),
        (
            "[[216, 80], [330, 55], [488, 42]]",
            "[[330, 80], [216, 55]]",
            "sides_per_minute_by_length",
        ),
        ("rate_per_hour = 48.00", "rate_per_hour = true", "[cost_centres[0]] rate_per_hour"),
        ("rate_per_hour = 48.00\n", "", "[cost_centres[0]] rate_per_hour: expected either"),
        (
            "[cost_centres.basis]",
            "rate_per_hour = 55\n[cost_centres.basis]",
            "[cost_centres[1]] rate_per_hour: expected either rate_per_hour or a table",
        ),
        (
            "[cost_centres.basis]",
            "crew = 2\n[cost_centres.basis]",
            "[cost_centres[1]] crew: expected in [cost_centres.basis]",
        ),
        ("life_years = 10", "life_years = 0", "[cost_centres[1].basis] life_years"),
        ("life_years = 10", "interest = 1.5\nlife_years = 10", "[cost_centres[1].basis] interest"),
        ("salvage = 4000", "salvage = 40001", "[cost_centres[1].basis] salvage"),
        ("productivity = 0.75", "productivity = 0", "[cost_centres[1].basis] productivity"),
        ("productivity = 0.75", "", "[cost_centres[1]] basis: expected either productivity"),
        (
            "productivity = 0.75",
            "productivity = 0.75\nchargeable_hours = 1320",
            "[cost_centres[1]] basis: expected either productivity or chargeable_hours",
        ),
        (
            "paid_hours = 1760",
            "",
            "[cost_centres[1].basis] paid_hours: no chargeable hours",
        ),
        ("load_factor = 0.6", "load_factor = 6", "[cost_centres[1].basis] load_factor"),
        ("supplies = 1884.40", "supplies = 9e8", "[cost_centres[1]] basis: the rate comes to"),
        ("wage_per_hour = 19.00", "wages = 19.00", "[cost_centres[1].basis] wages"),
        (
            "cash_step = 0",
            "margins_by_quantity = [[2, 0.3]]",
            "[price_policy] margins_by_quantity: The first step must start at 1",
        ),
        (
            "cash_step = 0",
            "margins_by_quantity = [[1, 0.95]]",
            "[price_policy] margins_by_quantity[0][1]",
        ),
        ("cash_step = 0", "margins_by_quantity = [[1, 0.3], [1, 0.2]]", "must rise"),
        (
            "cash_step = 0",
            "margins_by_value = [[1, 0.3]]",
            "[price_policy] margins_by_value: The first step must start at 0",
        ),
        (
            "cash_step = 0",
            "margins_by_value = [[0, 0.3]]\nmargins_by_quantity = [[1, 0.3]]",
            "[price_policy] margins_by_value: expected either",
        ),
        ("rush_premium = 0.25", "rush_premium = -0.25", "[price_policy] rush_premium"),
        ("cash_step = 0", "overs_tolerance = 0.6", "[price_policy] overs_tolerance"),
    ],
)
def test_one_fault_is_told_with_table_and_key(tmp_path, old, new, where):
    told = faults(tmp_path, (old, new))
    assert any(line.startswith("shop.toml: ") and where in line for line in told), told


def changed(tmp_path, *changes):
    content = demo_text("sheetfed_litho", "toner")
    for old, new in changes:
        assert old in content
        content = content.replace(old, new, 1)
    path = tmp_path / "shop.toml"
    path.write_text(content)
    return read_plant(path, processes())



def test_a_rate_is_built_from_its_basis_and_not_rounded(tmp_path):
    plant = changed(tmp_path, ("supplies = 1884.40", "supplies = 1885.07"))
    centre = plant.cost_centres["small_litho"]
    assert centre.rate_per_hour == pytest.approx(55 + 0.67 * 1.32 / 1320, abs=1e-9)
    assert centre.rate_per_hour == centre.build.rate_per_hour == plant.rate("small_litho")
    assert plant.cost_centres["prepress"].build is None


def test_interest_in_a_basis_recovers_the_capital(tmp_path):
    plant = changed(tmp_path, ("life_years = 10", "interest = 0.06\nlife_years = 10"))
    names = [item.name for item in plant.cost_centres["small_litho"].build.items]
    assert names[0] == "capital_recovery"
    assert plant.rate("small_litho") > 55


def test_the_price_policy_is_read_in_minor_units(tmp_path):
    policy = changed(
        tmp_path,
        ("cash_step = 0", "cash_step = 0.05\nmargins_by_value = [[0, 0.3], [250.5, 0.2]]"),
    ).price_policy
    assert policy.margins_by_value == ((0, 0.3), (25_050, 0.2))
    assert (policy.cash_step, policy.rush_premium, policy.overs_tolerance) == (5, 0.25, 0.1)
    policy = changed(
        tmp_path, ("cash_step = 0", "margins_by_quantity = [[1, 0.3], [1000, 0.2]]")
    ).price_policy
    assert policy.margins_by_quantity == ((1, 0.3), (1000, 0.2))
    assert policy.thresholds == (1000,)


def test_the_demo_policy_has_no_margins():
    policy = demo().price_policy
    assert (policy.margins_by_quantity, policy.margins_by_value, policy.cash_step) == ((), (), 0)


def test_several_faults_are_told_at_once(tmp_path):
    told = faults(
        tmp_path, ('currency = "EUR"', 'currency = "EURO"'), ("lift_mm = 80", "lift_mm = 0")
    )
    assert len(told) == 2


@pytest.mark.parametrize("text", ["", "[plant", "[plant]\nid = 'x'", "\x00"])
def test_what_is_no_plant_is_refused(tmp_path, text):
    assert faults(tmp_path, text=text)


def test_the_nearest_grammage_within_the_tolerance_is_taken():
    assert find_stock(demo(), "coated", "silk", 128).id == "silk_130"
    assert find_stock(demo(), "coated", None, 148).id == "text_100lb"


def test_a_wish_that_no_stock_meets_says_what_there_is():
    with pytest.raises(NoSuchStock, match=r"comes in 130, 150, 250, 350 g/m2"):
        find_stock(demo(), "coated", "silk", 200)
    with pytest.raises(NoSuchStock, match="uncoated offset"):
        find_stock(demo(), "velvet", None, 200)
