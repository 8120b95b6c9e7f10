"""Parts and procedures of every kind that can be worked, for what must hold of all of them."""

from __future__ import annotations

from dataclasses import fields, replace
from unicodedata import normalize

from hypothesis import strategies as st

from partsvc.domain.parts import Part, PartContent, PartKind, Rule, SpentAt
from partsvc.domain.plan import (
    AcceptedNumber,
    Application,
    Equipment,
    Hazard,
    Hold,
    Phase,
    Plan,
    Position,
    Reading,
    Record,
    StackItem,
    Stage,
    Step,
    Temporary,
)


def _texts(alphabet: st.SearchStrategy[str], *samples: str) -> st.SearchStrategy[str]:
    made = st.text(alphabet, min_size=1, max_size=20).map(lambda text: normalize("NFC", text))
    return st.one_of(st.sampled_from(samples), made.filter(lambda text: text.strip() != ""))


_TELLING = ("rim, clockwise", "=1+1", "'quoted'", "-5", "a;b", 'say "so"', " edge ", "@x")
NAME = _texts(st.characters(exclude_categories=["Cs", "Cc"]), *_TELLING)
WORDS = _texts(
    st.characters(exclude_categories=["Cs"], exclude_characters="\0"),
    *_TELLING, "two\nlines", "two\r\nlines", "\ttab",
)  # fmt: skip
MAYBE = st.one_of(st.just(""), WORDS)
MAYBE_NAME = st.one_of(st.just(""), NAME)
NUMBER = st.from_regex(r"[1-9][0-9]{0,3}(\.[0-9]{1,3})?", fullmatch=True)
MAYBE_NUMBER = st.one_of(st.just(""), NUMBER)
NUMBERS = ("KF-1", "KF-2", "-3", "=4", "P 5")
ACCEPTED_ONLY = ("KF-6", "7 x 7")


@st.composite
def parts(draw: st.DrawFn) -> tuple[Part, ...]:
    """Parts, and with some of them a kit that holds them or a piece that is made of them."""
    alone = draw(_parts_alone())
    held = draw(st.lists(st.sampled_from(alone), unique=True))
    if not held:
        return alone
    many = st.integers(1, 200)
    contents = tuple(PartContent(part=one.number, quantity=draw(many)) for one in held)
    captive = draw(st.booleans())
    whole = Part(number="4 x K", name="Set", contents=contents, captive=captive)
    only = held[0].number if not captive and draw(st.booleans()) else ""
    first = replace(held[0], only_in=only and whole.number)
    others = (first if one is held[0] else one for one in alone)
    return (whole, *others)


def _parts_alone() -> st.SearchStrategy[tuple[Part, ...]]:
    made = st.builds(
        Part,
        number=st.sampled_from(NUMBERS),
        name=NAME,
        kind=st.sampled_from(PartKind),
        thread=MAYBE_NAME,
        length_mm=st.one_of(st.none(), st.integers(1, 5000)),
        drive=MAYBE_NAME,
        head=MAYBE_NAME,
        property_class=MAYBE_NAME,
        coating=MAYBE_NAME,
        mass_g=MAYBE_NUMBER,
        spent_at=st.sampled_from(SpentAt),
        pack_size=st.integers(1, 10_000),
        superseded_by=st.sampled_from(["", "OLD-1"]),
        note=MAYBE,
    )
    assert len(fields(Part)) == 17, "a field was added: make it here too"
    return st.lists(made, min_size=1, unique_by=lambda part: part.number).map(tuple)


READINGS = st.lists(
    st.one_of(
        st.builds(Reading, name=WORDS, unit=MAYBE_NAME, limit=MAYBE_NUMBER),
        st.builds(Reading, name=WORDS, unit=MAYBE_NAME, at_least=MAYBE_NUMBER),
    ),
    max_size=2,
    unique_by=lambda one: one.name.casefold(),
).map(tuple)
CAUTIONS = st.lists(WORDS, max_size=2).map(tuple)


#: None of these is planned anywhere.
ACCEPTED = st.lists(
    st.builds(AcceptedNumber, number=st.sampled_from(ACCEPTED_ONLY), source=WORDS),
    max_size=2,
    unique_by=lambda one: one.number,
).map(tuple)


def _stack() -> st.SearchStrategy[tuple[StackItem, ...]]:
    limited = st.sampled_from(Rule).flatmap(
        lambda rule: st.builds(
            StackItem,
            part=st.sampled_from(NUMBERS),
            per_set=st.integers(1, 20),
            rule=st.just(rule),
            max_uses=st.integers(1, 100) if rule is Rule.LIMITED else st.none(),
            criterion=MAYBE,
            accepts=ACCEPTED,
        )
    )
    return st.lists(limited, min_size=1, max_size=3, unique_by=lambda one: one.part).map(tuple)


STAGES = st.lists(
    st.builds(
        Stage,
        id=st.sampled_from(["torque", "angle", "tick"]),
        words=WORDS,
        torque_nm=MAYBE_NUMBER,
        angle_deg=st.one_of(st.none(), st.integers(1, 720)),
        source=MAYBE,
    ),
    max_size=2,
    unique_by=lambda one: one.id,
).map(tuple)


@st.composite
def _hold(draw: st.DrawFn, ident: str, when: Phase, others: list[str]) -> Hold:
    close_up = when is Phase.REFIT and draw(st.booleans())
    waits = bool(others) and draw(st.booleans())
    assert len(fields(Hold)) == 16, "a field was added: make it here too"
    return Hold(
        id=ident,
        title=draw(WORDS),
        when=when,
        readings=draw(READINGS),
        instrument=draw(st.booleans()),
        witness=draw(st.booleans()),
        high_voltage=draw(st.booleans()),
        qualified=draw(st.sampled_from(["", "high-voltage"])),
        valid_hours=draw(st.one_of(st.none(), st.integers(1, 999))),
        until_shift_end=draw(st.booleans()),
        per_person=draw(st.booleans()),
        wait_minutes=draw(st.integers(1, 9999)) if waits else None,
        wait_after=draw(st.sampled_from(others)) if waits else "",
        equipment=draw(st.lists(st.sampled_from(Equipment), unique=True).map(tuple)),
        close_up=close_up,
        beneath=draw(_some(others)) if close_up else (),
    )


@st.composite
def _step(draw: st.DrawFn, n: int, phases: list[Phase]) -> Step:
    phase, holds = phases[n], draw(st.integers(0, 2))
    strips, refits = phase is not Phase.REFIT, phase is not Phase.STRIP
    # Off after earlier steps, back after later ones: that never makes a ring.
    earlier = [f"s{i}" for i in range(n) if phases[i] is not Phase.REFIT]
    later = [f"s{i}" for i in range(n + 1, len(phases)) if phases[i] is not Phase.STRIP]
    back = [f"s{i}" for i, other in enumerate(phases) if other is not Phase.STRIP]
    when = st.sampled_from(
        [Phase.STRIP, Phase.BOTH] * strips + [Phase.REFIT] * refits
    )  # fmt: skip
    return Step(
        id=f"s{n}",
        number=n * 10,
        title=draw(WORDS),
        zone=draw(MAYBE),
        phase=phase,
        after=draw(_some(earlier if strips else [])),
        refit_after=draw(_some(later if refits else [])),
        hazards=draw(st.lists(st.sampled_from(Hazard), max_size=2).map(tuple)),
        cautions=draw(CAUTIONS),
        holds=tuple(
            draw(_hold(f"h{n}-{i}", draw(when), [f"s{m}" for m in range(len(phases)) if m != n]))
            for i in range(holds)
        ),
        lapses=draw(_some([f"h{n}-{i}" for i in range(holds)])),
        energises=draw(st.booleans()),
        temporaries=tuple(
            draw(
                st.builds(
                    Temporary,
                    id=st.just(f"t{n}-{i}"),
                    words=WORDS,
                    quantity=st.integers(1, 9999),
                    part=st.sampled_from(["", *NUMBERS]),
                    off_before=st.sampled_from(["", *back]),
                )
            )
            for i in range(draw(st.integers(0, 2)))
        ),
        applications=tuple(
            draw(
                st.lists(
                    st.builds(
                        Application,
                        what=WORDS,
                        amount=MAYBE_NUMBER,
                        unit=MAYBE_NAME,
                        when=st.sampled_from(Phase),
                    ),
                    max_size=2,
                )
            )
        ),
        readings=draw(READINGS),
        positions=tuple(
            draw(
                st.builds(
                    Position,
                    id=st.just(f"P{n}-{i}"),
                    where=WORDS,
                    sets=st.integers(1, 9999),
                    stack=_stack(),
                    side=MAYBE,
                    loosen_only=st.booleans(),
                    record=st.sampled_from(Record),
                    stages=STAGES,
                    pattern=MAYBE,
                    critical=st.booleans(),
                    as_found=st.booleans(),
                )
            )
            for i in range(draw(st.integers(0, 2)))
        ),
    )


def _some(names: list[str]) -> st.SearchStrategy[tuple[str, ...]]:
    if not names:
        return st.just(())
    return st.lists(st.sampled_from(names), max_size=2, unique=True).map(tuple)


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    phases = draw(st.lists(st.sampled_from(Phase), min_size=1, max_size=3))
    return Plan(
        key=draw(st.sampled_from(["cover", "ev-pack.1", "A:b_2"])),
        title=draw(WORDS),
        assembly=draw(MAYBE),
        cautions=draw(CAUTIONS),
        steps=tuple(draw(_step(n, phases)) for n in range(len(phases))),
    )
