"""Random presses, shops and jobs, loaded through the plug-ins' own schemas."""

from __future__ import annotations

from hypothesis import strategies as st

from shop import BLACK, CMYK, job, leaf, plant, press, stock, with_inks
from sidelay.job import Ink
from sidelay.pricing import PricePolicy
from sidelay.stock import ParentSheet

money = st.integers(1, 3000).map(lambda cents: cents / 100)


@st.composite
def litho_presses(draw, name="litho"):
    return press(
        "sheetfed_litho",
        id=name,
        cost_centre="litho",
        units=draw(st.integers(1, 6)),
        perfecting_after_unit=draw(st.integers(0, 2)),
        rated_sheets_per_hour=draw(st.integers(3_000, 18_000)),
        make_ready_min_per_form=draw(st.integers(2, 40)),
        make_ready_min_per_plate=draw(st.integers(1, 15)),
        make_ready_sheets_per_form=draw(st.integers(0, 300)),
        running_waste=draw(
            st.sampled_from(
                [
                    [[2500, 0.037], [25000, 0.026]],
                    [[1, 0.0]],
                    [[1, 0.011]],
                    [[200, 0.08], [2000, 0.05], [90000, 0.031]],
                ]
            )
        ),
        plate_price=draw(money),
        plate_life_impressions=draw(st.integers(500, 60_000)),
        max_passes_per_side=6,
        feed={
            "max_width_mm": draw(st.sampled_from([520, 740, 1030])),
            "max_length_mm": draw(st.sampled_from([360, 530, 720])),
        },
    )


@st.composite
def toner_presses(draw, name="toner"):
    return press(
        "toner",
        id=name,
        cost_centre="toner",
        turns_the_sheet=draw(st.booleans()),
        running_waste=draw(st.sampled_from([0.0, 0.004, 0.01, 0.033])),
        make_ready_min=draw(st.integers(0, 30)),
        make_ready_sheets=draw(st.integers(0, 30)),
        click_mono_price=draw(st.integers(0, 20)) / 1000,
        click_colour_price=draw(st.integers(5, 150)) / 1000,
        feed={"max_width_mm": draw(st.sampled_from([331, 520])), "max_length_mm": 488},
    )


@st.composite
def shops(draw):
    presses = [
        draw(litho_presses("litho_a")),
        draw(litho_presses("litho_b")),
        draw(toner_presses("toner_a")),
        draw(toner_presses("toner_b")),
    ]
    policy = PricePolicy(
        *(draw(st.integers(0, 60)) / 100 for _ in range(3)),
        draw(st.sampled_from([0, 1500, 9000])),
        draw(st.sampled_from([1, 5, 100])),
    )
    rates = {"litho": draw(st.integers(20, 250)) * 1.0, "toner": draw(st.integers(10, 80)) * 1.0}
    digits, currency = draw(st.sampled_from([(2, "EUR"), (0, "JPY"), (3, "KWD")]))
    return plant(*presses, rates=rates, price_policy=policy, digits=digits, currency=currency)


@st.composite
def jobs(draw):
    sheets = (
        ParentSheet(640, 900, "long", draw(money) / 50, "test"),
        ParentSheet(320, 450, "long", draw(money) / 150, "test"),
    )
    paper = stock(grammage_gsm=draw(st.sampled_from([60.0, 130.0, 320.0])), sheets=sheets)
    folds = draw(st.integers(0, 1)) if paper.grammage_gsm < 250 else 0
    width, height = draw(st.integers(60, 290)), draw(st.integers(60, 290))
    part = leaf(
        width,
        height,
        flat_width_mm=width * (1 + folds),
        folds=folds,
        pages=2 + 2 * folds,
        stock=paper,
        bleed_mm=draw(st.sampled_from([0.0, 3.0])),
        grain=draw(st.sampled_from(["any", "long", "short"])),
    )
    inks = st.sampled_from([CMYK, BLACK, (*CMYK, Ink("copper", "metallic", may_simulate=True))])
    part = with_inks(
        part, draw(inks), draw(st.one_of(st.just(()), inks)), draw(st.integers(1, 100)) / 100
    )
    return job(part, proof=draw(st.sampled_from(["none", "soft", "contract", "press"])))
