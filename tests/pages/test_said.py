"""What a script has to show of the service's words is asked for in the reader's language."""

from __future__ import annotations

from http_bench import HttpBench
from test_doors import shop, signed_in

__all__ = ["shop"]


def test_a_refusal_is_told_in_the_readers_language(shop: HttpBench) -> None:
    browser = signed_in(shop)
    asked = {
        "text": [
            "This tag was voided. Put a blank tag on the bag.",
            "Nobody wrote this <b>down</b>.",
        ]
    }

    english = browser.get("/said", query_string=asked).json
    browser.post("/me", data={"language": "de"})
    german = browser.get("/said", query_string=asked).json

    assert english == asked["text"]
    assert german[0].startswith("Dieser Anhänger")
    assert german[1] == asked["text"][1]
