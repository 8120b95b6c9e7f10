"""What a scanned tag tells, read at one moment."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

from partsvc.domain.acts.codes import read_code
from partsvc.domain.desk import WORKSHOP, shown_bag
from partsvc.domain.tag_look import OnBoard, TagView, bay_tag, blank_tag
from partsvc.domain.tag_look import tag_view as look_at_tag
from partsvc.domain.tag_things import on_a_thing
from partsvc.errors import NotFound
from partsvc.store import acts as act_store
from partsvc.store import badges, boards, keeping, printing
from partsvc.store.database import Row
from partsvc.work.facts import job_desk, job_row, tag_facts, with_uses, workshop_desk
from partsvc.work.job_view import job_facts
from partsvc.work.other_books import with_bay
from partsvc.work.service import Service


def tag_view(service: Service, code: str) -> TagView:
    """What a tag tells, by its code as typed or scanned."""
    plain = read_code(code)
    with service.database.reading() as db:
        rows = keeping.tags(db, service.site, [plain])
        if not rows:
            raise NotFound(
                f"No tag {shown_bag(plain)} was ever printed here. Check the code on the bag.",
                code=shown_bag(plain),
            )
        copies = printing.copies(db, service.site, plain)
        view = replace(_view(service, db, rows[0]), words=rows[0]["words"], copies=copies)
        holder = badges.holders(db, service.site, [plain]).get(plain)
        person, name = (holder["person"], holder["name"]) if holder else ("", "")
        return on_a_thing(view, person=person, name=name)


def _view(service: Service, db: sqlite3.Connection, row: Row) -> TagView:
    facts = tag_facts(service, db, row, row["account"])
    on_board = _on_board(service, db, facts.code)
    if not facts.account:
        return blank_tag(facts, row["kind"], on_board)
    if facts.account == WORKSHOP:
        bay = with_bay(service, db, workshop_desk(service, db))
        return bay_tag(bay, facts, row["kind"])
    job = job_row(service, db, facts.account)
    desk = with_uses(service, db, job_desk(service, db, job))
    touched = act_store.touched(db, service.site, facts.account)
    desk = replace(desk, touched=touched, today=service.today())
    return look_at_tag(job_facts(job), desk, facts, row["kind"], on_board)


def _on_board(service: Service, db: sqlite3.Connection, code: str) -> OnBoard:
    board, number = boards.places(db, service.site, [code]).get(code, ("", 0))
    pockets = boards.pockets(db, service.site, [code])
    return OnBoard(
        board=board,
        number=number,
        pockets=tuple((row["pocket"], row["code"], bool(row["void_reason"])) for row in pockets),
    )
