"""Most-up counts against a program that is not ours.

Two independent checks: a general packing library (rectpack), whose guillotine heuristics may
never fit more pieces than `most_up`, and a checker that takes the placements apart cut by cut.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rectpack import PackingMode, guillotine, newPacker

from sidelay.imposition import Placement, most_up

# Every complete heuristic: a way to choose the free rectangle, and a way to split what is left.
HEURISTICS = [
    getattr(guillotine, f"Guillotine{choice}{split}")
    for choice in ("Baf", "Blsf", "Bssf")
    for split in ("Sas", "Las", "Slas", "Llas", "Maxas", "Minas")
]
Box = tuple[int, int, int, int]

# Sheet and piece in whole millimetres (or whole sixteenths of an inch): usual trade work, awkward
# remainders, and a piece that only just fits.
WORK = [
    ((500, 700), (148, 210)),
    ((500, 700), (85, 55)),
    ((700, 1000), (210, 297)),
    ((720, 1020), (216, 303)),
    ((450, 640), (105, 148)),
    ((320, 450), (91, 61)),
    ((620, 880), (100, 150)),
    ((460, 660), (160, 120)),
    ((368, 560), (144, 192)),
    ((400, 608), (88, 136)),
    ((1200, 800), (176, 135)),
    ((1000, 1000), (205, 159)),
    ((520, 370), (85, 55)),
    ((300, 200), (21, 19)),
    ((140, 100), (30, 20)),
    ((297, 420), (297, 420)),
    ((297, 420), (420, 297)),
    ((100, 100), (101, 20)),
]


def _packed(heuristic: type, sheet: tuple[int, int], piece: tuple[int, int]) -> int:
    packer = newPacker(mode=PackingMode.Offline, pack_algo=heuristic, rotation=True)
    packer.add_bin(*sheet)
    for _ in range(sheet[0] * sheet[1] // (piece[0] * piece[1])):
        packer.add_rect(*piece)
    packer.pack()
    return len(packer.rect_list())


@pytest.mark.parametrize("heuristic", HEURISTICS, ids=lambda heuristic: heuristic.__name__)
def test_no_packing_of_the_library_holds_more(heuristic: type) -> None:
    for sheet, piece in WORK:
        assert _packed(heuristic, sheet, piece) <= most_up(*sheet, *piece).up, (sheet, piece)


def test_the_library_is_really_asked() -> None:
    # The remainder strip of 62 x 88 cm by 10 x 15 cm (case IM08): its heuristics find it too.
    best = max(_packed(heuristic, (620, 880), (100, 150)) for heuristic in HEURISTICS)
    assert best == most_up(620, 880, 100, 150).up == 34


def _steps(placement: Placement, gutter: float) -> Box:
    """Corners of a piece in whole thousandths, the gutter to its right and below added to it."""
    x, y, width, height = placement
    right, bottom = x + width + gutter, y + height + gutter
    return round(x * 1000), round(y * 1000), round(right * 1000), round(bottom * 1000)


def _separable(boxes: list[Box]) -> bool:
    """Whether edge-to-edge cuts free every box: try each edge as a cut, then both sides of it."""
    if len(boxes) <= 1:
        return True
    for axis in (0, 1):
        for at in sorted({box[axis + 2] for box in boxes}):
            before = [box for box in boxes if box[axis + 2] <= at]
            beyond = [box for box in boxes if box[axis] >= at]
            if beyond and len(before) + len(beyond) == len(boxes):
                # Taking boxes away never spoils a cut, so the first cut that works will do.
                return _separable(before) and _separable(beyond)
    return False


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _check_placements(
    sheet: tuple[float, float], piece: tuple[float, float], rotate: bool, gutter: float
) -> None:
    pattern = most_up(*sheet, *piece, rotate=rotate, gutter=gutter)
    placements = pattern.placements()
    assert len(placements) == pattern.up
    ways = {tuple(piece), tuple(reversed(piece))} if rotate else {tuple(piece)}
    for placement in placements:
        assert any(placement[2:] == pytest.approx(way, abs=0.001) for way in ways)
    boxes = [_steps(placement, gutter) for placement in placements]
    edge = [round((side + gutter) * 1000) for side in sheet]
    assert all(b[0] >= 0 and b[1] >= 0 and b[2] <= edge[0] and b[3] <= edge[1] for b in boxes)
    boxes.sort()
    for place, box in enumerate(boxes):
        for other in boxes[place + 1 :]:
            if other[0] >= box[2]:
                break
            assert not _overlap(box, other)
    assert _separable(boxes)


@pytest.mark.parametrize("gutter", [0, 4, 6.35])
@pytest.mark.parametrize(("sheet", "piece"), WORK)
def test_placements_can_be_cut(
    sheet: tuple[int, int], piece: tuple[int, int], gutter: float
) -> None:
    _check_placements(sheet, piece, True, gutter)


@settings(max_examples=150, deadline=None)
@given(
    st.tuples(st.integers(10, 1200), st.integers(10, 1200)),
    st.tuples(st.integers(30, 400), st.integers(30, 400)),
    st.booleans(),
    st.sampled_from([0, 3, 6.35]),
)
def test_placements_of_any_work_can_be_cut(
    sheet: tuple[int, int], piece: tuple[int, int], rotate: bool, gutter: float
) -> None:
    _check_placements(sheet, piece, rotate, gutter)


def test_the_checker_sees_a_pinwheel() -> None:
    pinwheel: list[Box] = [(0, 0, 3, 2), (3, 0, 5, 3), (2, 3, 5, 5), (0, 2, 2, 5)]
    assert not _separable(pinwheel)
    assert not any(_overlap(a, b) for a in pinwheel for b in pinwheel if a != b)
