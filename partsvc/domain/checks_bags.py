"""What is not in order with the bags themselves: a tag lost, and nobody sure which bag it was."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.checks_position import Explained
from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.findings import Finding
from partsvc.domain.lost_tags import doubts


def tags_in_doubt(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Bags whose tag was lost and of which nobody is sure which they are: for quality."""
    for happened, said in doubts(desk):
        perhaps = f" It may be bag {shown_bag(said.perhaps)}." if said.perhaps else ""
        yield Finding(
            kind="tag-doubt",
            place=f"bag:{said.tag}",
            words=(
                f"Bag {shown_bag(said.tag)} had lost its tag: {said.words} Counted in it: "
                f"{said.counted or 'nothing'}.{perhaps} Look at the open bags, and retag the "
                "right one into this tag."
            ),
            bag=said.tag,
            lot=happened.act,
        )
