"""What holds are judged by: equipment with its check dates, ends of shifts, working alone."""

from __future__ import annotations

from flask import Response, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.plan import Equipment
from partsvc.pages.lead.forms import Form, Values, done
from partsvc.pages.lead.terms import as_they_stand
from partsvc.pages.lead.who import LEAD
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import sender, service
from partsvc.work import equipment, people, shifts, working_alone
from partsvc.work.equipment import EquipmentGiven, EquipmentShown, EquipmentWanted
from partsvc.work.people import PeopleWanted
from partsvc.work.shifts import ShiftsGiven
from partsvc.work.working_alone import AlonePermit, AlonePermitShown

room = PageRoom("lead-equipment", __name__)


@room.page("/lead/equipment", roles=LEAD)
def all_equipment() -> Response:
    """The equipment with its check dates, the ends of shifts, the permit to work alone."""
    return _page()


@room.page("/lead/equipment/new", roles=LEAD, methods=("GET", "POST"))
def new_equipment() -> AnyResponse:
    """List an instrument, a pair of gloves or a lift."""
    form = Form(now={"kind": Equipment.INSTRUMENT})
    if form.sent:
        with form.judged():
            given = form.read(EquipmentGiven)
            with service().database.writing() as db:
                equipment.add(service(), db, given)
            return done("/lead/equipment")
    return _one_page(form, None)


@room.page("/lead/equipment/of/<path:number>", roles=LEAD, methods=("GET", "POST"))
def one_equipment(number: str) -> AnyResponse:
    """Write the date of a new check down."""
    with service().database.reading() as db:
        found = equipment.item(service(), db, number)
    form = Form(now=_typed(found))
    if form.sent:
        with form.judged():
            given = form.read(EquipmentGiven, number=number)
            with service().database.writing() as db:
                again = equipment.item(service(), db, number)
                form.same(_typed(again))
                equipment.put(service(), db, again, given)
            return done("/lead/equipment")
    return _one_page(form, found)


@room.page("/lead/shifts", roles=LEAD, methods=("POST",))
def put_shifts() -> AnyResponse:
    """Say when the shifts end."""
    form = Form()
    with form.judged():
        given = form.read(ShiftsGiven)
        with service().database.writing() as db:
            form.same({"ends": shifts.shifts(service(), db).ends})
            shifts.put(service(), db, given)
        return done("/lead/equipment")
    return _page(shift_form=form)


@room.page("/lead/working-alone", roles=LEAD, methods=("POST",))
def put_alone() -> AnyResponse:
    """Permit working alone, or no longer, and say why."""
    form = Form()
    with form.judged():
        given = form.read(AlonePermit)
        with service().database.writing() as db:
            found = working_alone.permit(service(), db)
            form.same(_permit(found))
            working_alone.put(service(), db, sender(), found, given)
        return done("/lead/equipment")
    return _page(alone_form=form)


def _typed(found: EquipmentShown) -> Values:
    return {
        "number": found.number,
        "kind": found.kind,
        "words": found.words,
        "good_until": found.good_until,
    }


def _permit(found: AlonePermitShown) -> Values:
    return {"permitted": "yes" if found.permitted else "no", "version": str(found.version)}


def _one_page(form: Form, found: EquipmentShown | None) -> Response:
    return shown(
        "lead_equipment_one.html",
        form=form,
        one=found,
        kinds=as_they_stand(Equipment),
        status=form.status,
    )


def _page(*, shift_form: Form | None = None, alone_form: Form | None = None) -> Response:
    after = request.args.get("after", "")
    listed = equipment.page(service(), EquipmentWanted(after=after or None, limit=100)).equipment
    with service().database.reading() as db:
        ends, alone = shifts.shifts(service(), db), working_alone.permit(service(), db)
    everybody = people.page(service(), PeopleWanted(limit=200)).people
    forms = [one for one in (shift_form, alone_form) if one]
    return shown(
        "lead_equipment.html",
        equipment=[(one, equipment.check_state(service(), one)) for one in listed],
        more=listed[-1].number if len(listed) == 100 else "",
        shift_form=shift_form or Form(now={"ends": ends.ends}, sent=False),
        zone=ends.zone,
        alone=alone,
        alone_form=alone_form or Form(now=_permit(alone), sent=False),
        names={one.id: one.name for one in everybody},
        status=forms[0].status if forms else 200,
    )
