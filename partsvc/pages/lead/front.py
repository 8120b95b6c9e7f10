"""The lead's first page: what there is to settle, and what of it wants an eye today."""

from __future__ import annotations

from flask import Response

from partsvc.pages.lead.who import LEAD
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work import equipment
from partsvc.work.equipment import CheckState, EquipmentWanted
from partsvc.work.safety_copies import copies
from partsvc.work.service_standing import service_standing

room = PageRoom("lead", __name__)


@room.page("/lead", roles=LEAD)
def lead() -> Response:
    """Everything the lead settles, and what is due."""
    listed = equipment.page(service(), EquipmentWanted(limit=200)).equipment
    past = [one for one in listed if equipment.check_state(service(), one) is CheckState.PAST]
    return shown(
        "lead.html",
        standing=service_standing(service()),
        copies=copies(service()),
        past=past,
    )
