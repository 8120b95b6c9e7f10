"""Vehicles: listed, added, changed, and what stays on each one's record."""

from __future__ import annotations

from flask import Response, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.pages.lead.forms import Form, Values, done
from partsvc.pages.lead.who import LEAD
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work import vehicles
from partsvc.work.vehicle_records import vehicle_record
from partsvc.work.vehicles import VehicleGiven, VehicleShown, VehiclesWanted

room = PageRoom("lead-vehicles", __name__)

ON_A_PAGE = 100


@room.page("/lead/vehicles", roles=LEAD)
def all_vehicles() -> Response:
    """The vehicles."""
    after = request.args.get("after", "")
    wanted = VehiclesWanted(after=after or None, limit=ON_A_PAGE)
    found = vehicles.page(service(), wanted).vehicles
    more = found[-1].id if len(found) == ON_A_PAGE else ""
    return shown("lead_vehicles.html", vehicles=found, more=more)


@room.page("/lead/vehicles/new", roles=LEAD, methods=("GET", "POST"))
def new_vehicle() -> AnyResponse:
    """Add a vehicle."""
    form = Form()
    if form.sent:
        with form.judged():
            given = form.read(VehicleGiven)
            with service().database.writing() as db:
                made = vehicles.add(service(), db, given)
            return done(f"/lead/vehicles/{made.id}")
    return shown("lead_vehicle_new.html", form=form, status=form.status)


@room.page("/lead/vehicles/<vehicle>", roles=LEAD, methods=("GET", "POST"))
def one_vehicle(vehicle: str) -> AnyResponse:
    """A vehicle, with what looks odd about its number, and its record."""
    with service().database.reading() as db:
        found = vehicles.vehicle(service(), db, vehicle)
    form = Form(now=_typed(found))
    if form.sent:
        with form.judged():
            given = form.read(VehicleGiven)
            with service().database.writing() as db:
                again = vehicles.vehicle(service(), db, vehicle)
                form.same(_typed(again))
                vehicles.put(service(), db, again, given)
            return done(f"/lead/vehicles/{vehicle}")
    return shown(
        "lead_vehicle.html",
        one=found,
        form=form,
        record=vehicle_record(service(), vehicle),
        status=form.status,
    )


def _typed(found: VehicleShown) -> Values:
    return {"vin": found.vin, "model": found.model, "plate": found.plate, "owner": found.owner}
