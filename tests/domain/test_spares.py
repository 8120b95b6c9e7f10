"""Spares: neither run out on the last afternoon nor fill the shelf."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from published_values import rows
from scipy.stats import betabinom

from partsvc.domain.spares import OTHER, PRIORS, Beta, breakage, spares, why


def beta(alpha, beta_):
    return Beta(Fraction(alpha), Fraction(beta_))


def named(row):
    return "-".join(row[k] for k in ("model", "n", "p", "alpha", "beta", "service_level"))


@pytest.mark.parametrize(
    "row", rows("spares_quantiles", where=lambda row: row["model"] == "beta-binomial"), ids=named
)
def test_the_number_of_spares_is_the_computed_one(row):
    # scipy 1.17.1, betabinom.ppf.
    prior = beta(row["alpha"], row["beta"])

    number = spares(
        int(row["n"]),
        seen_broken=0,
        seen_total=0,
        prior=prior,
        level=Fraction(row["service_level"]),
    )

    assert number == int(row["spares_k"])


@pytest.mark.parametrize(
    "row", rows("spares_quantiles", where=lambda row: row["model"] == "binomial"), ids=named
)
def test_a_rate_known_for_certain_gives_the_binomial_number(row):
    # scipy 1.17.1, binom.ppf: the limit of having seen a billion of them.
    rate, pieces = Fraction(row["p"]), 10**9

    number = spares(
        int(row["n"]),
        seen_broken=0,
        seen_total=0,
        prior=Beta(rate * pieces, (1 - rate) * pieces),
        level=Fraction(row["service_level"]),
    )

    assert number == int(row["spares_k"])


def test_five_of_48_seen_broken_are_the_same_as_the_posterior():
    # 5 of 48 and the flat prior make Beta(6, 44): 10 spares for 40, as in the table above.
    assert spares(40, seen_broken=5, seen_total=48, prior=beta(1, 1)) == 10


def test_the_more_was_seen_at_one_mean_the_fewer_spares():
    known = [beta(6, 44), beta(12, 88), beta(120, 880)]

    assert [spares(40, seen_broken=0, seen_total=0, prior=b) for b in known] == [10, 9, 8]


def test_no_prior_is_flat_and_none_orders_the_shelf_full():
    flat = spares(40, seen_broken=0, seen_total=0, prior=beta(1, 1))
    numbers = [
        spares(40, seen_broken=0, seen_total=0, prior=known.prior) for known in (*PRIORS, OTHER)
    ]

    assert flat == 38
    assert max(numbers) <= 10
    assert all(known.prior.mean < Fraction(1, 10) for known in (*PRIORS, OTHER))


def test_what_the_workshop_sees_outweighs_the_prior():
    clips = breakage("clip").prior

    assert spares(40, seen_broken=0, seen_total=400, prior=clips) == 1
    assert spares(40, seen_broken=100, seen_total=400, prior=clips) > 10


def test_a_kind_without_a_prior_of_its_own_is_a_part_like_any():
    assert breakage("grommet") == OTHER


PRIOR = st.builds(
    Beta,
    st.fractions(min_value="1/100", max_value=50, max_denominator=100),
    st.fractions(min_value="1/100", max_value=50, max_denominator=100),
)
LEVELS = st.fractions(min_value="1/100", max_value="999/1000", max_denominator=1000)


@given(st.integers(0, 60), PRIOR, LEVELS)
def test_it_is_the_smallest_number_that_suffices(n, prior, level):
    k = spares(n, seen_broken=0, seen_total=0, prior=prior, level=level)
    chance = betabinom(n, float(prior.alpha), float(prior.beta)).cdf if n else lambda k: k >= 0

    assert chance(k) >= float(level) - 1e-9
    assert chance(k - 1) < float(level) + 1e-9


@given(st.integers(0, 40), PRIOR, st.integers(0, 20), st.integers(0, 20))
def test_seeing_more_of_them_break_never_lowers_the_number(n, prior, broken, whole):
    total = broken + whole

    fewer = spares(n, seen_broken=broken, seen_total=total + 1, prior=prior)
    more = spares(n, seen_broken=broken + 1, seen_total=total + 1, prior=prior)

    assert fewer <= more <= n


@given(PRIOR, LEVELS)
def test_more_pieces_never_need_fewer_spares(prior, level):
    numbers = [spares(n, seen_broken=0, seen_total=0, prior=prior, level=level) for n in range(25)]

    assert all(one <= next_one <= one + 1 for one, next_one in pairwise(numbers))


def test_the_edges():
    def number(n, prior, level):
        return spares(n, seen_broken=0, seen_total=0, prior=prior, level=Fraction(level))

    assert number(0, beta(6, 44), "0.95") == 0
    assert number(40, beta(0, 1), "0.95") == 0
    assert number(40, beta(0, 1), 1) == 0
    assert number(40, beta(1, 0), "0.95") == 40
    assert number(40, beta(6, 44), 0) == 0
    assert number(40, beta(6, 44), 1) == 40


def test_a_large_number_stays_exact():
    assert spares(1_000, seen_broken=5, seen_total=48, prior=beta(1, 1)) == int(
        betabinom(1_000, 6, 44).ppf(0.95)
    )


@pytest.mark.parametrize(
    ("n", "broken", "total", "level", "words"),
    [
        (-1, 0, 0, "0.95", "not negative"),
        (4, 3, 2, "0.95", "none to all"),
        (4, -1, 2, "0.95", "none to all"),
        (4, 0, 0, "1.01", "between 0 and 1"),
        (4, 0, 0, "-0.01", "between 0 and 1"),
    ],
)
def test_what_cannot_be_is_refused(n, broken, total, level, words):
    with pytest.raises(ValueError, match=words):
        spares(n, seen_broken=broken, seen_total=total, prior=beta(1, 9), level=Fraction(level))


@pytest.mark.parametrize(("alpha", "beta_"), [(0, 0), (-1, 2), (2, -1)])
def test_a_prior_must_mean_something(alpha, beta_):
    with pytest.raises(ValueError, match="not both zero"):
        beta(alpha, beta_)


@pytest.mark.parametrize(
    ("order", "words"),
    [
        ((2, 3, "clip", 5, 48), "2 needed + 3 spare: of 48 clips like these 5 broke"),
        ((2, 0, "bolt", 0, 48), "2 needed, no spare: of 48 bolts like these none broke"),
        ((1, 1, "clamp", 1, 1), "1 needed + 1 spare: of 1 clamp like this 1 broke"),
        (
            (0, 2, "grommet", 0, 0),
            "0 needed + 2 spare: no parts like these were seen yet, "
            "so this rests on a general judgement",
        ),
    ],
)
def test_the_reason_is_told_in_words(order, words):
    needed, spare, kind, broken, total = order

    assert why(needed, spare, kind=kind, seen_broken=broken, seen_total=total) == words
