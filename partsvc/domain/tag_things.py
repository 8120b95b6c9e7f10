"""What a tag says that is on no bag: a person's badge, a rack place, a temporary item."""

from __future__ import annotations

from dataclasses import replace

from partsvc.domain.tag_look import TagView


def on_a_thing(view: TagView, *, person: str, name: str) -> TagView:
    """The view of a tag, saying whose or what it is if it is on no bag; any other as it was."""
    told = {
        "person": f"The badge of {name or f'person {person}'}.",
        "rack": f"Rack place: {view.words or view.shown}. Scan it as the place where bags stand.",
        "temporary": f"Temporary item: {view.words or view.shown}. It comes off before the end.",
    }.get(view.kind)
    if told is None or view.job is not None:
        return view
    if view.void:
        told = f"{told} This tag was voided. Print a new one."
    return replace(view, next=told, person=person, name=name)
