"""Types of answers: wishes.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, NotRequired, TypedDict


class StockWish(TypedDict):
    """The stock wanted: by id, or by grade with grammage, or by grade with basis weight."""

    id: NotRequired[str]
    grade: NotRequired[str]
    finish: NotRequired[str]
    grammage_gsm: NotRequired[float]
    basis_weight_lb: NotRequired[float]
    basis: NotRequired[
        Literal[
            "bond",
            "ledger",
            "writing",
            "cover",
            "bristol",
            "index",
            "tag",
            "newsprint",
            "kraft",
            "coated_board",
            "text",
            "book",
            "offset",
            "coated_book",
        ]
    ]


class Operation(TypedDict):
    """Something done beside printing, cutting, folding and binding."""

    operation: str
    machine: NotRequired[str]
    sides: NotRequired[int]
    finish: NotRequired[str]
    count: NotRequired[int]
    per: NotRequired[int]
    area_share: NotRequired[float]


class Binding(TypedDict):
    """How the parts of a copy are held together."""

    method: Literal[
        "saddle_stitch",
        "side_stitch",
        "perfect_bind",
        "thread_sewn",
        "case",
        "wire",
        "coil",
        "pad",
    ]
    edge: NotRequired[Literal["left", "top"]]
    machine: NotRequired[str]
