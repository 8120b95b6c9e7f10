"""Boards and trays with numbered pockets: every pocket carries a tag of its own."""

BOARDS = """
ALTER TABLE tag ADD COLUMN board TEXT NOT NULL DEFAULT '';
ALTER TABLE tag ADD COLUMN pocket INTEGER NOT NULL DEFAULT 0 CHECK (pocket >= 0);
CREATE UNIQUE INDEX tag_of_board ON tag (site, board, pocket) WHERE board <> '';
"""
