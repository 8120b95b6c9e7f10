"""One run of the demonstration for all tests that look at it.

The folder already holds what an earlier run left, and a file of somebody else's.
"""

from __future__ import annotations

import pytest
from played_demo import Played

from seed.play import demo
from seed.play.loopback import fresh_folder


@pytest.fixture(scope="session")
def played(tmp_path_factory: pytest.TempPathFactory) -> Played:
    out = tmp_path_factory.mktemp("demo")
    data = out / "data"
    fresh_folder(data)
    (data / "left-by-the-last-run").write_text("old", "utf-8")
    (out / "ledger.jsonl").write_text("old", "utf-8")
    (out / "somebody-elses.txt").write_text("mine", "utf-8")
    said: list[str] = []

    demo(out, data, said.append)

    return Played(out, data, tuple(said))
