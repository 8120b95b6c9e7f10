"""Ways to find in one step what is out of the house, and what other books say of a job.

All of them are partial: they hold the few rows they are for, and cost the others nothing.
"""

AWAY = """
CREATE INDEX balance_away ON balance (site, place, account)
  WHERE quantity > 0 AND place >= 'away:' AND place < 'away;';
"""

BETWEEN = """
CREATE INDEX effect_between ON effect (site, json_extract(text, '$.other'))
  WHERE kind = 'lent' OR kind = 'borrowed';
CREATE INDEX note_by_time ON act (site, received_at) WHERE kind = 'note';
"""
