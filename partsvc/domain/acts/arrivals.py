"""What is noted beside the pieces when parts arrive: order line, job, batch, use-by day."""

from __future__ import annotations

from partsvc.domain.desk import Draft, PastAct
from partsvc.domain.effects_supply import ReceiptUndone, Received
from partsvc.domain.order_lines import LineFacts, LineKind, LineNow
from partsvc.errors import Invalid, NotFound


def came_for(draft: Draft, order: str | None, job: str | None) -> str:
    """The job that parts came for, by what was said or by their order line."""
    if order is None:
        return job or ""
    facts, _ = _line(draft, order)
    if job not in (None, facts.job):
        raise Invalid("This order line is another job's. Leave `job` out.", field="job")
    return facts.job


def arrived(
    draft: Draft,
    part: str,
    quantity: int,
    order: str | None,
    *,
    batch: str | None = None,
    use_by: str | None = None,
    job: str = "",
    reference: str | None = None,
) -> None:
    """Note what is to be known of a receipt; nothing when there is nothing beside the pieces."""
    came = ""
    if order is not None:
        facts, now = _line(draft, order)
        if facts.kind is not LineKind.PART:
            raise Invalid(
                "This order line is for a consumable, which is not booked: note it as delivered "
                "on its line.",
                field="order",
            )
        came = part if part != facts.what else ""
        if came:
            draft.warn(
                f"Ordered was {draft.words_for(facts.what)}; this is taken as coming instead."
            )
        if now.delivered + quantity > now.asked:
            draft.warn("More has come on this order line than was ordered; the line is marked.")
    if order or batch or use_by or job:
        draft.effect(
            Received(
                part=part,
                quantity=quantity,
                batch=batch or "",
                use_by=use_by or "",
                job=job,
                line=order or "",
                came=came,
                reference=reference or "",
            )
        )


def arrival_undone(draft: Draft, past: PastAct) -> None:
    """A receipt is undone: on its order line the pieces have not come after all."""
    for item in draft.desk.happened:
        came = item.effect
        if item.act == past.key and isinstance(came, Received) and came.line:
            draft.effect(ReceiptUndone(line=came.line, part=came.part, quantity=came.quantity))


def _line(draft: Draft, order: str) -> tuple[LineFacts, LineNow]:
    found = draft.desk.lines.get(order)
    if found is None:
        raise NotFound(
            f"There is no order line {order}. Leave `order` out to receive it without one.",
            order=order,
        )
    return found
