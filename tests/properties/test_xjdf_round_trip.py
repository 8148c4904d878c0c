"""A job within the subset is the same when it has been written as a document and read again.

The subset: what jobs() below makes. Sizes are in mm by their sides, to 0.0001 mm; a job has a
title where its only part has a name; inks of a side stand with varnishes last, and spot inks have
names that are words of the standard and not those of white or metallic inks or of coatings; what
is printed over has inks of its side; a box is made as boxes are; operations stand in the order in
which they are done; what is the default is left out.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st

import shop
from sidelay.http.xjdf import read_product, write_product
from sidelay.http.xjdf.points import plain
from sidelay.http.xjdf.read_folds import least_folds
from sidelay.http.xjdf.words import (
    ANY_SPOT,
    BLANK,
    BOX,
    COATED_OFF_LINE,
    INK_KINDS,
    NO_COATINGS,
    OPERATION_ORDER,
    PROCESS_INKS,
    UV_FINISHES,
    VARIABLE_COVERAGE,
    VARNISHES,
)

Body = dict[str, Any]

PROCESSES = shop.processes().about
STOCKS = shop.demo().stocks
TOKENS = sorted({each.standard_token for each in PROCESSES.values()})
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-:"
NOT_SPOT = {*PROCESS_INKS, *INK_KINDS}
NOT_SPOT |= {each.casefold() for each in (ANY_SPOT, *VARNISHES, *COATED_OFF_LINE)}
NOT_VARNISH = (*COATED_OFF_LINE, *NO_COATINGS, *UV_FINISHES)

mm = st.one_of(
    st.integers(500, 100_000).map(lambda n: plain(Fraction(n, 100), 2)),
    st.integers(50_000, 10_000_000).map(lambda n: plain(Fraction(n, 10_000), 4)),
)
share = st.integers(1, 1000).map(lambda n: plain(Fraction(n, 1000), 3))
words = st.text(LETTERS, min_size=1, max_size=12)
spot_names = words.filter(lambda name: name.casefold() not in NOT_SPOT)
names = st.text(min_size=1, max_size=20)
inks = st.one_of(
    st.sampled_from(sorted(PROCESS_INKS)),
    spot_names.map(lambda name: {"name": name, "kind": "spot"}),
    st.just({"name": "White", "kind": "white"}),
    st.just({"name": "gold", "kind": "metallic"}),
)
varnishes = words.filter(lambda name: name not in NOT_VARNISH).map(
    lambda name: {"name": name, "kind": "varnish"}
)


def maybe(draw: Any, members: Body, **strategies: Any) -> None:
    """Set each member, or leave it out."""
    for name, strategy in strategies.items():
        if draw(st.booleans()):
            members[name] = draw(strategy)


@st.composite
def sides(draw: Any) -> Body:
    """A printed side."""
    side: Body = {"inks": draw(st.lists(inks, min_size=1, max_size=5))}
    side["inks"] += draw(st.lists(varnishes, max_size=1))
    maybe(draw, side, coverage=share)
    return side


@st.composite
def stocks(draw: Any) -> Body:
    """A stock by id, or by grade and weight."""
    stock = draw(st.sampled_from(list(STOCKS.values())))
    if draw(st.booleans()):
        return {"id": stock.id}
    described: Body = {"grade": stock.grade, "grammage_gsm": draw(st.integers(10, 2000))}
    if draw(st.booleans()) and stock.finish:
        described["finish"] = stock.finish
    elif stock.grade == "coated":
        described["finish"] = draw(st.sampled_from(("gloss", "matt", "silk")))
    return described


@st.composite
def operations(draw: Any, *, both: bool, folded: bool) -> list[Body]:
    """Operations of a part, in the order in which they are done. both: whether both sides print"""
    side_counts = st.just({}) | st.just({"sides": 2})
    shares = st.just({}) | share.filter(lambda each: each < 1).map(lambda n: {"area_share": n})
    films = st.sampled_from(("gloss", "matt", "soft_touch"))
    asked: list[Body] = []
    if draw(st.booleans()):
        finish = draw(st.just({}) | films.map(lambda each: {"finish": each}))
        asked.append({"operation": "laminate", **finish, **draw(side_counts)})
    if draw(st.booleans()):
        coated = draw(side_counts) if both else {}
        finish = draw(st.sampled_from(("gloss", "matt", "spot_uv")))
        asked.append({"operation": "varnish", "finish": finish, **coated})
    if draw(st.booleans()):
        asked.append({"operation": "emboss", **draw(shares)})
    if draw(st.booleans()):
        asked.append({"operation": "foil", "finish": draw(st.sampled_from(("gold", "copper"))),
                      **draw(shares)})  # fmt: skip
    counts = st.just({"count": 3}) if folded else st.just({}) | st.just({"count": 3})
    lines = [name for name in ("crease", "perforate") if draw(st.booleans())]
    asked += [{"operation": name, **draw(counts)} for name in lines]
    return asked + draw(operations_of_copies())


@st.composite
def operations_of_copies(draw: Any) -> list[Body]:
    """Operations that go through whole copies."""
    asked: list[Body] = []
    if draw(st.booleans()):
        asked.append({"operation": "die_cut"})
    if draw(st.booleans()):
        asked.append({"operation": "round_corners", "count": 4})
    if draw(st.booleans()):
        asked.append({"operation": "drill", "count": draw(st.integers(1, 9))})
    return asked


@st.composite
def parts(draw: Any, kinds: tuple[str, ...]) -> Body:
    """A part of the job."""
    kind = draw(st.sampled_from(kinds))
    part: Body = {"size": {"width": draw(mm), "height": draw(mm)}, "stock": draw(stocks())}
    if kind != "leaf":
        part["kind"] = kind
    if kind in ("leaf", "insert"):
        put_folds(draw, part)
    elif kind == "section":
        part["pages"] = 4 * draw(st.integers(1, 99))
    both = draw(st.booleans())
    part["front"] = draw(sides() if both else sides() | st.just({"inks": []}))
    if both or not part["front"]["inks"]:
        part["back"] = draw(sides())
    maybe(draw, part, bleed_mm=st.integers(0, 2000).map(lambda n: plain(Fraction(n, 100), 2)))
    maybe(draw, part, grain=st.sampled_from(("any", "long", "short")))
    asked = draw(operations(both=both, folded="folds" in part))
    if kind == "carton" and (asked := [each for each in asked if each != {"operation": "die_cut"}]):
        asked += [{"operation": name} for name in draw(st.sampled_from((BOX, BLANK)))]
        asked.sort(key=lambda each: OPERATION_ORDER.index(each["operation"]))
    if asked:
        part["operations"] = asked
    if kind in ("leaf", "insert"):
        put_variable(draw, part)
    return part


def put_folds(draw: Any, part: Body) -> None:
    """Set pages and folds that fit together, and perhaps a flat size."""
    panels = draw(st.integers(1, 12))
    if panels > 1:
        part["pages"] = 2 * panels
        part["folds"] = draw(st.integers(least_folds(panels), panels - 1))
    elif draw(st.booleans()):
        part["pages"] = 2
    if draw(st.booleans()):
        part["flat_size"] = {"width": draw(mm), "height": draw(mm)}


def put_variable(draw: Any, part: Body) -> None:
    """Set what differs from piece to piece, or nothing."""
    maybe(draw, part, variable_share=share)
    if draw(st.booleans()):
        coverage = draw(st.sampled_from(sorted(VARIABLE_COVERAGE.values())))
        over: Body = {}
        for side in ("front", "back"):
            printed = [ink for ink in part.get(side, {}).get("inks", ()) if is_plain(ink)]
            if printed and draw(st.booleans()):
                few = draw(st.lists(st.sampled_from(printed), min_size=1, max_size=3))
                over[side] = {"inks": few, "coverage": coverage}
        if over:
            part["overprint"] = over
            maybe(draw, over, quality=st.just("draft"))


def is_plain(ink: Any) -> bool:
    """Whether an ink is a process ink or a spot colour."""
    return isinstance(ink, str) or ink["kind"] == "spot"


@st.composite
def jobs(draw: Any) -> Body:
    """The members of a request, the job within the subset."""
    quantity = draw(st.integers(1, 10_000_000))
    job: Body = {"quantities": [quantity]}
    body: Body = {"job": job}
    alone = draw(st.booleans())
    if alone:
        part = draw(parts(("leaf", "section", "label", "envelope", "carton")))
        job["parts"] = [part]
        maybe(draw, job, title=names)
        if "title" in job:
            maybe(draw, part, name=names)
    else:
        job["parts"] = draw(st.lists(parts(("leaf", "section", "cover", "insert")), min_size=2,
                                     max_size=4))  # fmt: skip
        for each in job["parts"]:
            maybe(draw, each, name=names, per_copy=st.integers(2, 200))
        put_binding(draw, job)
        maybe(draw, job, title=names)
    maybe(draw, job, due_at=st.just("2027-03-05T12:00:00+01:00"))
    maybe(draw, job, dispatch=st.sampled_from(("collect", "deliver")))
    maybe(draw, job, proof=st.sampled_from(("soft", "contract")))
    extra = draw(st.integers(0, quantity // 2))
    if extra and plain(Fraction(extra, quantity), 6):
        job["overs_share"] = plain(Fraction(extra, quantity), 6)
    maybe(draw, body, rank_by=st.sampled_from(("price", "readiness")))
    if draw(st.booleans()):
        token = draw(st.sampled_from(TOKENS))
        body["processes"] = sorted(i for i, p in PROCESSES.items() if p.standard_token == token)
    return body


def put_binding(draw: Any, job: Body) -> None:
    """Set how parts are bound, or leave them loose; and what is done to the copies."""
    if draw(st.booleans()):
        methods = ("saddle_stitch", "side_stitch", "perfect_bind", "thread_sewn", "case", "wire",
                   "coil", "pad")  # fmt: skip
        job["binding"] = {"method": draw(st.sampled_from(methods))}
        maybe(draw, job["binding"], edge=st.sampled_from(("left", "top")))
    if asked := draw(operations_of_copies()):
        job["operations"] = asked


@given(jobs())
def test_a_job_comes_back_the_same_from_its_document(body: Body) -> None:
    document, told = write_product(body, PROCESSES, STOCKS)
    assert [each for each in told if each.code == "not_said"] == []
    assert read_product(document, PROCESSES, STOCKS).body == body


@given(jobs())
def test_a_document_written_is_written_the_same_again(body: Body) -> None:
    document, _ = write_product(body, PROCESSES, STOCKS)
    again = read_product(document, PROCESSES, STOCKS).body
    assert write_product(again, PROCESSES, STOCKS)[0] == document


@given(jobs(), st.integers(1, 10_000_000))
def test_a_document_can_be_about_another_quantity(body: Body, quantity: int) -> None:
    body["job"].pop("overs_share", None)
    assume(quantity != body["job"]["quantities"][0])
    document, told = write_product(body, PROCESSES, STOCKS, quantity=quantity)
    assert ("job", "quantities", 0) in [each.path for each in told]
    read = read_product(document, PROCESSES, STOCKS).body
    assert read == {**body, "job": {**body["job"], "quantities": [quantity]}}
