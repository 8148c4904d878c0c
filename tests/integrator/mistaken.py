"""What a type checker has to find: a member that is not there, and a price taken for a number."""

from __future__ import annotations

from sidelay.client import Client

with Client() as sidelay:
    answer = sidelay.estimate({})
    print(answer["prices"])
    print(answer["estimates"][0]["price"]["net"] * 1.2)
    print(answer["findings"][0]["severity"] == "fatal")
