"""A stand-in for the product endpoints, that can be slow, broken, busy or gone when a test says so.

It answers in the shapes of the product endpoints. Its prices follow a made-up rule, for what is
tested with it is the page: a basic charge, and so much a piece of each value that is chosen.
"""

from __future__ import annotations

import json
import socket
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qsl, urlsplit

CURRENCY = "EUR"
LANGUAGES = ("en", "de")
LADDER = (50, 100, 250, 500, 1000, 2500, 5000)
AS_OF = "2026-11-24T09:00:00+00:00"
READY_AT = "2026-11-26T11:00:00+00:00"
HELD_UNTIL = "2026-11-29T11:00:00+00:00"
BECAUSE = {
    "en": "Film needs a stock of at least 170 g/m2.",
    "de": "Folie braucht mindestens 170 g/m2.",
}
SHORT = {"en": "Film holds at most 48 pages.", "de": "Mit Folie höchstens 48 Seiten."}
PLANT = {
    "id": "demo",
    "name": "Brackwater Print Rooms, Port Ellery",
    "revision": "1",
    "currency": CURRENCY,
}

# Of each value: its names, and what a piece of it costs.
Values = Mapping[str, tuple[str, str, str]]
SIZES: Values = {
    "a6": ("A6, 105 x 148 mm", "A6, 105 x 148 mm", "0.010"),
    "a5": ("A5, 148 x 210 mm", "A5, 148 x 210 mm", "0.020"),
    "dl": ("DL, 99 x 210 mm", "DL, 99 x 210 mm", "0.015"),
}
STOCKS: Values = {
    "silk_130": ("Coated silk 130 g/m2", "Bilderdruck matt 130 g/m2", "0.008"),
    "silk_150": ("Coated silk 150 g/m2", "Bilderdruck matt 150 g/m2", "0.009"),
    "gloss_170": ("Coated gloss 170 g/m2", "Bilderdruck glänzend 170 g/m2", "0.011"),
    "silk_250": ("Coated silk 250 g/m2", "Bilderdruck matt 250 g/m2", "0.016"),
    "silk_350": ("Coated silk 350 g/m2", "Bilderdruck matt 350 g/m2", "0.022"),
}
FILMS: Values = {
    "none": ("No film", "Keine Folie", "0"),
    "gloss": ("Gloss film", "Glanzfolie", "0.050"),
}
# One of these has to be chosen: there is no default.
BOARDS: Values = {
    "white": ("White board", "Weißer Karton", "0.040"),
    "grey": ("Grey board", "Grauer Karton", "0.030"),
}
HEAVY = ("gloss_170", "silk_250", "silk_350")
PAGES = range(8, 65, 4)
MOST_WITH_FILM = 48

OPTIONS: Mapping[str, Mapping[str, tuple[str, str, Values | None, str | None]]] = {
    "flyer": {
        "size": ("Size", "Format", SIZES, "a6"),
        "stock": ("Paper", "Papier", STOCKS, "silk_130"),
        "film": ("Film", "Folie", FILMS, "none"),
    },
    "booklet": {
        "pages": ("Pages", "Seiten", None, "16"),
        "film": ("Film on the cover", "Folie auf dem Umschlag", FILMS, "none"),
    },
    "coaster": {"board": ("Board", "Karton", BOARDS, None)},
}
NAMES = {
    "flyer": ("Flyers", "Flyer", "Flat sheets, printed on both sides.", "Flache Blätter."),
    "booklet": ("Booklets", "Broschüren", "Stapled in the fold.", "Durch den Rücken geheftet."),
    "coaster": ("Coasters", "Bierdeckel", "Round, on thick board.", "Rund, auf dickem Karton."),
}


class Faulty(Exception):  # noqa: N818  (an answer, not a fault of the program)
    """What is wrong with a query, as the `errors` of a problem."""

    def __init__(self, *errors: tuple[str, str, str]) -> None:
        super().__init__()
        self.errors = [
            {"pointer": "#", "parameter": name, "code": code, "detail": detail}
            for name, code, detail in errors
        ]


@dataclass
class Trick:
    """Something that happens to requests whose address holds a text.

    times: how often, None for ever; delay_s: before the answer; status: of a problem instead of
    the answer, with `headers` and `body`; drop: the connection is cut without an answer
    """

    holds: str = ""
    times: int | None = None
    delay_s: float = 0
    status: int = 0
    headers: Mapping[str, str] = field(default_factory=dict)
    body: Mapping[str, Any] = field(default_factory=dict)
    drop: bool = False


class FakeService:
    """The stand-in on a free port of this machine. asked: every address that was asked for."""

    def __init__(self) -> None:
        self.tricks: list[Trick] = []
        self.asked: list[str] = []
        self._lock = threading.Lock()
        handler = type("Handler", (_Handler,), {"fake": self})
        self._server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        self._server.daemon_threads = True
        self.url = f"http://127.0.0.1:{self._server.server_address[1]}"
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.02,))
        self._thread.start()

    def stop(self) -> None:
        self._server.shutdown()
        self._thread.join()
        self._server.server_close()

    def reset(self) -> None:
        with self._lock:
            self.tricks = []
            self.asked = []

    def play(self, trick: Trick) -> Trick:
        with self._lock:
            self.tricks.append(trick)
        return trick

    def trick_for(self, address: str) -> Trick | None:
        """Note an address, and return what is to happen to it, if anything."""
        with self._lock:
            self.asked.append(address)
            for trick in self.tricks:
                if trick.holds in address and trick.times != 0:
                    if trick.times is not None:
                        trick.times -= 1
                    return trick
        return None


class _Handler(BaseHTTPRequestHandler):
    fake: FakeService

    def do_GET(self) -> None:
        trick = self.fake.trick_for(self.path)
        if trick is not None:
            time.sleep(trick.delay_s)
            if trick.drop:
                self.close_connection = True
                self.connection.shutdown(socket.SHUT_RDWR)
                return
            if trick.status:
                self._send(trick.status, trick.body, trick.headers)
                return
        try:
            self._send(200, answer(self.path))
        except Faulty as fault:
            self._send(422, {"status": 422, "errors": fault.errors})
        except KeyError:
            self._send(404, {"status": 404, "detail": "There is no such product."})

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing: the tests tell what they ask."""

    def _send(
        self, status: int, body: Mapping[str, Any], headers: Mapping[str, str] | None = None
    ) -> None:
        data = json.dumps(body).encode()
        kind = "application/json" if status < 400 else "application/problem+json"
        try:
            self.send_response(status)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(data)))
            self.send_header("Access-Control-Allow-Origin", "*")
            self.send_header("Access-Control-Expose-Headers", "ETag, Retry-After")
            self.send_header("Cache-Control", "no-store")
            for name, value in (headers or {}).items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(data)
        except (BrokenPipeError, ConnectionResetError):
            # The page gave up this question, as it should when a newer one is asked.
            self.close_connection = True


def answer(address: str) -> dict[str, Any]:
    """Return what is answered at an address. Raises Faulty, and KeyError for no product."""
    parts = urlsplit(address)
    query = dict(parse_qsl(parts.query))
    language = query.pop("language", "en")
    if language not in LANGUAGES:
        raise Faulty(("language", "unknown_language", f"There is {', '.join(LANGUAGES)}."))
    match parts.path.strip("/").split("/"):
        case ["products"]:
            return _range(language)
        case ["products", product]:
            query.pop("quantity", None)
            return _product(product, query, language)
        case ["products", product, "price"]:
            return _prices(product, query, language)
    raise KeyError(address)


def _told(texts: tuple[str, ...], language: str) -> str:
    return texts[LANGUAGES.index(language)]


def _range(language: str) -> dict[str, Any]:
    products = [
        {
            "id": name,
            "plant": "demo",
            "name": _told(NAMES[name], language),
            "about": _told(NAMES[name][2:], language),
        }
        for name in OPTIONS
    ]
    return {"products": products, "language": language, "languages": list(LANGUAGES)}


def _checked(product: str, chosen: Mapping[str, str], language: str) -> None:
    errors = []
    for name, value in chosen.items():
        if name not in OPTIONS[product]:
            known = ", ".join(OPTIONS[product])
            errors.append((name, "unknown_parameter", f"There is {known}."))
            continue
        values = OPTIONS[product][name][2]
        if values is None and not (value.isdigit() and int(value) in PAGES):
            errors.append((name, "out_of_range", "Expected 8 to 64 in steps of 4."))
        elif values is not None and value not in values:
            errors.append((name, "unknown_value", f"Expected one of {', '.join(values)}."))
    if not errors and chosen.get("film") == "gloss":
        if chosen.get("stock", "silk_350") not in HEAVY:
            errors += [(each, "options_conflict", BECAUSE[language]) for each in ("stock", "film")]
        if int(chosen.get("pages", 8)) > MOST_WITH_FILM:
            errors += [(each, "options_conflict", SHORT[language]) for each in ("pages", "film")]
    if errors:
        raise Faulty(*errors)


def _settled(product: str, chosen: Mapping[str, str]) -> dict[str, str | None]:
    settled: dict[str, str | None] = {
        name: chosen.get(name, default) for name, (*_, default) in OPTIONS[product].items()
    }
    if settled.get("film") == "gloss" and settled.get("stock", HEAVY[0]) not in HEAVY:
        settled["stock"] = HEAVY[0]
    return settled


def _barred(name: str, value: str, chosen: Mapping[str, str]) -> bool:
    if name == "stock":
        return chosen.get("film") == "gloss" and value not in HEAVY
    if name == "film" and value == "gloss":
        light = chosen.get("stock", HEAVY[0]) not in HEAVY
        return light or int(chosen.get("pages", 8)) > MOST_WITH_FILM
    return False


def _product(product: str, chosen: Mapping[str, str], language: str) -> dict[str, Any]:
    _checked(product, chosen, language)
    settled = _settled(product, chosen)
    options = []
    for name, (english, german, values, default) in OPTIONS[product].items():
        told = _told((english, german), language)
        option: dict[str, Any] = {"id": name, "name": told, "default": default}
        if values is None:
            film = chosen.get("film") == "gloss"
            number = chosen.get(name)
            option |= {"kind": "number", "unit": "{page}", "from": 8, "to": 64, "step": 4}
            option |= {"default": 16, "chosen": number and int(number)}
            option |= {"settled": int(settled[name] or 8), "legal_from": 8}
            option |= {"legal_to": MOST_WITH_FILM if film else 64}
            option |= {"because": SHORT[language] if film else None}
        else:
            option |= {"kind": "choice", "chosen": chosen.get(name), "settled": settled[name]}
            option["values"] = [
                {
                    "id": each,
                    "name": _told(texts, language),
                    "legal": not _barred(name, each, chosen),
                    "because": BECAUSE[language] if _barred(name, each, chosen) else None,
                }
                for each, texts in values.items()
            ]
        options.append(option)
    return {
        "id": product,
        "plant": PLANT,
        "name": _told(NAMES[product], language),
        "about": _told(NAMES[product][2:], language),
        "language": language,
        "languages": list(LANGUAGES),
        "options": options,
        "quantities": {"ladder": list(LADDER), "from": LADDER[0], "to": LADDER[-1]}
        | {"between": product != "coaster"},
    }


def _prices(product: str, query: Mapping[str, str], language: str) -> dict[str, Any]:
    chosen = {name: value for name, value in query.items() if name != "quantity"}
    _checked(product, chosen, language)
    settled = _settled(product, chosen)
    missing = [name for name, value in settled.items() if value is None]
    if missing:
        raise Faulty(*((name, "required", "Choose one.") for name in missing))
    asked = query.get("quantity")
    if asked is not None and not (asked.isdigit() and LADDER[0] <= int(asked) <= LADDER[-1]):
        raise Faulty(("quantity", "out_of_range", f"Expected {LADDER[0]} to {LADDER[-1]:,}."))
    quantities = LADDER if asked is None else (int(asked),)
    refused = settled.get("size") == "dl" and settled.get("film") == "gloss"
    told = {"message": "No press takes film of this size.", "remedy": "Choose A5, or no film."}
    return {
        "product": product,
        "name": _told(NAMES[product], language),
        "language": language,
        "plant": PLANT,
        "options": settled,
        "job_fingerprint": "made-up",
        "clock": {"as_of": AS_OF, "given": False, "time_zone": "Europe/Dublin"},
        "prices": [] if refused else [_row(product, settled, each) for each in quantities],
        "refusals": [told] if refused else [],
    }


def net_of(product: str, settled: Mapping[str, str | None], quantity: int) -> Decimal:
    """Return the made-up price: a basic charge, and so much a piece of each value."""
    each = Decimal("0.004")
    for name, value in settled.items():
        values = OPTIONS[product][name][2]
        assert value is not None
        each += Decimal(values[value][2]) if values else Decimal("0.012") * int(value)
    return (Decimal(20) + each * quantity).quantize(Decimal("0.01"))


def _row(product: str, settled: Mapping[str, str | None], quantity: int) -> dict[str, Any]:
    net = net_of(product, settled, quantity)
    larger = next((each for each in LADDER if each > quantity), None)
    step = None
    if larger is not None:
        more = net_of(product, settled, larger)
        step = {"quantity": larger, "net": f"{more}", "more": f"{more - net}"}
        step["per_piece"] = f"{more / larger:.6f}"
    token = f"made-up.{product}.{quantity}.{'.'.join(map(str, settled.values()))}"
    return {
        "quantity": quantity,
        "price": {
            "net": f"{net}",
            "per_piece": f"{net / quantity:.6f}",
            "per_1000": f"{1000 * net / quantity:.2f}",
            "run_on_per_1000": "10.00",
            "same_price_to": None,
            "cash": None,
            "currency": CURRENCY,
        },
        "ready_at": READY_AT,
        "next_step": step,
        "quote": {"token": token, "expires_at": HELD_UNTIL},
    }
