"""What the photos in acts are of, and whose badge a tag is.

Both are made from what is kept elsewhere: photos are named in the acts' own texts, and a badge
holds a person's id alone, so that a name that was erased stands nowhere.
"""

PHOTOS = """
CREATE TABLE photo_of (
  site TEXT NOT NULL, account TEXT NOT NULL, seq INTEGER NOT NULL, n INTEGER NOT NULL,
  hash TEXT NOT NULL, step TEXT NOT NULL, position TEXT NOT NULL, bag TEXT NOT NULL,
  shows TEXT NOT NULL CHECK (shows IN ('before', 'after')),
  PRIMARY KEY (site, account, seq, n, position, bag)
) STRICT, WITHOUT ROWID;

ALTER TABLE tag ADD COLUMN person TEXT NOT NULL DEFAULT '';
"""
