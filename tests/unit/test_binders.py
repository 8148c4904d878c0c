"""Books, the steps of binders, and what stands against a book on a binder."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop import demo, leaf, stock
from sidelay.binder_limits import NoSuchBinder, binder_findings, choose_binder
from sidelay.binders import Binder, Book, book_of, folds_sections
from sidelay.job import Binding, Operation


def section(pages=64, **figures):
    return leaf(148, 210, kind="section", pages=pages, name="text", **figures)


def cover(**figures):
    given_ = {"stock": stock(grammage_gsm=250.0, caliper_um=250.0), "name": "cover"}
    return leaf(148, 210, kind="cover", pages=4, flat_width_mm=300, **given_ | figures)


def book(**figures):
    given_ = {
        "method": "saddle_stitch",
        "edge": "left",
        "page_width_mm": 148.0,
        "page_height_mm": 210.0,
        "pages": 32,
        "leaves": 16,
        "block_mm": 1.6,
        "spine_mm": 1.6,
        "creep_mm": 0.7,
        "mass_kg": 0.06,
    }
    return Book(**given_ | figures)


def binder(**figures):
    given_ = {
        "id": "stitcher",
        "name": "The stitcher",
        "method": "saddle_stitch",
        "cost_centre": "stitching",
        "set_up_min": 20,
        "set_up_min_per_section": 5,
        "stations": 6,
        "copies_per_hour": 3000,
        "min_pages": 8,
        "max_pages": 96,
        "max_block_mm": 8,
        "min_width_mm": 80,
        "max_width_mm": 300,
        "min_height_mm": 100,
        "max_height_mm": 420,
        "score_cover_above_gsm": 170,
        "source": "test",
    }
    return Binder(**given_ | figures)


def bought(**figures):
    given_ = {
        "id": "trade",
        "name": "Trade binder",
        "method": "case",
        "price_set_up": 200,
        "price_per_1000": 1500,
        "price_per_1000_sections": 40,
        "least_price": 500,
        "lead_days": 10,
        "board_price": 0.5,
        "needs_cover": True,
        "source": "test",
    }
    return Binder(**given_ | figures)


def codes(findings):
    return [(finding.severity, finding.code) for finding in findings]


# The book of a job --------------------------------------------------------------------------------


def test_a_book_is_counted_from_its_sections_and_its_cover():
    made = book_of([cover(), section(64)], Binding("perfect_bind"))
    assert (made.pages, made.leaves) == (64, 32)
    assert made.block_mm == pytest.approx(32 * 0.120)
    assert made.spine_mm == pytest.approx(32 * 0.120 + 2 * 0.250)
    assert (made.has_cover, made.cover_gsm, made.cover_scored) == (True, 250.0, False)
    assert made.creep_mm == 0
    text_kg, cover_kg = 32 * 0.148 * 0.210 * 0.130, 0.300 * 0.210 * 0.250
    assert made.mass_kg == pytest.approx(text_kg + cover_kg)


def test_what_is_laid_in_loose_is_not_bound():
    bound = book_of([section(16)], Binding("saddle_stitch"))
    loose = leaf(kind="insert")
    assert book_of([section(16), loose], Binding("saddle_stitch")) == bound
    with pytest.raises(ValueError, match="nothing to bind"):
        book_of([loose, cover()], Binding("pad"))


def test_a_pad_has_two_pages_for_each_leaf():
    made = book_of([leaf(per_copy=50)], Binding("pad", "top"))
    assert (made.pages, made.leaves) == (100, 50)
    assert made.block_mm == pytest.approx(50 * 0.120)
    assert (made.across_mm, made.along_mm) == (297, 210)


def test_nested_sheets_creep_by_all_that_is_around_the_innermost():
    # 16 sheets of 120 um: 15 of them around the innermost, then the cover of 250 um as well.
    assert book_of([section(64)], Binding("saddle_stitch")).creep_mm == pytest.approx(1.8)
    covered = book_of([cover(), section(64)], Binding("saddle_stitch"))
    assert covered.creep_mm == pytest.approx(1.8 + 0.25)
    two = book_of([section(32), section(32)], Binding("saddle_stitch"))
    assert two.creep_mm == pytest.approx(1.8)


@pytest.mark.parametrize("name", ["crease", "score"])
def test_a_creased_or_scored_cover_counts_as_scored(name):
    made = book_of([cover(operations=(Operation(name),)), section()], Binding("saddle_stitch"))
    assert made.cover_scored
    drilled = cover(operations=(Operation("drill"),))
    assert not book_of([drilled, section()], Binding("saddle_stitch")).cover_scored


def test_staples_in_the_fold_hold_the_cover_too():
    # Puget Bindery: 8 pages self-cover, or 4 and a cover, is the least.
    assert book(pages=4, has_cover=True).counted_pages == 8
    assert book(pages=8).counted_pages == 8
    assert book(pages=40, has_cover=True, method="perfect_bind").counted_pages == 40


def test_leaf_methods_do_not_fold_sections():
    assert not folds_sections("wire")
    assert folds_sections("thread_sewn")


# Steps --------------------------------------------------------------------------------------------


def test_a_binder_of_the_plant_takes_minutes_and_material():
    step = binder(material_per_copy=0.01, material_per_m=0.1, board_price=0.05).bind_step(book())
    assert (step.name, step.unit, step.machine) == ("saddle_stitch", "copy", "stitcher")
    assert (step.cost_centre, step.set_up_min) == ("stitching", 20)
    assert step.minutes == pytest.approx(60 / 3000)
    assert step.price == pytest.approx(0.01 + 0.05 + 0.1 * 0.210)
    assert step.kind == "material"


def test_material_goes_by_the_length_of_the_bound_edge():
    wire = binder(method="wire", material_per_m=1.0)
    assert wire.bind_step(book(method="wire")).price == pytest.approx(0.210)
    assert wire.bind_step(book(method="wire", edge="top")).price == pytest.approx(0.148)


def test_bought_out_binding_takes_money_and_days():
    step = bought().bind_step(book(method="case"))
    assert (step.cost_centre, step.minutes, step.set_up_min) == ("", 0, 0)
    assert (step.set_up_price, step.least_price, step.lead_days) == (200, 500, 10)
    assert step.price == pytest.approx(1.5 + 0.5)
    assert step.kind == "outwork"


def test_a_part_that_fits_the_stations_is_gathered_by_the_binding_itself():
    step = binder().gather_step(6, book())
    assert step is not None
    assert (step.unit, step.set_up_min, step.minutes, step.per) == ("piece", 30, 0, 1)
    assert binder(set_up_min_per_section=0).gather_step(6, book()) is None


def test_sections_beyond_the_stations_take_further_passes():
    step = binder().gather_step(13, book())
    assert step is not None
    assert step.minutes == pytest.approx(2 * 60 / 3000)
    assert step.set_up_min == 65
    assert step.because.startswith("13 section(s) on 6 station(s), 2 more pass(es)")


def test_sewing_takes_each_section_through_the_sewer():
    step = binder(method="thread_sewn", sections_per_hour=1500).gather_step(5, book())
    assert step is not None
    assert step.minutes == pytest.approx(5 * 60 / 1500)


def test_gathering_bought_out_is_priced_by_the_section():
    step = bought().gather_step(10, book(method="case"))
    assert step is not None
    assert (step.price, step.kind, step.minutes) == (pytest.approx(0.4), "outwork", 0)
    assert "pass" not in step.because


def test_several_pieces_of_a_part_in_a_copy_are_one_lot():
    step = binder(sections_per_hour=1200).gather_step(1, book(), per_copy=4)
    assert step is not None
    assert (step.per, step.set_up_min) == (4, 20)
    assert step.minutes == pytest.approx(4 * 60 / 1200)


def test_loose_leaves_are_collated_unless_they_come_in_order():
    collator = binder(method="wire", leaves_per_hour=20_000)
    step = collator.collate_step(40, book(method="wire"))
    assert step is not None
    assert (step.name, step.unit) == ("collate", "piece")
    assert step.minutes == pytest.approx(40 * 60 / 20_000)
    per_leaf = collator.collate_step(1, book(method="wire"), per_copy=40)
    assert per_leaf is not None
    assert (per_leaf.minutes, per_leaf.per) == (pytest.approx(step.minutes), 40)
    assert collator.collates
    assert binder(method="wire").collate_step(40, book(method="wire")) is None


def test_covers_lie_as_the_method_needs_them():
    thick = book(spine_mm=12.0, block_mm=12.0)
    assert binder().cover_flat_mm(thick) == (296, 210)
    glued = binder(method="perfect_bind", spine_allowance_mm=0.5)
    assert glued.cover_flat_mm(thick, flap_mm=50) == (408.5, 210)
    assert glued.cover_flat_mm(replace(thick, edge="top")) == (148, 432.5)
    assert bought().cover_flat_mm(thick) == (2 * (148 + 3 + 15) + 12 + 4, 210 + 6 + 30)
    assert binder(method="wire").cover_flat_mm(thick) == (148, 210)


counts = st.integers(1, 80)


@given(counts, counts, counts, st.booleans())
def test_parts_gathered_one_after_another_take_what_they_take_together(one, other, stations, sews):
    press = binder(stations=stations, sections_per_hour=1500 if sews else None)
    both = [press.gather_step(one, book()), press.gather_step(other, book(), before=one)]
    whole = press.gather_step(one + other, book())
    assert sum(step.minutes for step in both if step) == pytest.approx(whole.minutes)
    assert sum(step.set_up_min for step in both if step) == pytest.approx(whole.set_up_min)


@given(counts, counts, counts, st.booleans(), st.booleans())
def test_more_sections_never_take_less_time_or_money(one, other, stations, sews, is_bought):
    few, many = sorted((one, other))
    maker = (
        bought()
        if is_bought
        else binder(stations=stations, sections_per_hour=1500 if sews else None)
    )
    less, more = (maker.gather_step(number, book()) for number in (few, many))
    assert less is not None
    assert more is not None
    assert less.minutes <= more.minutes
    assert less.set_up_min <= more.set_up_min
    assert less.price <= more.price


@given(st.integers(1, 500), st.integers(1, 500))
def test_more_pages_never_bind_or_collate_for_less(one, other):
    few, many = (book(pages=2 * leaves, leaves=leaves) for leaves in sorted((one, other)))
    for maker in (binder(leaves_per_hour=20_000, material_per_m=1), bought()):
        less, more = maker.bind_step(few), maker.bind_step(many)
        assert less.minutes <= more.minutes
        assert less.price <= more.price
        collated = [maker.collate_step(each.leaves, each) for each in (few, many)]
        minutes = [step.minutes if step else 0 for step in collated]
        assert minutes[0] <= minutes[1]


def test_a_published_price_book_is_a_set_up_and_a_rate_for_each_section():
    # Chugai Printing, perfect binding, A4, JPY for each 8-page section of a copy. From its first
    # and last line follow a set-up and a running rate; the four lines between are the check. They
    # lie above the straight line by up to 12 % (at 500), so 15 % is the agreement that is claimed.
    published = {100: 8.65, 200: 6.23, 300: 5.23, 500: 4.89, 800: 3.94, 1000: 3.76}
    money = {copies: copies * rate for copies, rate in published.items()}
    running = (money[1000] - money[100]) / 900
    set_up = money[100] - 100 * running
    # At one JPY a minute, minutes are money.
    sewer = binder(set_up_min_per_section=set_up, sections_per_hour=60 / running, stations=200)
    for copies, wanted in money.items():
        for sections in (1, 10, 24):
            step = sewer.gather_step(sections, book())
            assert step is not None
            got = step.set_up_min + copies * step.minutes
            assert got == pytest.approx(sections * wanted, rel=0.15)


# Findings -----------------------------------------------------------------------------------------


def test_a_book_that_fits_has_nothing_against_it():
    assert binder_findings(binder(), book()) == []


@pytest.mark.parametrize(
    ("figures", "code", "asked", "limit"),
    [
        ({"pages": 100}, "bind_too_many_pages", 100, 96),
        ({"pages": 94, "has_cover": True}, "bind_too_many_pages", 98, 96),
        ({"pages": 4}, "bind_too_few_pages", 4, 8),
        ({"block_mm": 8.2}, "bind_block_thick", 8.2, 8),
        ({"block_mm": 0.1}, "bind_block_thin", 0.1, 0.2),
        ({"page_width_mm": 310.0}, "bind_size_large", "310 x 210", "300 x 420"),
        ({"page_height_mm": 430.0}, "bind_size_large", "148 x 430", "300 x 420"),
        ({"edge": "top", "page_height_mm": 310.0}, "bind_size_large", "310 x 148", "300 x 420"),
        ({"page_width_mm": 70.0}, "bind_size_small", "70 x 210", "80 x 100"),
        ({"page_height_mm": 90.0}, "bind_size_small", "148 x 90", "80 x 100"),
        ({"has_cover": True, "cover_gsm": 200.0}, "bind_cover_unscored", 200, 170),
        ({"method": "wire"}, "bind_method", "wire", "saddle_stitch"),
    ],
)
def test_each_limit_is_told_with_what_was_asked(figures, code, asked, limit):
    (finding,) = binder_findings(binder(min_block_mm=0.2), book(**figures))
    assert (finding.severity, finding.code) == ("limit", code)
    assert (finding.asked, finding.limit) == (asked, limit)
    assert finding.message
    assert finding.remedy


@pytest.mark.parametrize(
    "figures",
    [
        {"pages": 96},
        {"pages": 8},
        {"pages": 4, "has_cover": True},
        {"block_mm": 8.0},
        {"page_width_mm": 300.0, "page_height_mm": 420.0},
        {"page_width_mm": 80.0, "page_height_mm": 100.0},
        {"has_cover": True, "cover_gsm": 170.0},
        {"has_cover": True, "cover_gsm": 300.0, "cover_scored": True},
        {"creep_mm": 1.5},
    ],
)
def test_a_limit_itself_is_still_taken(figures):
    assert binder_findings(binder(), book(**figures)) == []


def test_a_cover_that_is_not_folded_need_not_be_scored():
    wire = binder(method="wire", score_cover_above_gsm=None)
    assert binder_findings(wire, book(method="wire", has_cover=True, cover_gsm=400.0)) == []


def test_glue_needs_a_spine_and_a_cover():
    glue = binder(method="perfect_bind", min_block_mm=3, needs_cover=True)
    found = binder_findings(glue, book(method="perfect_bind"))
    assert codes(found) == [("limit", "bind_block_thin"), ("limit", "bind_no_cover")]
    assert "glue" in found[0].message


def test_creep_is_told_with_what_the_inner_pages_lose_and_keep():
    (finding,) = binder_findings(binder(creep_factor=1.4), book(creep_mm=1.5))
    assert (finding.severity, finding.code) == ("caution", "bind_creep")
    assert finding.asked == pytest.approx(2.1)
    assert "lose 2.1 mm" in finding.message
    assert "keep 145.9 mm" in finding.message
    (gone,) = binder_findings(binder(), book(creep_mm=200.0))
    assert gone.severity == "limit"


# Choosing -----------------------------------------------------------------------------------------


def plant_binders():
    small = binder(id="small", name="Small", max_pages=40)
    glue = binder(id="glue", name="Glue", method="perfect_bind", max_pages=900, max_block_mm=50)
    wire = binder(id="wire", name="Wire", method="wire", max_pages=200, max_block_mm=20)
    return [small, binder(id="large", name="Large"), glue, wire, bought(max_pages=500)]


def test_the_first_of_the_method_that_takes_the_book_binds_it():
    binders = plant_binders()
    assert choose_binder(binders, book(pages=32))[0].id == "small"
    chosen, found = choose_binder(binders, book(pages=64, creep_mm=2.0))
    assert chosen.id == "large"
    assert codes(found) == [("caution", "bind_creep")]


def test_a_book_that_none_takes_is_told_what_else_the_plant_does():
    chosen, found = choose_binder(plant_binders(), book(pages=120))
    assert chosen.id == "large"  # both are too small for it; this one holds more
    assert codes(found) == [("limit", "bind_too_many_pages")]
    # The case needs a cover, which this book has not.
    assert found[0].remedy.endswith("or have it bound by perfect bind, wire, case with a cover")


def test_a_method_that_a_scored_cover_would_open_is_told_with_it():
    thick_spine = binder(method="perfect_bind", min_block_mm=3, score_cover_above_gsm=None)
    thin = book(method="perfect_bind", pages=40, block_mm=2.5, has_cover=True, cover_gsm=250.0)
    found = choose_binder([thick_spine, binder()], thin)[1]
    assert codes(found) == [("limit", "bind_block_thin")]
    assert found[0].remedy.endswith("or have it bound by saddle stitch with the cover scored")


def test_pages_that_do_not_come_in_fours_are_offered_no_folded_method():
    found = choose_binder(plant_binders(), book(pages=122))[1]
    assert found[0].remedy.endswith("or have it bound by wire")


def test_the_binder_with_the_fewest_limits_says_what_to_change():
    heavy = book(pages=64, has_cover=True, cover_gsm=250.0)
    chosen, found = choose_binder(plant_binders(), heavy)
    assert chosen.id == "large"  # on the small one the pages would be too many as well
    assert codes(found) == [("limit", "bind_cover_unscored")]


def test_a_pad_is_no_way_to_bind_a_book_nor_a_book_a_pad():
    pads = [*plant_binders(), binder(id="pads", name="Pads", method="pad", max_pages=400)]
    assert "pad" not in choose_binder(pads, book(pages=120))[1][0].remedy
    pad = book(method="pad", pages=500)
    assert "bound by" not in choose_binder(pads, pad)[1][0].remedy


def test_what_nothing_takes_is_offered_nothing():
    found = choose_binder(plant_binders(), book(pages=4000))[1]
    assert "bound by" not in found[0].remedy


def test_the_binder_that_was_asked_for_is_taken_or_says_which_other_would():
    chosen, found = choose_binder(plant_binders(), book(pages=64), "small")
    assert chosen.id == "small"
    assert "large" in found[0].remedy


def test_a_plant_that_cannot_says_what_there_is():
    with pytest.raises(NoSuchBinder, match="does no coil; it binds by saddle_stitch, perfect_bind"):
        choose_binder(plant_binders(), book(method="coil"))
    with pytest.raises(NoSuchBinder, match=r"no binder 'wire' for saddle stitch.*small, large"):
        choose_binder(plant_binders(), book(), "wire")
    with pytest.raises(NoSuchBinder, match="it binds by none"):
        choose_binder([], book())


# The demo plant -----------------------------------------------------------------------------------


def test_the_demo_plant_binds_by_every_method():
    methods = {each.method for each in demo().binders}
    assert len(methods) == 8
    by_id = {each.id: each for each in demo().binders}
    assert by_id["trade_sewing"].bought_out
    assert by_id["trade_case"].lead_days > by_id["trade_sewing"].lead_days > 0
    assert all(each.source != "plant file" for each in demo().binders)


@pytest.mark.parametrize(
    ("pages", "chosen"), [(8, "booklet_maker"), (64, "booklet_maker"), (112, "stitching_line")]
)
def test_a_stitched_book_goes_to_the_booklet_maker_until_it_is_too_much(pages, chosen):
    made = book_of([section(pages, stock=stock(caliper_um=90.0))], Binding("saddle_stitch"))
    binder_, found = choose_binder(demo().binders, made)
    assert binder_.id == chosen
    assert all(finding.severity == "caution" for finding in found)


def test_the_demo_rates_lie_in_the_ranges_of_the_trade():
    # From memory: stitchers 3,000 to 9,000 an hour, perfect binders 1,500 to 6,000; set-ups 15 to
    # 60 min.
    by_id = {each.id: each for each in demo().binders}
    line, glue = by_id["stitching_line"], by_id["perfect_binder"]
    assert 3000 <= line.copies_per_hour <= 9000
    assert 1500 <= glue.copies_per_hour <= 6000
    assert 15 <= line.set_up_min <= 60
    assert 15 <= glue.set_up_min <= 60
