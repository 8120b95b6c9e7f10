"""What all papers of a job share: its facts, its cautions, its footer."""

from __future__ import annotations

from labels.paper import Caution, Danger
from partsvc.domain.cautions import DEFER, USUAL
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.plan import Hazard


def facts(job: JobFacts) -> tuple[tuple[str, str], ...]:
    """The facts at the head of a paper, those first that must be on every page."""
    procedure = f"{job.procedure}, revision {job.revision}" if job.procedure else "none"
    pairs = (
        ("Job", f"{job.number}: {job.title}"),
        ("Vehicle", " ".join(filter(None, (job.model, job.vin))) or "not recorded"),
        ("State", job.state),
        ("Procedure", procedure),
        ("Takes over", f"job {job.takes_over}" if job.takes_over else ""),
        ("Needed by", job.needed_by),
        ("As of act", f"{job.head_seq}, head {job.head[:16]}"),
    )
    return tuple((label, value) for label, value in pairs if value)


def footer(job: JobFacts) -> str:
    """The words at the foot of every page."""
    return f"Job {job.number} · as of act {job.head_seq} · head {job.head[:16]}"


def stop(words: str) -> tuple[Caution, ...]:
    """That the job stands still, before anything else on the paper; nothing while it does not."""
    return (Caution(words, Danger.HIGH_VOLTAGE),) if words else ()


def cautions(words: tuple[str, ...]) -> tuple[Caution, ...]:
    """The cautions in two boxes: high voltage under its own sign, and all the others."""
    high_voltage = USUAL[Hazard.HIGH_VOLTAGE]
    others = [text for text in words if text not in (high_voltage, DEFER)]
    boxes = [Caution(high_voltage, Danger.HIGH_VOLTAGE)] if high_voltage in words else []
    return (*boxes, Caution("\n".join((*others, DEFER))))
