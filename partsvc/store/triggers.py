"""The rules that the database itself keeps; the only file in SQLite's own dialect.

Why guards before the insert: the outer conflict clause of INSERT OR IGNORE / REPLACE overrules the
statements inside a trigger, so pieces could be conjured. An explicit RAISE(ABORT) holds under all
of them. Debits are UPDATEs because an upsert with a negative quantity fails its CHECK even when
enough is there.
"""

_APPEND_ONLY = ("act", "entry", "effect", "revision", "answer")


def _append_only(table: str) -> str:
    return f"""
CREATE TRIGGER {table}_never_changed BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, '{table}: records are never changed'); END;
CREATE TRIGGER {table}_never_deleted BEFORE DELETE ON {table}
BEGIN SELECT RAISE(ABORT, '{table}: records are never deleted'); END;
"""


_ACT = """
CREATE TRIGGER act_follows_head BEFORE INSERT ON act
BEGIN
  SELECT RAISE(ABORT, 'act: the key is taken')
    WHERE EXISTS (SELECT 1 FROM act WHERE site = NEW.site AND key = NEW.key);
  SELECT RAISE(ABORT, 'act: it does not follow the head')
    WHERE NOT EXISTS (SELECT 1 FROM account
      WHERE site = NEW.site AND id = NEW.account AND head_seq = NEW.seq - 1);
  SELECT RAISE(ABORT, 'act: reversed before')
    WHERE NEW.reverses IS NOT NULL AND EXISTS (SELECT 1 FROM act
      WHERE site = NEW.site AND account = NEW.account AND reverses = NEW.reverses);
END;
CREATE TRIGGER act_becomes_head AFTER INSERT ON act
BEGIN
  UPDATE account SET head_seq = NEW.seq, head = NEW.hash
    WHERE site = NEW.site AND id = NEW.account;
END;
CREATE TRIGGER account_never_deleted BEFORE DELETE ON account
BEGIN SELECT RAISE(ABORT, 'account: records are never deleted'); END;
CREATE TRIGGER account_head_goes_forward BEFORE UPDATE ON account
WHEN NOT EXISTS (SELECT 1 FROM act
  WHERE site = NEW.site AND account = NEW.id AND seq = NEW.head_seq AND hash = NEW.head)
  OR NEW.head_seq <> OLD.head_seq + 1
BEGIN SELECT RAISE(ABORT, 'account: the head follows the acts'); END;
"""

_ENTRY = """
CREATE TRIGGER entry_guard BEFORE INSERT ON entry
BEGIN
  SELECT RAISE(ABORT, 'entry: its number is taken')
    WHERE EXISTS (SELECT 1 FROM entry WHERE site = NEW.site AND account = NEW.account
      AND seq = NEW.seq AND n = NEW.n);
  SELECT RAISE(ABORT, 'entry: only the newest act takes entries')
    WHERE NOT EXISTS (SELECT 1 FROM account
      WHERE site = NEW.site AND id = NEW.account AND head_seq = NEW.seq);
  SELECT RAISE(ABORT, 'entry: at least one piece')
    WHERE NEW.quantity < 1;
  SELECT RAISE(ABORT, 'entry: from one spot to another')
    WHERE NEW.from_account = NEW.to_account AND NEW.from_place = NEW.to_place
      AND NEW.from_condition = NEW.to_condition AND NEW.from_lot = NEW.to_lot;
  SELECT RAISE(ABORT, 'entry: not that many there')
    WHERE NEW.from_place NOT LIKE 'outside:%' AND NOT EXISTS (
      SELECT 1 FROM balance WHERE site = NEW.site AND account = NEW.from_account
        AND place = NEW.from_place AND part = NEW.part AND condition = NEW.from_condition
        AND lot = NEW.from_lot AND quantity >= NEW.quantity);
END;
CREATE TRIGGER entry_debit AFTER INSERT ON entry WHEN NEW.from_place NOT LIKE 'outside:%'
BEGIN
  UPDATE balance SET quantity = quantity - NEW.quantity
    WHERE site = NEW.site AND account = NEW.from_account AND place = NEW.from_place
      AND part = NEW.part AND condition = NEW.from_condition AND lot = NEW.from_lot;
END;
CREATE TRIGGER entry_credit AFTER INSERT ON entry WHEN NEW.to_place NOT LIKE 'outside:%'
BEGIN
  INSERT INTO balance (site, account, place, part, condition, lot, quantity)
    VALUES (NEW.site, NEW.to_account, NEW.to_place, NEW.part, NEW.to_condition, NEW.to_lot,
      NEW.quantity)
    ON CONFLICT (site, account, place, part, condition, lot)
    DO UPDATE SET quantity = quantity + NEW.quantity;
END;
CREATE TRIGGER balance_never_deleted BEFORE DELETE ON balance
BEGIN SELECT RAISE(ABORT, 'balance: follows the entries'); END;
"""

_OTHERS = """
CREATE TRIGGER effect_guard BEFORE INSERT ON effect
BEGIN
  SELECT RAISE(ABORT, 'effect: only the newest act takes effects')
    WHERE NOT EXISTS (SELECT 1 FROM account
      WHERE site = NEW.site AND id = NEW.account AND head_seq = NEW.seq);
  SELECT RAISE(ABORT, 'effect: its number is taken')
    WHERE EXISTS (SELECT 1 FROM effect WHERE site = NEW.site AND account = NEW.account
      AND seq = NEW.seq AND n = NEW.n);
END;
CREATE TRIGGER revision_guard BEFORE INSERT ON revision
BEGIN
  SELECT RAISE(ABORT, 'revision: its number is taken')
    WHERE EXISTS (SELECT 1 FROM revision WHERE site = NEW.site
      AND procedure = NEW.procedure AND number = NEW.number);
END;
CREATE TRIGGER answer_guard BEFORE INSERT ON answer
BEGIN
  SELECT RAISE(ABORT, 'answer: the key is taken')
    WHERE EXISTS (SELECT 1 FROM answer WHERE site = NEW.site AND key = NEW.key);
END;
CREATE TRIGGER tag_one_job_for_life BEFORE UPDATE OF account ON tag
WHEN OLD.account <> '' AND NEW.account <> OLD.account
BEGIN SELECT RAISE(ABORT, 'tag: it has one job for life'); END;
CREATE TRIGGER tag_never_deleted BEFORE DELETE ON tag
BEGIN SELECT RAISE(ABORT, 'tag: codes are never used again'); END;
CREATE TRIGGER tag_guard BEFORE INSERT ON tag
BEGIN
  SELECT RAISE(ABORT, 'tag: the code is taken')
    WHERE EXISTS (SELECT 1 FROM tag WHERE site = NEW.site AND code = NEW.code);
END;
"""

_PLACES = (
    "outside", "secured", "loose", "own-hole", "bag", "on-vehicle", "with", "away", "stock",
    "tool-store", "scrap", "missing", "lost",
)  # fmt: skip


def _no_place(column: str) -> str:
    """LIKE takes OUTSIDE for outside; nobody who reads the balances does."""
    kinds = ", ".join(f"'{kind}'" for kind in _PLACES)
    return f"substr(NEW.{column}, 1, instr(NEW.{column}, ':') - 1) NOT IN ({kinds})"


# A row replaced is a row deleted without its DELETE trigger where recursive_triggers is off.
_SECOND = f"""
CREATE TRIGGER account_guard BEFORE INSERT ON account
BEGIN
  SELECT RAISE(ABORT, 'account: it is there already')
    WHERE EXISTS (SELECT 1 FROM account WHERE site = NEW.site AND id = NEW.id);
  SELECT RAISE(ABORT, 'account: it begins without acts')
    WHERE NEW.head_seq <> 0;
END;
CREATE TRIGGER entry_places BEFORE INSERT ON entry
WHEN {_no_place("from_place")} OR {_no_place("to_place")}
BEGIN SELECT RAISE(ABORT, 'entry: there is no such place'); END;
CREATE TRIGGER tag_keeps_its_code BEFORE UPDATE OF site, code ON tag
WHEN NEW.site <> OLD.site OR NEW.code <> OLD.code
BEGIN SELECT RAISE(ABORT, 'tag: codes never change'); END;
CREATE TRIGGER job_guard BEFORE INSERT ON job
BEGIN
  SELECT RAISE(ABORT, 'job: it is there already')
    WHERE EXISTS (SELECT 1 FROM job
      WHERE site = NEW.site AND (id = NEW.id OR number = NEW.number));
END;
CREATE TRIGGER job_keeps_its_procedure
BEFORE UPDATE OF site, id, number, procedure, revision ON job
WHEN NEW.site <> OLD.site OR NEW.id <> OLD.id OR NEW.number <> OLD.number
  OR NEW.procedure <> OLD.procedure OR NEW.revision <> OLD.revision
BEGIN SELECT RAISE(ABORT, 'job: it keeps its number and its procedure'); END;
CREATE TRIGGER job_never_deleted BEFORE DELETE ON job
BEGIN SELECT RAISE(ABORT, 'job: records are never deleted'); END;
CREATE TRIGGER refused_guard BEFORE INSERT ON refused
BEGIN
  SELECT RAISE(ABORT, 'refused: the id is taken')
    WHERE EXISTS (SELECT 1 FROM refused WHERE site = NEW.site AND id = NEW.id);
END;
"""

FIRST = "".join(map(_append_only, _APPEND_ONLY)) + _ACT + _ENTRY + _OTHERS
SECOND = _append_only("refused") + _SECOND

_ORDER_LINES = """
CREATE TRIGGER order_line_guard BEFORE INSERT ON order_line
BEGIN
  SELECT RAISE(ABORT, 'order_line: the id is taken')
    WHERE EXISTS (SELECT 1 FROM order_line WHERE site = NEW.site
      AND (id = NEW.id OR (account = NEW.account AND n = NEW.n)));
END;
CREATE TRIGGER order_event_guard BEFORE INSERT ON order_event
BEGIN
  SELECT RAISE(ABORT, 'order_event: it does not follow the last one')
    WHERE NEW.n <> (SELECT coalesce(max(n), 0) + 1 FROM order_event
      WHERE site = NEW.site AND line = NEW.line);
END;
"""

_NOTICES = """
CREATE TRIGGER notice_guard BEFORE INSERT ON notice
BEGIN
  SELECT RAISE(ABORT, 'notice: it does not follow the last one')
    WHERE NEW.n <> (SELECT coalesce(max(n), 0) + 1 FROM notice WHERE site = NEW.site);
END;
CREATE TRIGGER notice_tick_guard BEFORE INSERT ON notice_tick
BEGIN
  SELECT RAISE(ABORT, 'notice_tick: it is ticked already')
    WHERE EXISTS (SELECT 1 FROM notice_tick WHERE site = NEW.site AND notice = NEW.notice);
END;
"""

ORDER_LINES = "".join(map(_append_only, ("order_line", "order_event"))) + _ORDER_LINES
NOTICES = "".join(map(_append_only, ("notice", "notice_tick"))) + _NOTICES

_ALONE_PERMIT = """
CREATE TRIGGER alone_permit_guard BEFORE INSERT ON alone_permit
BEGIN
  SELECT RAISE(ABORT, 'alone_permit: it does not follow the last one')
    WHERE NEW.version <> (SELECT coalesce(max(version), 0) + 1 FROM alone_permit
      WHERE site = NEW.site);
END;
"""
ALONE_PERMIT = _append_only("alone_permit") + _ALONE_PERMIT

BOARDS = """
CREATE TRIGGER tag_stays_on_its_board BEFORE UPDATE OF board, pocket ON tag
WHEN NEW.board <> OLD.board OR NEW.pocket <> OLD.pocket
BEGIN SELECT RAISE(ABORT, 'tag: a pocket stays on its board'); END;
"""

BADGES = """
CREATE TRIGGER tag_stays_its_persons BEFORE UPDATE OF person ON tag
WHEN NEW.person <> OLD.person
BEGIN SELECT RAISE(ABORT, 'tag: a badge is one person''s for life'); END;
CREATE TRIGGER tag_of_a_person_holds_no_pieces BEFORE UPDATE OF account ON tag
WHEN NEW.account <> '' AND OLD.person <> ''
BEGIN SELECT RAISE(ABORT, 'tag: a badge is on no bag'); END;
"""

TAKEOVER = (
    _append_only("takeover")
    + """
CREATE TRIGGER takeover_guard BEFORE INSERT ON takeover
BEGIN
  SELECT RAISE(ABORT, 'takeover: a job is taken over once, and takes over one')
    WHERE EXISTS (SELECT 1 FROM takeover
      WHERE site = NEW.site AND (old = NEW.old OR new = NEW.new));
  SELECT RAISE(ABORT, 'takeover: the old job did not end incomplete')
    WHERE NOT EXISTS (SELECT 1 FROM job
      WHERE site = NEW.site AND id = NEW.old AND state = 'handed-over');
END;
DROP TRIGGER tag_one_job_for_life;
CREATE TRIGGER tag_one_job_for_life BEFORE UPDATE OF account ON tag
WHEN OLD.account <> '' AND NEW.account <> OLD.account
  AND NOT EXISTS (SELECT 1 FROM takeover
    WHERE site = OLD.site AND old = OLD.account AND new = NEW.account)
BEGIN SELECT RAISE(ABORT, 'tag: it has one job for life'); END;
"""
)
