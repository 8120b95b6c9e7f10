"""Who may see which of these pages."""

from __future__ import annotations

from partsvc.domain.acts.kinds import HANDS, Role

LEAD = frozenset({Role.LEAD})
KEEPERS = frozenset({Role.LEAD, Role.PARTS})

__all__ = ["HANDS", "KEEPERS", "LEAD"]
