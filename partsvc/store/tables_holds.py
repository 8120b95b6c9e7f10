"""Tables of what holds are judged by: equipment with its check dates, and the ends of shifts."""

EQUIPMENT = """
CREATE TABLE equipment (
  site TEXT NOT NULL REFERENCES site(id), number TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('instrument', 'gloves', 'lift')),
  words TEXT NOT NULL DEFAULT '', good_until TEXT NOT NULL,
  version INTEGER NOT NULL DEFAULT 1,
  PRIMARY KEY (site, number)
) STRICT, WITHOUT ROWID;
"""

SHIFTS = """
CREATE TABLE shift_end (
  site TEXT NOT NULL REFERENCES site(id), at TEXT NOT NULL,
  PRIMARY KEY (site, at)
) STRICT, WITHOUT ROWID;
"""
