"""The tables of printers and of what waits to be printed."""

PRINTING = """
CREATE TABLE printer (
  site TEXT NOT NULL REFERENCES site(id), id TEXT NOT NULL, name TEXT NOT NULL,
  address TEXT NOT NULL, stock TEXT NOT NULL, format TEXT NOT NULL, media TEXT NOT NULL DEFAULT '',
  active INTEGER NOT NULL DEFAULT 1, version INTEGER NOT NULL DEFAULT 1,
  PRIMARY KEY (site, id)
) STRICT;

CREATE TABLE printing (
  site TEXT NOT NULL, id TEXT NOT NULL, number INTEGER NOT NULL, printer TEXT NOT NULL,
  name TEXT NOT NULL, format TEXT NOT NULL, document BLOB NOT NULL, digest TEXT NOT NULL,
  tags TEXT NOT NULL DEFAULT '', again_of TEXT NOT NULL DEFAULT '',
  asked_by TEXT NOT NULL, asked_at TEXT NOT NULL,
  stage TEXT NOT NULL CHECK (stage IN ('waiting', 'begun', 'numbered', 'sending', 'at-printer',
    'printed', 'failed', 'unsure', 'cancelled')),
  printer_job INTEGER NOT NULL DEFAULT 0, tries INTEGER NOT NULL DEFAULT 0,
  next_at TEXT NOT NULL, words TEXT NOT NULL DEFAULT '', ended_at TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (site, id),
  UNIQUE (site, number),
  FOREIGN KEY (site, printer) REFERENCES printer(site, id)
) STRICT;
CREATE INDEX printing_due ON printing (site, next_at)
  WHERE stage IN ('waiting', 'begun', 'numbered', 'sending', 'at-printer');
CREATE INDEX printing_of_printer ON printing (site, printer, number);

CREATE TABLE tag_printed (
  site TEXT NOT NULL, code TEXT NOT NULL, printing TEXT NOT NULL, at TEXT NOT NULL,
  PRIMARY KEY (site, code, printing)
) STRICT, WITHOUT ROWID;
"""
