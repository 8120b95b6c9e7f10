"""How many pieces of each open job are in place: one query for all, for the list of jobs.

The plans are not read for it: what belongs to a vehicle is what came into its book as such.
"""

from __future__ import annotations

import sqlite3

from partsvc.store.database import Row

_BELONGS = "('outside:opening', 'outside:addition', 'outside:plan-correction')"
_OPEN = "SELECT id FROM job WHERE site = :site AND state = 'open'"
_QUERY = f"""
SELECT account, SUM(belongs) AS belongs, SUM(secured) AS secured, SUM(loose) AS loose FROM (
  SELECT from_account AS account, quantity AS belongs, 0 AS secured, 0 AS loose FROM entry
   WHERE site = :site AND from_account IN ({_OPEN}) AND from_place IN {_BELONGS}
  UNION ALL
  SELECT to_account, -quantity, 0, 0 FROM entry
   WHERE site = :site AND to_account IN ({_OPEN}) AND to_place IN {_BELONGS}
  UNION ALL
  SELECT account, 0, iif(place < 'n', 0, quantity), iif(place < 'n', quantity, 0) FROM balance
   WHERE site = :site AND account IN ({_OPEN}) AND quantity > 0
     AND (place >= 'secured:' AND place < 'secured;' OR place >= 'loose:' AND place < 'loose;')
) GROUP BY account
"""


def of_open_jobs(db: sqlite3.Connection, site: str) -> list[Row]:
    """For each open job with pieces: how many belong to it, how many are secured and loose."""
    return db.execute(_QUERY, {"site": site}).fetchall()
