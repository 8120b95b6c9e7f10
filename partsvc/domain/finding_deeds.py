"""What a checker can do about a finding, right where it stands.

Anything may be taken as it is with a reason, and anything may be sent back with a remark; what else
helps depends on what kind of finding it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from partsvc.domain.findings import Finding


class Deed(StrEnum):
    """One thing to do about a finding."""

    LOOK = "look"
    SEARCH = "search"
    SEE_EMPTY = "see-empty"
    ADJUST = "adjust"
    DISMISS = "dismiss"
    IDENTIFY = "identify"
    SEND_BACK = "send-back"
    ACCEPT = "accept"


_FIRST: Mapping[str, tuple[Deed, ...]] = {
    "second-look": (Deed.LOOK,),
    "looked-wrong": (Deed.LOOK,),
    "wrong-part": (Deed.LOOK,),
    "unreplaced": (Deed.LOOK,),
    "damaged": (Deed.LOOK,),
    "loose": (Deed.LOOK,),
    "done-anyway": (Deed.LOOK,),
    "short": (Deed.SEARCH,),
    "lost": (Deed.SEARCH,),
    "fragment": (Deed.SEARCH,),
    "fragment-lost": (Deed.SEARCH,),
    "stray": (Deed.IDENTIFY, Deed.SEARCH),
    "count-differs": (Deed.ADJUST,),
    "refused-act": (Deed.DISMISS,),
    "bag-not-seen-empty": (Deed.SEE_EMPTY,),
}
# A look is at a position, a search for what is missing from one.
_AT_A_POSITION = (Deed.LOOK, Deed.SEARCH)


def deeds(finding: Finding) -> tuple[Deed, ...]:
    """What can be done about it, what helps most first."""
    own = (
        deed
        for deed in _FIRST.get(finding.kind, ())
        if finding.position or deed not in _AT_A_POSITION
    )
    return (*own, Deed.SEND_BACK, Deed.ACCEPT)
