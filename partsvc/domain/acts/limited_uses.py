"""Whether pieces of limited use may be used once more: known to have a use left, or asked about.

A piece whose uses the last job handed on needs no look. One nobody knows of is never taken to be
unused: somebody counts the marks on its head.
"""

from __future__ import annotations

from collections.abc import Iterable

from partsvc.domain.desk import Draft
from partsvc.domain.ledger import Holding
from partsvc.domain.places import Condition
from partsvc.domain.plan import Position, StackItem
from partsvc.domain.use_counts import Uses, use_counts, used_up, uses_words


def may_be_used_again(
    draft: Draft, position: Position, item: StackItem, drawn: Iterable[Holding]
) -> None:
    """Object when one of these has no use left, or when nobody knows; fit takes the least used."""
    counts = use_counts(draft.desk, draft.posted())
    asked: list[tuple[str, Uses]] = []
    for held in drawn:
        if held.spot.condition is not Condition.DAMAGED:
            pieces = counts.pieces(held.part, held.spot)[: held.quantity]
            asked += [(held.part, one) for one in pieces if not one.counted]
    spent = [one for one in asked if used_up(one[1], item)]
    unknown = [part for part, one in asked if one.times is None]
    if spent:
        part = spent[0][0]
        draft.objection(
            "used-up",
            f"{draft.words_for(part)} at {position.where}: "
            f"{uses_words((one for _, one in spent), item)}. Fit a new one; discard this.",
        )
    elif unknown:
        draft.objection(
            "not-inspected",
            f"{draft.words_for(unknown[0])} at {position.where} may be used {item.max_uses or 1} "
            "times at most, and how often these were is not known. Inspect them: count the marks; "
            "or fit new ones.",
        )
