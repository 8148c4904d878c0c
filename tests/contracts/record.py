"""Records anew what the service answers, for clients that are written for it from now on.

    python tests/contracts/record.py

Run it when something was added, so that from then on it cannot be lost. Where something recorded
before would be lost, it is told, and nothing is written: a member, a word or a path that a client
may use goes only after it was deprecated, and then with --accept-losses.

Of each list in an answer one item of each shape is kept. Of the OpenAPI document what it promises
is kept, in promises.json; its own answer is kept without paths and components.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).parents[1])]

from contracts.compatibility import (  # noqa: E402  (found only now)
    broken_promises,
    lost_in_answer,
    promises,
    thinned,
)
from contracts.recorded import FOLDER, PROMISES, Asked, service, to_record  # noqa: E402


def losses() -> list[str]:
    """Return what was recorded and is no more."""
    lost = []
    for file in sorted(FOLDER.glob("*.json")):
        told = json.loads(file.read_bytes())
        asked = Asked(file.stem, **told["request"])
        try:
            today = kept_of(asked, asked.send(service()))
        except AssertionError as refused:
            lost.append(f"{file.stem}: the request is not answered as it was: {refused}")
            continue
        lost += [f"{file.stem}: {each}" for each in lost_in_answer(told["answer"], today)]
    if PROMISES.exists():
        lost += broken_promises(json.loads(PROMISES.read_bytes()), promises(document()))
    return lost


def document() -> dict[str, Any]:
    """Return the OpenAPI document as it is served."""
    served: dict[str, Any] = service().get("/openapi.json").get_json()
    return served


def kept_of(asked: Asked, answer: Any) -> Any:
    """Return what is recorded of an answer."""
    if asked.path == "/openapi.json":
        answer = {name: answer[name] for name in answer if name not in ("paths", "components")}
    return thinned(answer)


def main() -> int:
    """Record, and return the exit status: 1 where something would be lost."""
    lost = losses()
    if lost and "--accept-losses" not in sys.argv:
        print(*lost, "Nothing is recorded.", sep="\n")
        return 1
    FOLDER.mkdir(exist_ok=True)
    for file in FOLDER.glob("*.json"):
        file.unlink()
    for asked in to_record():
        request = {name: value for name, value in vars(asked).items() if name != "name"}
        told = {"request": request, "answer": kept_of(asked, asked.send(service()))}
        _write(FOLDER / f"{asked.name}.json", told)
    _write(PROMISES, promises(document()))
    return 0


def _write(file: Path, told: Any) -> None:
    file.write_text(json.dumps(told, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    raise SystemExit(main())
