"""The papers of a job: what each says. How they look is `labels`' business."""

from partsvc.work.papers.desk_order import desk_order_csv
from partsvc.work.papers.hand_over import hand_over_pdf
from partsvc.work.papers.order import order_csv, order_pdf
from partsvc.work.papers.order_lines import order_lines_csv
from partsvc.work.papers.reconciliation import reconciliation_pdf
from partsvc.work.papers.refit import refit_pdf
from partsvc.work.papers.release import release_pdf

__all__ = [
    "desk_order_csv",
    "hand_over_pdf",
    "order_csv",
    "order_lines_csv",
    "order_pdf",
    "reconciliation_pdf",
    "refit_pdf",
    "release_pdf",
]
