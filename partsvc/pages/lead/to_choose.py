"""What a job is opened with, as lists to choose from: vehicle, procedure, earlier job, printer."""

from __future__ import annotations

from partsvc.pages.lead.terms import Choices
from partsvc.pages.words import gettext as _
from partsvc.web.running import service
from partsvc.work import jobs, printers, procedures, vehicles
from partsvc.work.jobs import JobState, JobsWanted
from partsvc.work.procedures import ByKey
from partsvc.work.vehicles import VehiclesWanted

A_NEW_ONE = "new"


def vehicles_to_choose() -> Choices:
    """None, a new one, or one that is known."""
    listed = vehicles.page(service(), VehiclesWanted(limit=200)).vehicles
    known = (
        (one.id, " ".join(filter(None, (one.model, one.vin, one.plate))) or one.id)
        for one in listed
    )
    first = [("", _("none, or not known yet")), (A_NEW_ONE, _("a new one, described below"))]
    return [*first, *known]


def procedures_to_choose() -> Choices:
    """None, or one in its newest revision."""
    listed = procedures.page(service(), ByKey(limit=200)).procedures
    first = ("", _("none: the record is made while stripping"))
    return [first, *((one.procedure, one.title) for one in listed)]


def incomplete_to_choose() -> Choices:
    """No other job, or one that was handed over incomplete and that nobody goes on with."""
    wanted = JobsWanted(state=JobState.HANDED_OVER, limit=200)
    left = (one for one in jobs.page(service(), wanted).jobs if not one.taken_over_by)
    return [("", _("no other job")), *((one.id, f"{one.number} {one.title}") for one in left)]


def printers_to_choose() -> Choices:
    """Not now, or on one of the printers."""
    listed = printers.all_printers(service()).printers
    first = ("", _("later, or as a PDF on this device"))
    return [first, *((one.id, one.name) for one in listed)]
