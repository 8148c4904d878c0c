"""`sidelay plant stocks`: a merchant's list put into a plant file, whole or not at all."""

from __future__ import annotations

import csv
import io
import math
import re
import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop import DEMO_FILE, demo, demo_text, processes
from sidelay import cli
from sidelay.plant_file import plant_of, read_plant
from sidelay.plant_tools.csv_cells import BadCell, BadTable, decoded, number_of, read_table
from sidelay.plant_tools.stock_list import read_items
from sidelay.plant_tools.stock_mapping import StockMapping, Written, read_mapping
from sidelay.plant_tools.stock_merge import merge
from sidelay.plant_tools.toml_edit import NotWritten, with_stocks
from sidelay.stock_schema import sold_by

MAPPING = """
[file]
encoding = "cp1252"
delimiter = ";"
decimal_mark = ","
thousands_mark = "."
[check]
currency = "EUR"
[columns]
id = "Artikel"
name = "Bezeichnung"
grade = "Sorte"
finish = "Oberfläche"
grammage_gsm = "g/m2"
caliper = "Dicke mm"
width = "Breite cm"
height = "Länge cm"
grain = "Bahn"
price = "Preis/t"
pack = "Paket"
currency = "Währung"
[units]
size = "cm"
caliper = "mm"
[defaults]
price_unit = "tonne"
[words.id]
"4711" = "silk_150"
[words.finish]
seidenmatt = "silk"
[words.grade]
Bilderdruck = "coated"
[words.grain]
SB = "long"
BB = "short"
[[tiers]]
from = "Menge 2"
price = "Preis 2"
[[tiers]]
from = 20000
price = "Preis 3"
"""
HEAD = (
    "Artikel;Bezeichnung;Sorte;Oberfläche;g/m2;Dicke mm;Breite cm;Länge cm;Bahn;Preis/t;Paket;"
    "Währung;Menge 2;Preis 2;Preis 3"
)
KNOWN = "4711;Silk;Bilderdruck;seidenmatt;150;;64;90;SB;1.205,50;250;EUR;5.000;1.150;1.100"
BESIDE = "4711;Silk;Bilderdruck;seidenmatt;150;;72;102;SB;1.205,50;250;EUR;5.000;1.150;1.100"
NEW = "Silk-200;Neu;Bilderdruck;Seidenmatt;200;0,18;72;102;BB;1.310;250;EUR;;;"


@cache
def small_text() -> str:
    """The demo plant with its toner presses, two stocks, and no machine for further finishing."""
    head, *stocks = demo_text("toner").split("[[stocks]]\n")
    for table in ("operations", "binders", r"time\.machines"):
        head = re.sub(rf"(?ms)^\[\[{table}\]\]\n.*?(?=^\[(?!\[?{table}[.\]]))", "", head)
    kept = [each for each in stocks if '"silk_150"' in each or '"silk_130"' in each]
    return "[[stocks]]\n".join([head, *kept])


class Shop:
    """A folder with a list, a mapping and a plant file, and what the command says of them."""

    def __init__(self, folder: Path, capsys) -> None:
        self.folder, self._capsys = folder, capsys
        self.list, self.mapping, self.plant, self.out = (
            folder / name for name in ("list.csv", "map.toml", "plant.toml", "new.toml")
        )
        self.mapping.write_text(MAPPING, encoding="utf-8")
        self.plant.write_text(small_text())

    def write(self, *rows: str, head: str = HEAD, encoding: str = "cp1252", end: str = "\n"):
        text = end.join([head, *rows, ""])
        self.list.write_bytes(text.encode(encoding))
        return self

    def map(self, before: str, after: str):
        text = self.mapping.read_text(encoding="utf-8")
        assert before in text
        self.mapping.write_text(text.replace(before, after, 1), encoding="utf-8")
        return self

    def run(self, *options: str) -> tuple[int, str]:
        where = [f"--{name}={getattr(self, name)}" for name in ("mapping", "plant", "out")]
        status = cli.main(["plant", "stocks", str(self.list), *where, *options])
        printed = self._capsys.readouterr()
        return status, printed.out + printed.err

    def stock(self, name: str) -> dict:
        stocks = tomllib.loads(self.out.read_text())["stocks"]
        (found,) = (each for each in stocks if each["id"] == name)
        return found


@pytest.fixture
def shop(tmp_path: Path, capsys) -> Shop:
    return Shop(tmp_path, capsys)


def test_prices_tiers_and_new_stocks_are_put_in_and_all_else_stays(shop):
    status, told = shop.write(KNOWN, BESIDE, NEW).run()
    assert status == 0
    assert "1 updated, 1 added, 0 unchanged" in told
    assert "silk_150, 640 x 900 mm long: 1180 to 1205.5 a tonne, +2.2 %" in told
    old = next(
        each
        for each in tomllib.loads(shop.plant.read_text())["stocks"]
        if each["id"] == "silk_150"
    )
    tiers = [[5000, 1150], [20000, 1100]]
    assert shop.stock("silk_150") == old | {"price": 1205.5, "price_breaks": tiers}
    assert shop.stock("silk_200") == {
        "id": "silk_200",
        "name": "Neu",
        "grade": "coated",
        "finish": "silk",
        "grammage_gsm": 200,
        "caliper_um": 180,
        "price": 1310,
        "price_unit": "tonne",
        "pack": 250,
        "sheets": [{"width_mm": 720, "height_mm": 1020, "grain": "short"}],
    }
    before, after = (f.read_text().splitlines() for f in (shop.plant, shop.out))
    gone = [line for line in before if line not in after]
    assert len(gone) <= 2
    assert [line for line in after if line.startswith("#")] == [
        line for line in before if line.startswith("#")
    ]
    assert read_plant(shop.out, processes()).stocks["silk_150"].sheets[0].terms.tiers[1][0] == 5000


def test_a_price_of_one_size_is_written_with_that_size(shop):
    assert shop.write(KNOWN).run()[0] == 0
    old = demo().stocks["silk_150"].sheets
    new = read_plant(shop.out, processes()).stocks["silk_150"].sheets
    assert new[0].price > old[0].price
    assert (new[0].terms.pack, len(new[0].terms.tiers)) == (250, 3)
    assert new[1:] == old[1:]
    assert shop.stock("silk_150")["price"] == 1180


def test_a_row_without_a_size_is_of_all_at_the_price_of_the_stock(shop):
    row = "4711;Silk;Bilderdruck;seidenmatt;150;;;;;1.205,50;;EUR;;;"
    status, told = shop.write(row).run()
    assert (status, "Prices moved: 2" in told) == (0, True)
    stock = shop.stock("silk_150")
    assert stock["price"] == 1205.5
    assert "price_breaks" not in stock
    assert stock["pack"] == 250
    assert stock["sheets"][2]["price"] == 1560


def test_breaks_of_a_stock_go_where_every_size_has_a_price_of_its_own(shop):
    rows = [KNOWN, BESIDE.replace("1.205,50", "1.300")]
    assert shop.write(*rows).run()[0] == 0
    stock = shop.stock("silk_150")
    assert "price_breaks" not in stock
    assert [sheet["price"] for sheet in stock["sheets"]] == [1205.5, 1300, 1560, 1560]
    tiers = [[5000, 1150], [20000, 1100]]
    assert [sheet.get("price_breaks") for sheet in stock["sheets"]] == [tiers, tiers, None, None]


def test_a_size_that_is_new_is_added_to_its_stock(shop):
    row = KNOWN.replace(";64;90;SB;", ";70;100;BB;")
    assert shop.write(row).run()[0] == 0
    *old, new = shop.stock("silk_150")["sheets"]
    assert len(old) == 4
    assert (new["width_mm"], new["height_mm"], new["grain"]) == (700, 1000, "short")
    assert new["price"] == 1205.5
    assert new["price_breaks"] == [[5000, 1150], [20000, 1100]]


def test_a_list_that_says_what_the_plant_says_changes_no_byte(shop):
    row = KNOWN.replace("1.205,50", "1.180").replace("1.150", "1.145").replace("1.100", "1.095")
    status, told = shop.write(row).run()
    assert (status, "0 updated, 0 added, 1 unchanged" in told) == (0, True)
    assert shop.out.read_bytes() == shop.plant.read_bytes()


# ---------------------------------------------------------------- rejects


REJECTS = [
    (NEW.replace("1.310", "1.310.00"), "Row 3, column Preis/t: '1.310.00': not a number"),
    (NEW.replace("1.310", "=A1*2"), "'=A1*2': a formula"),
    (NEW.replace("Neu", "@cmd"), "column Bezeichnung: '@cmd': a formula"),
    (NEW.replace("Neu", "+49"), "'+49': a formula"),
    (NEW.replace("1.310", "-5"), "column Preis/t: '-5': not a number of 0 or more"),
    (NEW.replace("1.310", ""), "Row 3, column Preis/t: expected a price"),
    (NEW.replace("1.310", "1310 €"), "'1310 €': not a number"),
    (NEW.replace("EUR", "USD"), "column Währung: 'USD': expected EUR"),
    (NEW[:-1], "Row 3: expected 15 columns, not 14"),
    (NEW + ";more", "Row 3: expected 15 columns, not 16"),
    (NEW.replace("Silk-200", ""), "column Artikel: expected an id"),
    (NEW.replace("Silk-200", "200-1"), "'200_1' is no id: a letter first; say id_prefix"),
    (NEW.replace(";72;", ";;"), "column Breite cm: expected both sides"),
    (NEW.replace("72;102;BB", ";;"), "a new stock needs a size"),
    (NEW.replace(";BB;", ";;"), "Row 3: sheets.0.grain: Missing data"),
    (NEW.replace(";200;", ";2000000;"), "grammage_gsm"),
    (NEW.replace(";;;", ";;1.200;"), "expected from how many on Preis 2 holds"),
    (NEW.replace(";;;", ";30.000;1.200;1.100"), "tiers must rise"),
    (BESIDE.replace(";150;", ";170;"), "'170': rows of this stock differ in grammage_gsm"),
    (KNOWN, "the same stock and size in rows 2, 3"),
    (NEW + "\n" + NEW, "the same stock and size in rows 3, 4"),
    (BESIDE.replace("1.205,50", "1,20"), "1180 to 1.2 a tonne, -99.9 %: over 4 times off"),
]


@pytest.mark.parametrize(("row", "told"), REJECTS)
def test_a_reject_is_told_and_stops_the_writing(shop, row, told):
    status, printed = shop.write(KNOWN, row).run()
    assert status == 1
    assert told in printed
    assert "Nothing is written" in printed
    assert not shop.out.exists()


@pytest.mark.parametrize("row", [NEW.replace("1.310", "?"), NEW[:-1], NEW.replace("EUR", "USD")])
def test_rejects_are_skipped_where_asked(shop, row):
    status, told = shop.write(KNOWN, row).run("--skip-rejects")
    assert status == 0
    assert "Rows rejected: 1." in told
    assert "Row 3" in told
    assert "silk_200" not in shop.out.read_text()
    assert shop.stock("silk_150")["sheets"][0]["price"] == 1205.5


def test_a_stock_at_fault_takes_all_its_rows_with_it(shop):
    status, told = shop.write(KNOWN, BESIDE.replace("1.205,50", "9.999")).run("--skip-rejects")
    assert status == 0
    assert "Row 2: 'silk_150': the same stock as row 3, which is rejected" in told
    assert shop.out.read_bytes() == shop.plant.read_bytes()


def test_another_paper_under_a_known_id_is_refused(shop):
    status, told = shop.write(KNOWN.replace(";150;", ";170;")).run()
    assert (status, "'170': grammage_gsm is 150 in the plant" in told) == (1, True)


def test_a_new_price_beside_old_breaks_is_refused_unless_they_are_to_stay(shop):
    tiers = MAPPING[MAPPING.index("[[tiers]]") :]
    shop.map(tiers, "").write(KNOWN, BESIDE)
    status, told = shop.run()
    assert (status, "the plant has price breaks here and the list has none" in told) == (1, True)
    shop.map("[file]", "keep_price_breaks = true\n[file]")
    assert shop.run()[0] == 0
    assert shop.stock("silk_150")["price_breaks"] == [[5000, 1145], [20000, 1095]]


def test_a_price_in_another_unit_is_held_against_the_same_sheet(shop):
    # 0.64 m x 0.90 m x 150 g/m2 are 86.4 g: at 1180 a tonne 1,000 sheets cost 101.952.
    shop.map('price_unit = "tonne"', 'price_unit = "thousand_sheets"')
    row = KNOWN.replace("1.205,50", "104")
    status, told = shop.write(row).run()
    assert status == 0
    assert "1180 a tonne to 104 a thousand sheets, +2.0 %" in told
    (sheet, *_) = shop.stock("silk_150")["sheets"]
    assert (sheet["price"], sheet["price_unit"]) == (104, "thousand_sheets")
    status, told = shop.write(KNOWN).run("--force")
    assert (status, "over 4 times off" in told) == (1, True)
    shop.map('"thousand_sheets"', '"square_metre"')
    status, told = shop.run("--force")
    assert (status, "priced by" in told or "no price unit" in told) == (1, True)


# ---------------------------------------------------------------- what the file is like


@pytest.mark.parametrize(
    "how",
    [
        {"end": "\r\n"},
        {"end": "\n;;;;;;;;;;;;;;\n\n"},
        {"encoding": "utf-8"},
        {"encoding": "utf-8-sig"},
        {"encoding": "latin-1"},
        {"encoding": "utf-16"},
    ],
)
def test_lists_come_in_many_encodings_and_line_ends(shop, how):
    encoding = how.get("encoding", "cp1252")
    shop.map('"cp1252"', f'"{encoding.removesuffix("-sig")}"')
    status, told = shop.write(KNOWN, NEW, **how).run()
    assert (status, "1 updated, 1 added" in told) == (0, True)


def test_a_cell_in_quotes_may_hold_the_delimiter_and_a_line_end(shop):
    row = NEW.replace("Neu", '"Neu; glatt ""A""\nzweite Zeile"')
    status, told = shop.write(row, BESIDE.replace("1.205,50", "?")).run("--skip-rejects")
    assert status == 0
    assert "Row 4, column Preis/t" in told
    assert shop.stock("silk_200")["name"] == 'Neu; glatt "A"\nzweite Zeile'


REFUSED = [
    (lambda s: s.map('"cp1252"', '"utf-8"'), "byte 0xE4 in row 1 is not UTF-8"),
    (lambda s: s.map('"cp1252"', '"klingon"'), "no encoding of texts is called 'klingon'"),
    (lambda s: s.map('"cp1252"', '"base64"'), "no encoding of texts"),
    (lambda s: s.map('";"', '","'), "it has no column Artikel"),
    (lambda s: s.map('"Preis/t"', '"Preis"'), "it has no column Preis;"),
    (lambda s: s.map('thousands_mark = "."', 'thousands_mark = ","'), "than the decimal mark"),
    (lambda s: s.map('currency = "EUR"', 'currency = "GBP"'), "nothing is converted"),
    (lambda s: s.map('currency = "EUR"', ""), "[check] currency: Missing data"),
    (lambda s: s.map("[columns]", "[columns]\ncolour = 3"), "[columns] colour: Unknown field"),
    (lambda s: s.map('price = "Preis/t"', 'from = "Preis/t"'), "not both"),
    (lambda s: s.map("from = 20000", "from = 0"), "expected a column, or a number above 0"),
    (lambda s: s.map('";"', '";"\nheader_row = 0'), "without a header columns go by number"),
    (lambda s: s.map('";"', '";"\nheader_row = 9'), "the mapping says header_row = 9"),
    (lambda s: s.out.write_text("mine"), "is there already; --force writes over it"),
    (lambda s: s.list.unlink(), "cannot be read"),
    (lambda s: s.mapping.unlink(), "cannot be read"),
    (lambda s: s.plant.write_text("[plant\n"), "not TOML"),
    (lambda s: s.write('"' + KNOWN), "list.csv: Row"),
    (lambda s: s.write(head=HEAD.replace("Menge 2", "Paket")), "Two columns have one name: Paket"),
    (lambda s: s.list.write_bytes(b""), "It has 0 row(s)"),
    (lambda s: s.list.write_bytes(b"a;b\0;c"), "A NUL character stands in row 1"),
    (lambda s: s.write(KNOWN, encoding="utf-8-sig"), "starts with the mark of UTF-8"),
]


@pytest.mark.parametrize(("spoil", "told"), REFUSED)
def test_what_cannot_be_used_is_refused_clearly(shop, spoil, told):
    shop.write(KNOWN)
    spoil(shop)
    before = shop.out.read_bytes() if shop.out.exists() else None
    status, printed = shop.run()
    assert status == 2
    assert told in printed
    assert (shop.out.read_bytes() if shop.out.exists() else None) == before
    assert [each.name for each in shop.folder.iterdir() if each.name.startswith(".")] == []


def test_a_comma_for_the_decimal_mark_is_refused_where_the_mapping_says_a_point(shop):
    shop.map('decimal_mark = ","', 'decimal_mark = "."').map('thousands_mark = "."', "")
    status, told = shop.write(NEW.replace("1.310", "1.180,50").replace("0,18", "0.18")).run()
    assert status == 1
    assert """'1.180,50': not a number of 0 or more with decimal mark \".\"""" in told


def test_a_file_that_is_there_is_written_over_where_asked(shop):
    shop.out.write_text("mine")
    shop.plant.chmod(0o640)
    assert shop.write(KNOWN).run("--force")[0] == 0
    assert "mine" not in shop.out.read_text()
    assert shop.out.stat().st_mode & 0o777 == 0o640
    shop.out = shop.plant
    assert shop.run("--force")[0] == 0


LONG = {"gsm": "grammage_gsm", "bulk": "bulk_cm3_per_g"}


def test_tiers_come_in_rows_and_counts_in_packs(shop):
    head = "id,name,grade,finish,gsm,bulk,size,price,pack,from"
    shop.mapping.write_text(
        '[check]\ncurrency = "EUR"\n[units]\ncounts = "packs"\n'
        '[defaults]\ngrain = "long"\nprice_unit = "thousand_sheets"\nlead_days = 2\n[columns]\n'
        + "".join(
            f'{column} = "{key}"\n'
            for key, column in {key: LONG.get(key, key) for key in head.split(",")}.items()
        )
    )
    row = "m 1,Wove,uncoated,offset,100,1.3,SRA3,{},500,{}"
    rows = [row.format("88.5", "20"), row.format("95", ""), row.format("82", 40)]
    assert shop.write(*rows, head=head).run()[0] == 0
    found = shop.stock("m_1")
    assert found["price"] == 95
    assert found["price_breaks"] == [[10_000, 88.5], [20_000, 82]]
    assert (found["lead_days"], found["sheets"]) == (2, [{"size": "sra3", "grain": "long"}])
    shop.out.unlink()
    for spoiled, told in (
        (rows[:1], "no row of this stock and size has a price from 1"),
        ([*rows, rows[0]], "two rows of this stock and size have one from"),
        ([*rows, row.format("x", 60)], "row 5 of the same stock is rejected"),
        ([rows[0].replace(",500,", ",250,"), *rows[1:]], "differ in pack"),
    ):
        status, printed = shop.write(*spoiled, head=head).run()
        assert (status, told in printed) == (1, True), printed


# ---------------------------------------------------------------- cells, by hand


@pytest.mark.parametrize(
    ("cell", "marks", "number"),
    [
        ("1180", ",.", 1180),
        ("1.180", ",.", 1180),
        ("1.180", ".", 1.18),
        ("1.180,5", ",.", 1180.5),
        ("12,5", ",", 12.5),
        ("1,234,567.25", ".,", 1234567.25),
        ("1'180.50", ".'", 1180.5),
        ("0", ".", 0),
    ],
)
def test_numbers(cell, marks, number):
    assert number_of(cell, marks[0], marks[1:]) == number


@pytest.mark.parametrize("cell", ["11.80", "1.18", ".5", "1,", "1.1800", "1e3", "١٢", "", "1 2"])
def test_what_is_no_number_with_a_point_between_thousands(cell):
    with pytest.raises(BadCell):
        number_of(cell, ",", ".")


def test_a_row_has_the_number_of_the_line_that_it_starts_on():
    table = read_table('above\na,b\n1,"x\ny"\n\n2,z\n', ",", '"', 2)
    assert [(row.number, row.cells[1]) for row in table.rows] == [(3, "1"), (6, "2")]


def test_bytes_that_are_no_text_are_told_with_their_row():
    with pytest.raises(BadTable, match="byte 0xFC in row 3 is not UTF-8"):
        decoded("a\nb\nfür".encode("latin-1"), "utf-8")


# ---------------------------------------------------------------- there and back


COLUMNS = (
    "id", "kind", "name", "grade", "finish", "grammage_gsm", "caliper", "bulk_cm3_per_g", "size",
    "width", "height", "grain", "length_m", "diameter_mm", "core_mm", "label", "price",
    "price_unit", "pack", "least_order", "tone", "treated", "lead_days", "source", "from",
)  # fmt: skip
COLUMN_OF = {"width_mm": "width", "height_mm": "height", "caliper_um": "caliper"}


def listed(stocks, decimal=".", delimiter=",") -> str:
    """Stocks of a plant file as a list, a row for each price of each sheet, reel and blank."""
    text = io.StringIO()
    rows = csv.DictWriter(text, COLUMNS, delimiter=delimiter, lineterminator="\r\n")
    rows.writeheader()
    for stock in stocks:
        about = {key: value for key, value in stock.items() if not isinstance(value, list)}
        for kind in ("sheets", "reels", "blanks"):
            for supply in stock.get(kind, ()):
                told = about | {key: v for key, v in supply.items() if key != "price_breaks"}
                told |= {key: sold_by(supply, stock, key) for key in ("pack", "least_order")}
                told.pop("breaks_packs", None)
                breaks = sold_by(supply, stock, "price_breaks") or []
                for start, price in [("", told["price"]), *breaks]:
                    row = told | {"kind": kind, "from": start, "price": price}
                    rows.writerow(
                        {COLUMN_OF.get(k, k): _cell(v, decimal) for k, v in row.items()}
                    )
    return text.getvalue()


def _cell(value, decimal) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    return repr(value).replace(".", decimal) if isinstance(value, float) else str(value)


def mapped(decimal=".", delimiter=",") -> StockMapping:
    written = Written(delimiter=delimiter, decimal_mark=decimal)
    return StockMapping(written, "EUR", {name: name for name in COLUMNS}, {}, {})


def read_back(text: str, stocks, mapping: StockMapping):
    written = mapping.written
    table = read_table(text, written.delimiter, written.quote, written.header_row)
    items, rejects = read_items(table, mapping)
    found = merge(items, stocks, most_move=mapping.most_move)
    assert not rejects
    assert not [each.rejects for each in found if each.rejects]
    return found


def loaded_stocks(data):
    return plant_of(data, "", "shop.toml", processes()).stocks


@pytest.mark.parametrize(("decimal", "delimiter"), [(".", ","), (",", ";")])
def test_the_stocks_of_the_demo_plant_read_back_change_nothing(decimal, delimiter):
    data = tomllib.loads(DEMO_FILE.read_text())
    text = listed(data["stocks"], decimal, delimiter)
    found = read_back(text, data["stocks"], mapped(decimal, delimiter))
    assert len(found) == len(data["stocks"])
    assert not any(each.is_changed or each.moves for each in found)


def test_the_stocks_of_the_demo_plant_are_made_again_out_of_a_list():
    data = tomllib.loads(demo_text("toner"))
    stocks = [{k: v for k, v in s.items() if k != "breaks_packs"} for s in data["stocks"]]
    found = read_back(listed(stocks), [], mapped())
    assert all(each.is_new for each in found)
    made = loaded_stocks(data | {"stocks": [each.stock for each in found]})
    wanted = loaded_stocks(data | {"stocks": stocks})
    assert made == wanted


PRICES = st.integers(1, 400_000).map(lambda cents: cents / 100)
COUNTS = st.integers(2, 50_000)


@st.composite
def plant_stocks(draw):
    """A stock as a plant file may have it: figures of its own, or of its sheets, or of both."""
    def sold(optional):
        told = {}
        if draw(st.booleans()) or not optional:
            told["price"] = draw(PRICES)
            if draw(st.booleans()) or not optional:
                told["price_unit"] = draw(st.sampled_from(["tonne", "sheet", "thousand_sheets"]))
        for key, values in (("pack", st.integers(0, 1000)), ("least_order", COUNTS)):
            if draw(st.booleans()):
                told[key] = draw(values)
        if draw(st.booleans()) and ("price" in told or not optional):
            starts = draw(st.lists(COUNTS, max_size=3, unique=True).map(sorted))
            told["price_breaks"] = [[start, draw(PRICES)] for start in starts]
        return told

    sizes = draw(
        st.lists(
            st.tuples(
                st.integers(300, 500), st.integers(600, 1000), st.sampled_from(["long", "short"])
            ),
            min_size=1,
            max_size=4,
            unique=True,
        )
    )
    stock = {"id": "paper", "name": "Paper", "grade": "coated", "finish": "silk"}
    stock |= {"grammage_gsm": 150, "bulk_cm3_per_g": 0.9, **sold(optional=False)}
    stock["sheets"] = [
        {"width_mm": width, "height_mm": height, "grain": grain, **sold(optional=True)}
        for width, height, grain in sizes
    ]
    own = [{"price", "price_unit"} & set(sheet) for sheet in stock["sheets"]]
    if all(own):
        stock.pop("price_breaks", None)
    return stock


def as_sold(stock):
    """What holds for each sheet of a stock, however it is written."""
    return [
        {
            "size": (sheet["width_mm"], sheet["height_mm"], sheet["grain"]),
            "price": sheet.get("price", stock["price"]),
            "unit": sheet.get("price_unit", stock["price_unit"]),
            "pack": sold_by(sheet, stock, "pack") or 0,
            "least": sold_by(sheet, stock, "least_order") or 0,
            "breaks": sold_by(sheet, stock, "price_breaks") or [],
        }
        for sheet in stock["sheets"]
    ]


@given(plant_stocks())
def test_any_stock_written_to_a_list_and_read_back_is_the_same(stock):
    (found,) = read_back(listed([_with_units(stock)]), [stock], mapped())
    assert found.stock == stock
    assert not found.is_changed


@given(plant_stocks(), plant_stocks(), st.data())
@settings(max_examples=60)
def test_what_a_list_tells_holds_and_what_it_does_not_tell_stays(old, new, data):
    told = data.draw(st.lists(st.sampled_from(new["sheets"]), min_size=1, unique_by=id))
    offer = _with_units(new | {"sheets": told}) | {"pack": new.get("pack", 0)}
    offer["least_order"] = new.get("least_order", 0)
    text = listed([offer])
    (found,) = read_back(text, [old], replace(mapped(), most_move=math.inf))
    sizes = [each["size"] for each in as_sold(offer)]
    wanted = {each["size"]: each for each in as_sold(old) if each["size"] not in sizes}
    wanted |= {each["size"]: each for each in as_sold(offer)}
    assert {each["size"]: each for each in as_sold(found.stock)} == wanted
    text = with_stocks(_text_of(old), [found.stock])
    assert tomllib.loads(text)["stocks"] == [found.stock]


def _with_units(stock):
    """A stock whose sheets all tell their price and its unit, as a list does."""
    sheets = [
        sheet
        | {
            "price": sheet.get("price", stock["price"]),
            "price_unit": sheet.get("price_unit", stock["price_unit"]),
            "price_breaks": sold_by(sheet, stock, "price_breaks") or [],
        }
        for sheet in stock["sheets"]
    ]
    return stock | {"sheets": sheets}


def _text_of(stock) -> str:
    return with_stocks("", [stock])


# ---------------------------------------------------------------- in place


def test_only_the_stock_that_changes_is_written_anew():
    text = (
        "# head\n[plant]\nid = 'a' # kept\ntext = '''\n[[stocks]]\n'''\nrows = [\n[1],\n[2]\n]\n\n"
        "[[stocks]] # paper\nid = 'x'\nprice  =  5 # a tonne\n[[stocks.sheets]]\nsize='a4'\n\n"
        "# more\n[[stocks]]\nid = 'y'\n\n# end\n[tail]\nz = 1\n"
    )
    sheets = [{"size": "a4", "pack": 9}, {"size": "a3"}]
    new = with_stocks(text, [{"id": "x", "price": 6, "sheets": sheets}, {"id": "z", "price": 1}])
    for line in ("price  =  6 # a tonne", "[[stocks]] # paper", "id = 'a' # kept", "# end\n[tail]"):
        assert line in new
    before, after = text.index("# more"), new.index("# more")
    assert new[after:].startswith(text[before : text.index("\n\n# end")])
    assert [each["id"] for each in tomllib.loads(new)["stocks"]] == ["x", "y", "z"]


def test_a_plant_file_keeps_its_line_ends(tmp_path):
    text = "[plant]\r\nid = 'a'\r\n[[stocks]]\r\nid = 'x'\r\nprice = 5\r\n"
    new = with_stocks(text, [{"id": "x", "price": 6}, {"id": "y", "price": 7}])
    assert new.count("\n") == new.count("\r\n") > 5


def test_stocks_in_one_list_cannot_be_changed_in_place():
    with pytest.raises(NotWritten):
        with_stocks("stocks = [{ id = 'x', price = 5 }]\n", [{"id": "x", "price": 6}])


def test_a_mapping_is_read_with_its_units_and_words(tmp_path):
    file = tmp_path / "map.toml"
    file.write_text(MAPPING, encoding="utf-8")
    mapping = read_mapping(file)
    assert mapping.words["finish"] == {"seidenmatt": "silk"}
    assert mapping.tiers == (("Menge 2", "Preis 2"), (20000, "Preis 3"))
    assert (mapping.size_mm, mapping.caliper_um, mapping.tells_tiers) == (10, 1000, True)
