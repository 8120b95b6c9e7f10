"""Jobs that end without a release, and the jobs that take over what was left of them."""

from __future__ import annotations

from sqlite_utils import Database as Tables

_WORDS = "IN ('open', 'released')"
_MORE_WORDS = "IN ('open', 'released', 'handed-over')"

TAKEOVER = """
CREATE TABLE takeover (
  site TEXT NOT NULL, old TEXT NOT NULL, new TEXT NOT NULL, old_number INTEGER NOT NULL,
  PRIMARY KEY (site, old),
  UNIQUE (site, new),
  FOREIGN KEY (site, old) REFERENCES account(site, id),
  FOREIGN KEY (site, new) REFERENCES account(site, id)
) STRICT;
"""


def more_job_states(db: Tables) -> None:
    """The table of jobs again, its state allowed one word more; all else of it stays as it is.

    SQLite cannot change a CHECK. Its indexes and triggers go with the old table and are made anew
    from their own text; the old way of renaming leaves what others say of `job` untouched.
    """
    (table,) = _texts(db, "type = 'table' AND name = 'job'")
    others = _texts(db, "type IN ('index', 'trigger') AND tbl_name = 'job'")
    columns = ", ".join(column.name for column in db["job"].columns)
    assert _WORDS in table, "the table of jobs is not the one this step was written for"
    anew = table.replace(_WORDS, _MORE_WORDS).replace("CREATE TABLE job", "CREATE TABLE job_anew")
    db.execute("PRAGMA legacy_alter_table = on")
    for statement in (
        anew,
        f"INSERT INTO job_anew ({columns}) SELECT {columns} FROM job",
        "DROP TABLE job",
        "ALTER TABLE job_anew RENAME TO job",
        *others,
    ):
        db.execute(statement)
    db.execute("PRAGMA legacy_alter_table = off")


def _texts(db: Tables, which: str) -> list[str]:
    rows = db.execute(f"SELECT sql FROM sqlite_master WHERE {which} AND sql IS NOT NULL")
    return [row[0] for row in rows.fetchall()]
