"""What the pages look up: how each person wants them, and the tags that are good at every job."""

PAGES = """
CREATE TABLE preference (
  site TEXT NOT NULL, person TEXT NOT NULL, language TEXT NOT NULL, units TEXT NOT NULL,
  PRIMARY KEY (site, person),
  FOREIGN KEY (site, person) REFERENCES person(site, id)
) STRICT;
CREATE INDEX tag_of_thing ON tag (site, code)
  WHERE kind IN ('rack', 'person') AND void_reason = '';
"""
