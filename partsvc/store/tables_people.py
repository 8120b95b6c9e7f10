"""What is kept of people beyond their roles, and of queued acts that were refused.

Qualifications are words, apart by blanks. Permits to work alone are only ever added: who gave one,
when and why stays. A refused act that a device had queued is found by its mark until it is put
right; recorded acts name who stood by.
"""

PEOPLE = """
ALTER TABLE person ADD COLUMN qualifications TEXT NOT NULL DEFAULT '';
ALTER TABLE act ADD COLUMN supervised_by TEXT NOT NULL DEFAULT '';
ALTER TABLE refused ADD COLUMN queued INTEGER NOT NULL DEFAULT 0 CHECK (queued IN (0, 1));
CREATE INDEX refused_queued ON refused (site, account, at) WHERE queued = 1;
CREATE INDEX effect_that_stops ON effect (site, account)
  WHERE kind = 'overridden' AND json_extract(text, '$.stops') = 1;

CREATE TABLE alone_permit (
  site TEXT NOT NULL REFERENCES site(id), version INTEGER NOT NULL CHECK (version > 0),
  permitted INTEGER NOT NULL CHECK (permitted IN (0, 1)), reason TEXT NOT NULL,
  given_by TEXT NOT NULL, given_at TEXT NOT NULL,
  PRIMARY KEY (site, version)
) STRICT;
"""
