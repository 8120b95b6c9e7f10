"""Addresses of the parts desk: what to order across all jobs, and what it must hear of."""

from __future__ import annotations

from partsvc.api.order_lines import DESK
from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL
from partsvc.domain.desk_order import DeskOrder
from partsvc.domain.waiting import WaitingList
from partsvc.web.running import sender, service
from partsvc.work import desk_order, notices
from partsvc.work.answers import Writing
from partsvc.work.notices import NoticesPage, NoticesWanted, TickNotices
from partsvc.work.waiting import waiting_list

room = Room("parts desk", __name__, description="The parts desk's own view across all jobs.")


@room.at("GET", "/parts-desk/order", roles=ALL, gives=DeskOrder)
def get_desk_order() -> DeskOrder:
    """Read what to order now across all open jobs, soonest first

    The shelf is shared out by the day each vehicle is needed.
    """
    return desk_order.order_of_all(service())


@room.at(
    "GET", "/parts-desk/notices", roles=ALL, asks=NoticesWanted, gives=NoticesPage,
    headers=LINK_HEADER,
)  # fmt: skip
def get_notices(*, asked: NoticesWanted) -> tuple[NoticesPage, dict[str, str]]:
    """List what the parts desk is told, oldest first

    What was taken from the bench or bought in, what the store's book did not have, what differs,
    what came back.
    """
    page = notices.page(service(), asked)
    full = len(page.notices) == asked.limit
    return page, next_page("after", page.notices[-1].n if full else None)


@room.at(
    "POST", "/parts-desk/notices/tick", roles=DESK, takes=TickNotices, gives=NoticesPage,
    writes=True, problems=[404],
)  # fmt: skip
def post_tick(*, db: Writing, given: TickNotices) -> NoticesPage:
    """Tick notices off"""
    return notices.tick(service(), db, sender(), given)


@room.at("GET", "/jobs/<job>/waiting", roles=ALL, gives=WaitingList)
def get_waiting(job: str) -> WaitingList:
    """Read which steps can be started, and what each of the others waits for"""
    return waiting_list(service(), sender(), job)
