"""The tables, as plain SQL that both SQLite and PostgreSQL would read (but for STRICT).

`site` stands in every table and key, ids are random and global, and nothing is ever null inside
a key. Acts, entries, effects, revisions and answers are only ever added; `triggers` sees to it.
"""

FIRST = """
CREATE TABLE site (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, zone TEXT NOT NULL, created_at TEXT NOT NULL,
  catalogue_version INTEGER NOT NULL DEFAULT 0
) STRICT;

CREATE TABLE account (
  site TEXT NOT NULL REFERENCES site(id), id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('job', 'workshop')),
  head_seq INTEGER NOT NULL DEFAULT 0, head TEXT NOT NULL,
  PRIMARY KEY (site, id)
) STRICT;

CREATE TABLE act (
  site TEXT NOT NULL, account TEXT NOT NULL, seq INTEGER NOT NULL CHECK (seq > 0),
  key TEXT NOT NULL, kind TEXT NOT NULL,
  done_by TEXT NOT NULL, recorded_by TEXT NOT NULL, sent_by TEXT NOT NULL,
  done_at TEXT NOT NULL, device_seq INTEGER, received_at TEXT NOT NULL,
  step TEXT NOT NULL DEFAULT '', reverses TEXT,
  format INTEGER NOT NULL, text TEXT NOT NULL, hash TEXT NOT NULL,
  PRIMARY KEY (site, account, seq),
  UNIQUE (site, key),
  UNIQUE (site, account, reverses),
  FOREIGN KEY (site, account) REFERENCES account(site, id)
) STRICT;
CREATE INDEX act_by_person ON act (site, account, done_by, seq);
CREATE INDEX act_by_step ON act (site, account, step, seq);
CREATE INDEX act_by_kind ON act (site, account, kind, seq);

CREATE TABLE entry (
  site TEXT NOT NULL, account TEXT NOT NULL, seq INTEGER NOT NULL, n INTEGER NOT NULL,
  part TEXT NOT NULL, quantity INTEGER NOT NULL CHECK (quantity > 0 AND quantity < 1000000),
  from_account TEXT NOT NULL, from_place TEXT NOT NULL,
  from_condition TEXT NOT NULL CHECK (from_condition IN ('new', 'used', 'damaged')),
  from_lot TEXT NOT NULL CHECK (from_lot <> ''),
  to_account TEXT NOT NULL, to_place TEXT NOT NULL,
  to_condition TEXT NOT NULL CHECK (to_condition IN ('new', 'used', 'damaged')),
  to_lot TEXT NOT NULL CHECK (to_lot <> ''),
  reversal INTEGER NOT NULL DEFAULT 0 CHECK (reversal IN (0, 1)),
  PRIMARY KEY (site, account, seq, n),
  FOREIGN KEY (site, account, seq) REFERENCES act(site, account, seq),
  CHECK (from_account IN (account, 'workshop') AND to_account IN (account, 'workshop')),
  CHECK (reversal = 1 OR from_place LIKE 'outside:%' OR NOT (
    (from_condition = 'damaged' AND to_condition <> 'damaged')
    OR (from_condition = 'used' AND to_condition = 'new')))
) STRICT;
CREATE INDEX entry_into ON entry (site, to_account, to_place, seq);
CREATE INDEX entry_out_of ON entry (site, from_account, from_place, seq);
CREATE INDEX entry_of_part ON entry (site, account, part, seq);

CREATE TABLE effect (
  site TEXT NOT NULL, account TEXT NOT NULL, seq INTEGER NOT NULL, n INTEGER NOT NULL,
  kind TEXT NOT NULL, text TEXT NOT NULL,
  PRIMARY KEY (site, account, seq, n),
  FOREIGN KEY (site, account, seq) REFERENCES act(site, account, seq)
) STRICT;

CREATE TABLE balance (
  site TEXT NOT NULL, account TEXT NOT NULL, place TEXT NOT NULL, part TEXT NOT NULL,
  condition TEXT NOT NULL, lot TEXT NOT NULL,
  quantity INTEGER NOT NULL CHECK (quantity >= 0),
  PRIMARY KEY (site, account, place, part, condition, lot)
) STRICT, WITHOUT ROWID;
CREATE INDEX balance_of_part ON balance (site, part, account) WHERE quantity > 0;

CREATE TABLE part (
  site TEXT NOT NULL REFERENCES site(id), number TEXT NOT NULL, text TEXT NOT NULL,
  name TEXT NOT NULL, kind TEXT NOT NULL, version INTEGER NOT NULL DEFAULT 1,
  PRIMARY KEY (site, number)
) STRICT;

CREATE TABLE revision (
  site TEXT NOT NULL REFERENCES site(id), procedure TEXT NOT NULL,
  number INTEGER NOT NULL CHECK (number > 0), title TEXT NOT NULL,
  hash TEXT NOT NULL, text TEXT NOT NULL, added_by TEXT NOT NULL, added_at TEXT NOT NULL,
  PRIMARY KEY (site, procedure, number)
) STRICT;

CREATE TABLE vehicle (
  site TEXT NOT NULL REFERENCES site(id), id TEXT NOT NULL, vin TEXT NOT NULL DEFAULT '',
  model TEXT NOT NULL DEFAULT '', plate TEXT NOT NULL DEFAULT '', owner TEXT NOT NULL DEFAULT '',
  version INTEGER NOT NULL DEFAULT 1,
  PRIMARY KEY (site, id)
) STRICT;
CREATE INDEX vehicle_by_vin ON vehicle (site, vin);

CREATE TABLE job (
  site TEXT NOT NULL, id TEXT NOT NULL, number INTEGER NOT NULL, title TEXT NOT NULL,
  vehicle TEXT NOT NULL DEFAULT '', procedure TEXT NOT NULL DEFAULT '',
  revision INTEGER NOT NULL DEFAULT 0, needed_by TEXT NOT NULL DEFAULT '',
  state TEXT NOT NULL DEFAULT 'open' CHECK (state IN ('open', 'released')),
  opened_at TEXT NOT NULL, version INTEGER NOT NULL DEFAULT 1,
  PRIMARY KEY (site, id),
  UNIQUE (site, number),
  FOREIGN KEY (site, id) REFERENCES account(site, id)
) STRICT;
CREATE INDEX job_by_state ON job (site, state, number);

CREATE TABLE tag (
  site TEXT NOT NULL REFERENCES site(id), code TEXT NOT NULL, account TEXT NOT NULL DEFAULT '',
  kind TEXT NOT NULL DEFAULT 'bag', words TEXT NOT NULL DEFAULT '',
  position TEXT NOT NULL DEFAULT '',
  minted_at TEXT NOT NULL, void_reason TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (site, code)
) STRICT;
CREATE INDEX tag_of_job ON tag (site, account, code);

CREATE TABLE person (
  site TEXT NOT NULL REFERENCES site(id), id TEXT NOT NULL, login TEXT NOT NULL,
  roles TEXT NOT NULL, secret TEXT NOT NULL, active INTEGER NOT NULL DEFAULT 1,
  version INTEGER NOT NULL DEFAULT 1,
  PRIMARY KEY (site, id),
  UNIQUE (site, login)
) STRICT;
CREATE TABLE person_name (
  site TEXT NOT NULL, person TEXT NOT NULL, name TEXT NOT NULL,
  PRIMARY KEY (site, person),
  FOREIGN KEY (site, person) REFERENCES person(site, id)
) STRICT;
CREATE TABLE token (
  site TEXT NOT NULL, hash TEXT NOT NULL, person TEXT NOT NULL, device TEXT NOT NULL,
  made_at TEXT NOT NULL, good_until TEXT NOT NULL, revoked INTEGER NOT NULL DEFAULT 0,
  PRIMARY KEY (site, hash),
  FOREIGN KEY (site, person) REFERENCES person(site, id)
) STRICT;
CREATE INDEX token_of_person ON token (site, person);

CREATE TABLE answer (
  site TEXT NOT NULL, key TEXT NOT NULL, request_hash TEXT NOT NULL, status INTEGER NOT NULL,
  body TEXT NOT NULL, at TEXT NOT NULL,
  PRIMARY KEY (site, key)
) STRICT;

CREATE TABLE refused (
  site TEXT NOT NULL, id TEXT NOT NULL, account TEXT NOT NULL, key TEXT NOT NULL,
  kind TEXT NOT NULL, done_by TEXT NOT NULL, recorded_by TEXT NOT NULL, sent_by TEXT NOT NULL,
  reason TEXT NOT NULL, detail TEXT NOT NULL, text TEXT NOT NULL, at TEXT NOT NULL,
  PRIMARY KEY (site, id)
) STRICT;
CREATE INDEX refused_of_job ON refused (site, account, at);

CREATE TABLE photo (
  site TEXT NOT NULL, hash TEXT NOT NULL, jpeg BLOB NOT NULL, added_by TEXT NOT NULL,
  added_at TEXT NOT NULL,
  PRIMARY KEY (site, hash)
) STRICT;

CREATE TABLE on_order (
  site TEXT NOT NULL, account TEXT NOT NULL, part TEXT NOT NULL, quantity INTEGER NOT NULL
    CHECK (quantity >= 0), reference TEXT NOT NULL DEFAULT '', promised TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (site, account, part)
) STRICT;
"""
