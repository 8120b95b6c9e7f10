"""The refit checklist on paper: for a bay without a screen, and to sign."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from labels.draw_paper import paper_pdf
from labels.paper import (
    Block,
    Caution,
    Cell,
    Column,
    Danger,
    Heading,
    KeepTogether,
    Marked,
    Paper,
    Paragraph,
    Picture,
    Pictures,
    Signature,
    Table,
    Tick,
)
from labels.shapes import Shape
from partsvc.domain.cautions import USUAL
from partsvc.domain.hold_lines import HoldLine
from partsvc.domain.plan import Hazard
from partsvc.domain.refit_list import RefitList, RefitPosition, RefitStep
from partsvc.domain.strip_list import PartLine
from partsvc.work.papers.common import cautions, facts, footer, stop
from partsvc.work.papers.reconciliation import of_vehicle
from partsvc.work.papers.step_pictures import step_pictures
from partsvc.work.refit_list import refit_list
from partsvc.work.service import Service

_COLUMNS = (
    Column("", width_mm=9),
    Column("Where", share=1.15),
    Column("What, in stack order", share=1.6),
    Column("From", share=0.9),
    Column("How", share=1.25),
)
# Steps with up to so many lines are kept on one page.
_SHORT = 3
# More look-alikes than these are told on the screen; on paper they would bury the rest.
_LOOK_ALIKES = 3


def refit_pdf(service: Service, job: str) -> bytes:
    """The refit checklist of a job as a PDF."""
    checklist = refit_list(service, job)
    return paper_pdf(refit_paper(checklist, step_pictures(service, checklist)))


def refit_paper(
    checklist: RefitList, pictures: Mapping[str, tuple[Picture, ...]] = MappingProxyType({})
) -> Paper:
    """What the refit checklist says; `pictures` are the photos of how each step was before."""
    blocks: list[Block] = [*stop(checklist.stopped), *cautions(checklist.cautions)]
    blocks.append(
        Paragraph(
            f"{checklist.pieces_to_fit} pieces to fit, {checklist.pieces_loose} loose, "
            f"{checklist.temporaries_on} temporary items on the vehicle, "
            f"{checklist.holds_open} hold points open."
        )
    )
    blocks += [Paragraph(words) for words in _sources(checklist)]
    blocks += [Paragraph(words) for words in checklist.custody]
    blocks += _over_all(checklist)
    for step in checklist.steps:
        blocks.extend(_step(step, pictures.get(step.id, ())))
    if checklist.not_on_this_vehicle:
        blocks.append(Heading("Not on this vehicle", 2))
        blocks.append(of_vehicle(checklist.not_on_this_vehicle))
    blocks.append(Signature(("Refitted by, date", "Checked by another person, date")))
    return Paper(
        title="Refit checklist",
        facts=facts(checklist.job),
        blocks=tuple(blocks),
        footer=footer(checklist.job),
    )


def _sources(checklist: RefitList) -> list[str]:
    """Whose torques these are: said once, for all."""
    named = {
        stage.source
        for step in checklist.steps
        for line in step.positions
        for stage in line.stages
        if stage.source and (stage.torque_nm or stage.angle_deg)
    }
    return [f"Torques and angles as stated by: {'; '.join(sorted(named))}."] if named else []


def _step(step: RefitStep, pictures: tuple[Picture, ...]) -> list[Block]:
    zone = f" · {step.zone}" if step.zone else ""
    head: list[Block] = [Heading(f"{step.order}. Step {step.number}: {step.title}{zone}", 2)]
    usual = set(USUAL.values())
    own = [text for text in step.cautions if text not in usual]
    hazards = f"Hazards: {', '.join(map(_hazard_words, step.hazards))}." if step.hazards else ""
    if own:
        head.append(Caution("\n".join(filter(None, (*own, hazards))), Danger.CAUTION))
    elif hazards:
        head.append(Paragraph(hazards))
    if step.not_done_because:
        head.append(Paragraph(f"NOT DONE: {step.not_done_because}"))
    head += [Pictures(pictures)] if pictures else []
    rows = [*_ticks(step), *map(_position, step.positions)]
    if not rows:
        return [KeepTogether(tuple(head))]
    table = Table(_COLUMNS, tuple(rows))
    return [KeepTogether((*head, table))] if len(rows) <= _SHORT else [*head, table]


def _hazard_words(hazard: str) -> str:
    return Hazard(hazard).value.replace("-", " ")


def _ticks(step: RefitStep) -> list[tuple[Cell, ...]]:
    """Holds, temporary items and amounts, each a line to tick."""
    rows: list[tuple[Cell, ...]] = []
    rows += [_hold(hold, done=step.finished) for hold in step.holds]
    for item in step.take_off:
        on = item.on_vehicle
        state = f"{on} on the vehicle" if on else "off"
        due = f"off before {item.off_before}" if item.off_before else "take off"
        rows.append((_box(not on), "temporary item", item.words, state, due if on else ""))
    for one in step.applications:
        amount = f"{one.amount} {one.unit}".strip()
        rows.append((_box(one.applied), "apply or fill", one.what, amount, ""))
    if step.needs_tick:
        rows.append((_box(step.ticked), "this step", step.title, "", ", ".join(step.readings)))
    return rows


def _hold(hold: HoldLine, *, done: bool) -> tuple[Cell, ...]:
    """A hold point to tick; one that stands no longer is ticked anew while work is left to do."""
    asks = [*hold.asks, *(["second person"] if hold.witness else [])]
    asks += ["each person for themselves"] if hold.per_person else []
    asks += ["all beneath back and seen"] if hold.close_up else []
    asks += [hold.waits] if hold.waits else []
    asks += ["high voltage: see the cautions above"] if hold.cautions else []
    state = f"lapsed: {hold.lapsed}" if hold.lapsed and not done else ""
    what = Marked(Shape.DIAMOND, f"HOLD: {hold.title}")
    return (_box(hold.passed and not state), "hold point", what, state, ", ".join(asks))


def _over_all(checklist: RefitList) -> list[Block]:
    """The holds that have to stand all the way back."""
    if not checklist.over_all:
        return []
    done = all(step.finished for step in checklist.steps)
    rows = tuple(_hold(hold, done=done) for hold in checklist.over_all)
    return [KeepTogether((Heading("To stand as long as you work", 2), Table(_COLUMNS, rows)))]


def _box(done: bool) -> Cell:
    return Marked(Shape.TICK, "") if done else Tick()


def _position(line: RefitPosition) -> tuple[Cell, ...]:
    sets = f"{line.sets} × " if line.sets > 1 else ""
    stack = "\n".join(f"{sets}{_part_words(part)}" for part in line.stack)
    where = "\n".join((_place(line), *map(_rest_words, line.rests)))
    return (_box(line.tick), where, stack, _from(line), _how(line))


def _place(line: RefitPosition) -> str:
    """Where it is, with what is otherwise there than on other vehicles."""
    counted = "COUNT NOT SAID YET" if line.count_as_found else ""
    repaired = f"REPAIRED: {line.repaired}" if line.repaired else ""
    return "\n".join(filter(None, (line.where, line.carried, line.on_arrival, counted, repaired)))


def _rest_words(words: str) -> str:
    return f"BROKEN: {words}"


def _part_words(part: PartLine) -> str:
    count = f"{part.per_set} " if part.per_set > 1 else ""
    others = [words.partition(":")[0] for words in part.looks_like[:_LOOK_ALIKES]]
    more = " and others" if len(part.looks_like) > _LOOK_ALIKES else ""
    alike = f"\nLOOKS LIKE {'; '.join(others)}{more}" if others else ""
    uses = f"\n{part.uses}" if part.uses else ""
    also = "".join(f"\n{words}" for words in part.accepts)
    return f"{count}{part.called}{also}\n{part.rule_words}{uses}{alike}"


def _from(line: RefitPosition) -> str:
    if line.tick:
        return "in place, secured"
    several = len({one.part for one in line.sources}) > 1
    words = [
        (f"{one.part}: " if several and not one.instead_of else "")
        + f"{one.quantity} {one.condition} from {one.place}"
        + (f" ({one.stowed_at})" if one.stowed_at else "")
        + (f": {one.part} for {one.instead_of}" if one.instead_of else "")
        for one in line.sources
    ]
    words += [f"{line.loose} in place, loose"] if line.loose else []
    words += [f"{line.not_there} NOT THERE: ask the parts desk"] if line.not_there else []
    return "\n".join(words)


def _how(line: RefitPosition) -> str:
    words = []
    for stage in line.stages:
        figures = [f"{stage.torque_nm} N·m"] if stage.torque_nm else []
        figures += [f"+ {stage.angle_deg}°"] if stage.angle_deg else []
        words.append(f"{stage.words} {' '.join(figures)}".strip())
    words += [line.pattern] if line.pattern else []
    words += ["write down: tool and setting"] if line.record == "setting" else []
    words += ["write down: readings"] if line.record == "values" else []
    words += ["second look by another person"] if line.critical else []
    return "\n".join(words)
