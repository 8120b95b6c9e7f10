"""A job opened from the first page by whoever has the vehicle before them: two fields, no more."""

from __future__ import annotations

from flask import request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.pages.lead.forms import Form, done
from partsvc.pages.lead.to_choose import procedures_to_choose
from partsvc.pages.lead.who import HANDS
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import sender, service
from partsvc.work import clock
from partsvc.work.job_at_the_desk import open_at_the_desk
from partsvc.work.jobs import NewJob
from partsvc.work.vehicles import VehicleGiven

room = PageRoom("opening", __name__)


@room.page("/open", roles=HANDS, methods=("GET", "POST"))
def open_here() -> AnyResponse:
    """What is to be done, and by which procedure; the vehicle's number where it is known."""
    form = Form(now={"once": clock.new_key()})
    if form.sent:
        with form.judged():
            vehicle = form.read(VehicleGiven)
            opened = open_at_the_desk(
                service(),
                sender(),
                form.read(NewJob),
                key=request.form.get("once", ""),
                vehicle=vehicle if vehicle != VehicleGiven() else None,
            )
            return done(f"/bench/{opened.job}")
    plans = procedures_to_choose()
    return shown("lead_open_here.html", form=form, procedures=plans, status=form.status)
