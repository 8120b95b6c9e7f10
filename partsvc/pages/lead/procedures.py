"""Procedures: listed, read by people, compared revision by revision, given out as files."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby

from flask import Response, request

from partsvc.domain.cautions import hold_cautions, plan_cautions, step_cautions
from partsvc.domain.parts import RULE_WORDS
from partsvc.domain.plan import Step
from partsvc.domain.plan_compare import compare_plans
from partsvc.pages.lead.parts import given_out
from partsvc.pages.lead.terms import MEMBER_WORDS, PHASE_WORDS, RECORD_WORDS
from partsvc.pages.lead.who import LEAD
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work import catalogue, procedures
from partsvc.work.files import Kind
from partsvc.work.procedures import ByKey, RevisionShown

room = PageRoom("lead-procedures", __name__)

ON_A_PAGE = 100


@room.page("/lead/procedures", roles=LEAD)
def all_procedures() -> Response:
    """The procedures, each in its newest revision."""
    after = request.args.get("after", "")
    found = procedures.page(service(), ByKey(after=after or None, limit=ON_A_PAGE)).procedures
    more = found[-1].procedure if len(found) == ON_A_PAGE else ""
    return shown("lead_procedures.html", procedures=found, more=more)


@room.page("/lead/procedures/<key>", roles=LEAD)
def one_procedure(key: str) -> Response:
    """A procedure as a person reads it, step by step."""
    found = _revision(key, "revision")
    plan = found.plan
    return shown(
        "lead_procedure.html",
        one=found,
        plan=plan,
        zones=[(zone, list(steps)) for zone, steps in groupby(plan.steps, key=_zone)],
        called=_called(found),
        revisions=procedures.revisions_of(service(), key),
        cautions=plan_cautions(plan),
        step_cautions=step_cautions,
        hold_cautions=hold_cautions,
        rules=RULE_WORDS,
        phase_words=PHASE_WORDS,
        record_words=RECORD_WORDS,
    )


@room.page("/lead/procedures/<key>/compare", roles=LEAD)
def compare(key: str) -> Response:
    """What became otherwise from one revision to another."""
    after, before = _revision(key, "to"), _revision(key, "from")
    return shown(
        "lead_compare.html",
        key=key,
        before=before,
        after=after,
        found=compare_plans(before.plan, after.plan),
        member_words=MEMBER_WORDS,
        revisions=procedures.revisions_of(service(), key),
    )


@room.page("/lead/procedures/<key>/export", roles=LEAD)
def export(key: str) -> Response:
    """A procedure as a file that can be taken in again."""
    number = _number("revision")
    name = f"{key}-{number}" if number else key
    return given_out(Kind.PROCEDURE, key, name.replace(":", "-"), revision=number)


def _revision(key: str, asked: str) -> RevisionShown:
    return procedures.revision(service(), key, _number(asked))


def _number(asked: str) -> int | None:
    text = request.args.get(asked, "")
    return int(text) if text.isdecimal() and len(text) < 7 else None


def _zone(step: Step) -> str:
    return step.zone


def _called(found: RevisionShown) -> Mapping[str, str]:
    """What each part of the plan is called."""
    numbers = {item.part for _, position in found.plan.each_position() for item in position.stack}
    return catalogue.names_of(service(), numbers)
