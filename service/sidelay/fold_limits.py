"""What stands against folding a part: the limits of the folder, and stock that cracks unscored."""

from __future__ import annotations

from math import ceil

from .job import Part
from .machines import Folder
from .part_operations import folding, scores
from .plant import Plant
from .work import ANOTHER_STOCK, Finding

# The last fold bends a layer for every four pages: two on each side of it.
PAGES_A_LAYER = 4


def fold_findings(part: Part, plant: Plant) -> list[Finding]:
    """Return what stands against folding a part that comes flat."""
    found, folder = [], plant.bindery.folder
    if not folded_by_hand(part, plant):
        found += _fold_size(part, folder)
        found += _fold_limits(part, folder, folding(plant))
    return [*found, *_score_first(part, folder, plant)]


def folded_by_hand(part: Part, plant: Plant) -> bool:
    """Whether an operation that it asks for folds the part."""
    return any(wish.name in folding(plant) for wish in part.operations)


def _fold_size(part: Part, folder: Folder) -> list[Finding]:
    flat = sorted((part.flat_width_mm, part.flat_height_mm))
    limits = sorted((folder.max_width_mm, folder.max_length_mm))
    if flat[0] <= limits[0] and flat[1] <= limits[1]:
        return []
    return [
        Finding(
            "limit",
            "fold_size",
            "the flat piece is larger than the folder takes",
            f"{flat[0]:g} x {flat[1]:g}",
            f"{limits[0]:g} x {limits[1]:g}",
            "mm",
            f"fold a flat size up to {limits[0]:g} x {limits[1]:g} mm",
        )
    ]


def _fold_limits(part: Part, folder: Folder, by_hand: tuple[str, ...]) -> list[Finding]:
    """by_hand: operations that would fold it instead."""
    found = []
    grammage = part.stock.grammage_gsm
    layers = max(1, ceil(part.pages / PAGES_A_LAYER))
    if layers * part.stock.caliper_um > folder.max_fold_um:
        thickest = folder.max_fold_um / layers
        found.append(
            Finding(
                "limit",
                "fold_thickness",
                "the last fold would bend more than the folder creases cleanly",
                layers * part.stock.caliper_um,
                folder.max_fold_um,
                "um",
                f"fold fewer pages at once, or choose a stock up to {thickest:.0f} um thick",
                ANOTHER_STOCK,
            )
        )
    if part.folds > folder.max_folds:
        found.append(
            Finding(
                "limit",
                "fold_count",
                "the folder has not that many stations",
                part.folds,
                folder.max_folds,
                "folds",
                f"use at most {folder.max_folds} folds",
            )
        )
    if grammage > folder.max_grammage_gsm:
        found.append(
            Finding(
                "limit",
                "fold_grammage",
                "the stock is too heavy for the folder",
                grammage,
                folder.max_grammage_gsm,
                "g/m2",
                f"choose a stock up to {folder.max_grammage_gsm:g} g/m2"
                + (f", or crease it and ask for {' or '.join(by_hand)}" if by_hand else ""),
                ANOTHER_STOCK,
            )
        )
    return found


def _score_first(part: Part, folder: Folder, plant: Plant) -> list[Finding]:
    """Heavy stock cracks where it is folded without a score."""
    grammage = part.stock.grammage_gsm
    scored = any(scores(wish, plant) for wish in part.operations)
    too_heavy = grammage > folder.max_grammage_gsm and not folded_by_hand(part, plant)
    if scored or too_heavy or grammage <= folder.score_above_gsm:
        return []
    scoring = sorted({each.operation for each in plant.operations if each.scores})
    ask = f"ask for one of: {', '.join(scoring)}" if scoring else "have it scored first"
    return [
        Finding(
            "caution",
            "score_first",
            "stock this heavy may crack at the fold",
            grammage,
            folder.score_above_gsm,
            "g/m2",
            f"{ask}; or choose a lighter stock",
        )
    ]
