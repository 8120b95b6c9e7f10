"""Addresses of what is derived from the ledger: lists, checklists, the account, the order."""

from __future__ import annotations

from flask import Response

from partsvc.api.files import CSV, PDF, file, rather
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL
from partsvc.domain.order_list import OrderList
from partsvc.domain.refit_list import RefitList
from partsvc.domain.strip_list import StripList
from partsvc.web.running import service
from partsvc.work import papers
from partsvc.work.ordering import order
from partsvc.work.reconciling import ReconciliationView, reconciliation
from partsvc.work.refit_list import refit_list
from partsvc.work.strip_list import strip_list

room = Room("views", __name__, description="What is derived from the ledger, as of this moment.")


@room.at("GET", "/jobs/<job>/steps", roles=ALL, gives=StripList)
def get_steps(job: str) -> StripList:
    """Read the strip list: what is on, what is off, and in which bag"""
    return strip_list(service(), job)


@room.at("GET", "/jobs/<job>/refit", roles=ALL, gives=RefitList, also=PDF)
def get_refit(job: str) -> RefitList | Response:
    """Read the refit checklist, in the order in which things go back"""
    return get_refit_paper(job) if rather(PDF) else refit_list(service(), job)


@room.at("GET", "/jobs/<job>/refit.pdf", roles=ALL, gives=PDF)
def get_refit_paper(job: str) -> Response:
    """Print the refit checklist"""
    return file(papers.refit_pdf(service(), job), PDF, name="refit.pdf")


@room.at("GET", "/jobs/<job>/reconciliation", roles=ALL, gives=ReconciliationView, also=PDF)
def get_reconciliation(job: str) -> ReconciliationView | Response:
    """Read the account of a job: two lines, what is open, what most likely happened"""
    return get_reconciliation_paper(job) if rather(PDF) else reconciliation(service(), job)


@room.at("GET", "/jobs/<job>/reconciliation.pdf", roles=ALL, gives=PDF)
def get_reconciliation_paper(job: str) -> Response:
    """Print the account of a job"""
    return file(papers.reconciliation_pdf(service(), job), PDF, name="reconciliation.pdf")


@room.at("GET", "/jobs/<job>/release.pdf", roles=ALL, gives=PDF, problems=[409])
def get_release_paper(job: str) -> Response:
    """Print the record of a release"""
    return file(papers.release_pdf(service(), job), PDF, name="release.pdf")


@room.at("GET", "/jobs/<job>/order", roles=ALL, gives=OrderList, also=(PDF, CSV))
def get_order(job: str) -> OrderList | Response:
    """Read what to order, how many, why and by when"""
    if rather(CSV):
        return file(papers.order_csv(service(), job), CSV, name="order.csv")
    return get_order_paper(job) if rather(PDF) else order(service(), job)


@room.at("GET", "/jobs/<job>/order.pdf", roles=ALL, gives=PDF)
def get_order_paper(job: str) -> Response:
    """Print what to order"""
    return file(papers.order_pdf(service(), job), PDF, name="order.pdf")


@room.at("GET", "/jobs/<job>/order.csv", roles=ALL, gives=CSV)
def get_order_table(job: str) -> Response:
    """Take what to order as a table"""
    return file(papers.order_csv(service(), job), CSV, name="order.csv")
