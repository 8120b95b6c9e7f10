"""An index for what was said of part numbers on the earlier jobs of a vehicle."""

EFFECTS_BY_KIND = """
CREATE INDEX effect_by_kind ON effect (site, account, kind, seq);
"""
