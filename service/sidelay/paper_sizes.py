"""Named sheet and envelope sizes, and what one sheet holds by area.

All sizes are held in millimetres, portrait (width <= height). A name is lower case with
underscores; `named_size` also takes "A4", "SRA3" or "half letter".

Sources
  ISO 216   A and B series, trimmed sizes (secondary tables of the standard; B9 and B10 from memory)
  ISO 269   envelope sizes C3 to C6 and DL (secondary tables of the standard)
  ISO 217   RA and SRA, untrimmed sizes that yield the A series (secondary tables of the standard)
  ANSI/ASME Y14.1   the North American A to E (from memory); letter, legal and tabloid are
            common practice, no source
  JIS parent sheets   Koei Printing's glossary of paper notation; hatoron from memory
"""

from collections.abc import Mapping
from types import MappingProxyType

MM_PER_INCH = 25.4

Size = tuple[float, float]


class UnknownSize(ValueError):  # noqa: N818  (a finding about the job, not a fault of the program)
    """The size asked for has no name here; the message lists the names that exist."""


def _inches(width_in: float, height_in: float) -> Size:
    return round(width_in * MM_PER_INCH, 4), round(height_in * MM_PER_INCH, 4)


def _series(prefix: str, sizes: tuple[Size, ...], first: int = 0) -> dict[str, Size]:
    return {f"{prefix}{first + step}": size for step, size in enumerate(sizes)}


_ISO_216_A: tuple[Size, ...] = (
    (841, 1189), (594, 841), (420, 594), (297, 420), (210, 297), (148, 210),
    (105, 148), (74, 105), (52, 74), (37, 52), (26, 37),
)  # fmt: skip
_ISO_216_B: tuple[Size, ...] = (
    (1000, 1414), (707, 1000), (500, 707), (353, 500), (250, 353), (176, 250),
    (125, 176), (88, 125), (62, 88), (44, 62), (31, 44),
)  # fmt: skip
_ISO_269_C: tuple[Size, ...] = ((324, 458), (229, 324), (162, 229), (114, 162))
_ISO_217_RA: tuple[Size, ...] = ((860, 1220), (610, 860), (430, 610), (305, 430), (215, 305))
_ISO_217_SRA: tuple[Size, ...] = ((900, 1280), (640, 900), (450, 640), (320, 450), (225, 320))

_NORTH_AMERICAN: dict[str, Size] = {
    "letter": _inches(8.5, 11),
    "half_letter": _inches(5.5, 8.5),
    "legal": _inches(8.5, 14),
    "tabloid": _inches(11, 17),
    "ledger": _inches(11, 17),  # the same sheet, named for its landscape use
    "ansi_a": _inches(8.5, 11),
    "ansi_b": _inches(11, 17),
    "ansi_c": _inches(17, 22),
    "ansi_d": _inches(22, 34),
    "ansi_e": _inches(34, 44),
    "us_business_card": _inches(2, 3.5),
}

_JIS_PARENTS: dict[str, Size] = {
    "jis_shiroku": (788, 1091),
    "jis_kiku": (636, 939),
    "jis_a_parent": (625, 880),
    "jis_b_parent": (765, 1085),
    "jis_hatoron": (900, 1200),
}

SIZES_MM: Mapping[str, Size] = MappingProxyType(
    _series("a", _ISO_216_A)
    | _series("b", _ISO_216_B)
    | _series("c", _ISO_269_C, first=3)
    | {"dl": (110, 220)}
    | _series("ra", _ISO_217_RA)
    | _series("sra", _ISO_217_SRA)
    | _NORTH_AMERICAN
    | _JIS_PARENTS
    # 85 x 55 mm is common practice, no source; the identity card of ISO/IEC 7810 is 85.60 x 53.98.
    | {"business_card": (55, 85)}
)

# Sheets a North American merchant keeps. 19x25, 23x35 and 25x38 are in a trade newsletter's list;
# the rest is from memory. The last two, and 28x40, are board and cover sizes.
US_PARENT_SHEETS_IN: tuple[Size, ...] = (
    (17, 22), (17.5, 22.5), (19, 25), (23, 29), (23, 35), (25, 38), (28, 40), (35, 45), (38, 50),
    (20, 26), (26, 40),
)  # fmt: skip


def named_size(name: str) -> Size:
    """Width and height [mm] of a named sheet, portrait.

    Case, spaces and hyphens do not matter: "A4", "Half letter" and "half-letter" are understood.
    Raises UnknownSize, listing every known name.
    """
    key = name.strip().lower().replace(" ", "_").replace("-", "_")
    try:
        return SIZES_MM[key]
    except KeyError:
        raise UnknownSize(f"no size is named {name!r}; known: {', '.join(SIZES_MM)}") from None


def area_ratio(
    sheet_width: float, sheet_height: float, piece_width: float, piece_height: float
) -> float:
    """How many times the piece's area goes into the sheet's; all four in one unit.

    Rounded down it is the most pieces any cutting could give, and the trade's format number: the
    16 of a 16-mo (kaiben) is a page of which the full sheet holds sixteen on one side.
    Raises ValueError for a size that is not positive.
    Source: Chinese print-calculation note, case IM16 in tests/reference/cases/paper.json.
    """
    if min(sheet_width, sheet_height, piece_width, piece_height) <= 0:
        raise ValueError("sheet and piece sizes must be greater than 0")
    return (sheet_width * sheet_height) / (piece_width * piece_height)


def offcut_share(
    sheet_width: float, sheet_height: float, piece_width: float, piece_height: float, up: int
) -> float:
    """Share of the sheet's area, 0 to 1, that is cut away when `up` pieces come out of it.

    All four lengths in one unit. Raises ValueError when `up` pieces have more area than the sheet.
    Source: Ecographics, finished sizes (7 % from 23 x 35 in as eight letter pages), case IM04.
    """
    share = 1 - up / area_ratio(sheet_width, sheet_height, piece_width, piece_height)
    if up < 0 or share < -1e-9:
        raise ValueError(f"{up} pieces of {piece_width} x {piece_height} do not fit by area")
    return max(share, 0.0)
