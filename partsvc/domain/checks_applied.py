"""What a step asked to be applied and nobody ticked, though the step is together again."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.applications import left_out
from partsvc.domain.checks_position import Explained
from partsvc.domain.desk import Desk
from partsvc.domain.findings import Finding


def not_applied(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Sealant, threadlock or fluid of the refit that nobody says was applied."""
    for step, number, one in left_out(desk):
        amount = f" ({one.amount} {one.unit})".replace(" )", ")") if one.amount else ""
        yield Finding(
            kind="not-applied",
            place=step.id,
            words=f"Step {step.number}: {one.what}{amount} not ticked as applied. Look; if it is "
            "there, tick it; if not, take apart and apply it.",
            step=step.id,
            step_number=step.number,
            lot=f"application-{number}",
        )
