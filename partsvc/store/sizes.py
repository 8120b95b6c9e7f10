"""How much there is: acts, jobs, photos, what waits to be printed."""

from __future__ import annotations

import sqlite3

from partsvc.store.database import Row

_HOW_MANY = """
SELECT
  (SELECT coalesce(sum(head_seq), 0) FROM account WHERE site = :site) AS acts,
  (SELECT count(*) FROM job WHERE site = :site) AS jobs,
  (SELECT count(*) FROM job WHERE site = :site AND state = 'open') AS open_jobs,
  (SELECT count(*) FROM photo WHERE site = :site) AS photos,
  (SELECT coalesce(sum(length(jpeg)), 0) FROM photo WHERE site = :site) AS photos_bytes,
  (SELECT count(*) FROM printing WHERE site = :site
    AND stage IN ('waiting', 'begun', 'numbered', 'sending', 'at-printer')) AS to_be_printed,
  (SELECT count(*) FROM printing WHERE site = :site AND stage = 'unsure') AS to_be_looked_at
"""


def how_many(db: sqlite3.Connection, site: str) -> Row:
    """The figures of a site, in one look."""
    found: Row = db.execute(_HOW_MANY, {"site": site}).fetchone()
    return found
