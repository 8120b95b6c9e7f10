"""The tables of order lines and of what the parts desk is told.

A line says what it is for and never changes; what becomes of it is only ever added. Notices are an
index of the ledger's acts that concern the desk, numbered in the order in which they were recorded;
ticking one off is a record of its own.
"""

ORDERS = """
CREATE TABLE order_line (
  site TEXT NOT NULL, id TEXT NOT NULL, account TEXT NOT NULL, n INTEGER NOT NULL CHECK (n > 0),
  kind TEXT NOT NULL CHECK (kind IN ('part', 'consumable')),
  what TEXT NOT NULL CHECK (what <> ''), unit TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (site, id),
  UNIQUE (site, account, n),
  FOREIGN KEY (site, account) REFERENCES account(site, id)
) STRICT;

CREATE TABLE order_event (
  site TEXT NOT NULL, line TEXT NOT NULL, n INTEGER NOT NULL CHECK (n > 0),
  event TEXT NOT NULL CHECK (event IN ('asked', 'ordered', 'amended', 'delivered', 'taken-back',
    'wrong-part', 'back-ordered', 'refused', 'cancelled')),
  noted_by TEXT NOT NULL, at TEXT NOT NULL, amount TEXT NOT NULL DEFAULT '0',
  reference TEXT NOT NULL DEFAULT '', promised TEXT NOT NULL DEFAULT '',
  came TEXT NOT NULL DEFAULT '', accepted INTEGER NOT NULL DEFAULT 0 CHECK (accepted IN (0, 1)),
  words TEXT NOT NULL DEFAULT '', act TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (site, line, n),
  FOREIGN KEY (site, line) REFERENCES order_line(site, id)
) STRICT;

CREATE INDEX entry_out_of_store ON entry (site, part, from_lot)
  WHERE from_account = 'workshop' AND from_place = 'stock:main';
"""

# What had been noted as on order becomes a line; who noted it and when was not kept.
CARRIED_OVER = """
INSERT INTO order_line (site, id, account, n, kind, what)
  SELECT site, account || '-o' || row_number() OVER (PARTITION BY site, account ORDER BY part),
    account, row_number() OVER (PARTITION BY site, account ORDER BY part), 'part', part
  FROM on_order WHERE quantity > 0;
INSERT INTO order_event (site, line, n, event, noted_by, at, amount, reference, promised)
  SELECT l.site, l.id, 1, 'ordered', '', j.opened_at, CAST(o.quantity AS TEXT), o.reference,
    o.promised
  FROM order_line l
  JOIN on_order o ON o.site = l.site AND o.account = l.account AND o.part = l.what
  JOIN job j ON j.site = l.site AND j.id = l.account;
DROP TABLE on_order;
"""

NOTICES = """
CREATE TABLE notice (
  site TEXT NOT NULL, n INTEGER NOT NULL CHECK (n > 0),
  kind TEXT NOT NULL, account TEXT NOT NULL, act TEXT NOT NULL,
  part TEXT NOT NULL DEFAULT '', quantity INTEGER NOT NULL DEFAULT 0,
  words TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (site, n)
) STRICT;
CREATE INDEX notice_of_act ON notice (site, act);

CREATE TABLE notice_tick (
  site TEXT NOT NULL, notice INTEGER NOT NULL, ticked_by TEXT NOT NULL, at TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (site, notice),
  FOREIGN KEY (site, notice) REFERENCES notice(site, n)
) STRICT;
"""
