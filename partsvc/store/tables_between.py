"""Ways to find in one step what is out of the house, and what other books say of a job.

All of them are partial: they hold the few rows they are for, and cost the others nothing.
"""

AWAY = """
CREATE INDEX balance_away ON balance (site, account, place)
  WHERE quantity > 0 AND place >= 'away:' AND place < 'away;';
CREATE INDEX effect_away ON effect (site, account, seq)
  WHERE kind = 'sent-away' OR kind = 'stays-away';
"""

BETWEEN = """
CREATE INDEX effect_between ON effect (site, json_extract(text, '$.other'))
  WHERE kind = 'lent' OR kind = 'borrowed';
CREATE INDEX effect_stray ON effect (site, account, seq) WHERE kind = 'stray-found';
CREATE INDEX note_by_time ON act (site, received_at) WHERE kind = 'note';
"""
