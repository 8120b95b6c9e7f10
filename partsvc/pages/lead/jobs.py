"""The lead's jobs: opened with vehicle and tags, renamed, given another day, kept as a plan."""

from __future__ import annotations

from urllib.parse import urlencode

from flask import Response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.records import Plain
from partsvc.pages.lead.forms import Form, Values, done
from partsvc.pages.lead.to_choose import (
    A_NEW_ONE,
    incomplete_to_choose,
    printers_to_choose,
    procedures_to_choose,
    vehicles_to_choose,
)
from partsvc.pages.lead.who import LEAD
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import sender, service
from partsvc.work import clock, jobs, tagging
from partsvc.work.job_at_the_desk import TagsWanted, make_tags, open_at_the_desk
from partsvc.work.jobs import NEWEST, JobChange, JobStanding, JobState, JobsWanted, NewJob
from partsvc.work.saving_procedures import SaveAs, save_as_procedure
from partsvc.work.vehicles import VehicleGiven

room = PageRoom("lead-jobs", __name__)

ON_A_PAGE = 50


@room.page("/lead/jobs", roles=LEAD)
def all_jobs() -> Response:
    """The jobs, newest first, of one state or all."""
    state = request.args.get("state", "")
    before = request.args.get("before", "")
    wanted = JobsWanted(
        state=JobState(state) if state in set(JobState) else None,
        cursor=int(before) if before.isdecimal() and len(before) < 16 else NEWEST,
        limit=ON_A_PAGE,
    )
    found = jobs.page(service(), wanted).jobs
    more = found[-1].number if len(found) == ON_A_PAGE else 0
    return shown("lead_jobs.html", jobs=found, state=state, states=list(JobState), more=more)


@room.page("/lead/jobs/new", roles=LEAD, methods=("GET", "POST"))
def new_job() -> AnyResponse:
    """Open a job: vehicle, procedure, day, tags."""
    once = clock.new_key()
    form = Form(now={"once": once, "each_position": "yes", "blank": "0", **_asked_for()})
    if form.sent:
        with form.judged():
            return _opened(form)
    return shown(
        "lead_job_new.html",
        form=form,
        vehicles=vehicles_to_choose(),
        procedures=procedures_to_choose(),
        incomplete=incomplete_to_choose(),
        printers=printers_to_choose(),
        status=form.status,
    )


def _asked_for() -> Values:
    """What another page has filled in already."""
    return {name: request.args.get(name, "") for name in ("procedure", "vehicle", "takes_over")}


def _opened(form: Form) -> AnyResponse:
    described = form.value("vehicle") == A_NEW_ONE
    wanted = form.read(NewJob, **_no_vehicle(described))
    opened = open_at_the_desk(
        service(),
        sender(),
        wanted,
        key=form.value("once"),
        vehicle=form.read(VehicleGiven) if described else None,
        tags=form.read(TagsWanted),
    )
    blank = {"blank": ",".join(opened.blank)} if opened.blank else {}
    return done(f"/lead/jobs/{opened.job}?{urlencode({'opened': '1', **blank})}")


def _no_vehicle(described: bool) -> dict[str, Plain]:
    return {"vehicle": None} if described else {}


@room.page("/lead/jobs/<job>", roles=LEAD, methods=("GET", "POST"))
def one_job(job: str) -> AnyResponse:
    """A job: its title and day, its tags, what it can be kept as."""
    found = jobs.standing(service(), job)
    form = Form(now=_typed(found))
    if form.sent:
        with form.judged():
            change = form.read(JobChange)
            if not form.value("title").strip():
                form.fault_at("title", "is missing")
            else:
                with service().database.writing() as db:
                    again = jobs.standing(service(), job)
                    form.same(_typed(again))
                    jobs.change(service(), db, again, change)
                return done(f"/lead/jobs/{job}")
    return _job_page(found, form)


def _typed(found: JobStanding) -> Values:
    return {"title": found.title, "needed_by": found.needed_by}


def _job_page(
    found: JobStanding,
    form: Form | None = None,
    *,
    saving: Form | None = None,
    tagging_form: Form | None = None,
) -> Response:
    key = found.procedure or f"job-{found.number}"
    sent = [one for one in (form, saving, tagging_form) if one]
    return shown(
        "lead_job.html",
        one=found,
        form=form or Form(now=_typed(found), sent=False),
        saving=saving or Form(now={"key": key, "title": found.title}, sent=False),
        tagging_form=tagging_form or Form(now={"blank": "0"}, sent=False),
        tags=tagging.tags_of_job(service(), found.id).tags,
        blank=request.args.get("blank", ""),
        opened=bool(request.args.get("opened")),
        printers=printers_to_choose(),
        status=sent[0].status if sent else 200,
    )


@room.page("/lead/jobs/<job>/tags", roles=LEAD, methods=("POST",))
def tags_of_job(job: str) -> AnyResponse:
    """Mint the tags of a job, and print them where that is said."""
    form = Form()
    with form.judged():
        wanted = form.read(TagsWanted)
        with service().database.writing() as db:
            blank = make_tags(service(), db, sender(), job, wanted)
        more = f"?{urlencode({'blank': ','.join(blank)})}" if blank else ""
        return done(f"/lead/jobs/{job}{more}")
    return _job_page(jobs.standing(service(), job), tagging_form=form)


@room.page("/lead/jobs/<job>/procedure", roles=LEAD, methods=("POST",))
def save_as(job: str) -> AnyResponse:
    """Keep what was learnt on a job as the procedure of the next."""
    found = jobs.standing(service(), job)
    saving = Form()
    with saving.judged():
        given = saving.read(SaveAs)
        saved = save_as_procedure(service(), sender(), job, given.key, given.title)
        return redirect(f"/lead/procedures/{saved.procedure}?kept=1", 303)
    return _job_page(found, saving=saving)
