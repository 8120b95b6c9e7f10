"""Who comes in by the pages' door: the cookie, and what it is good for."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from http_bench import HttpBench
from werkzeug.test import TestResponse

from partsvc.work.people import PersonChange
from partsvc.work.people import change as change_person
from partsvc.work.people import person as find_person

PASSWORD = "a long enough word"
REMARK = {"kind": "remark", "words": "told by a page"}


@pytest.fixture
def shop(tmp_path: object) -> HttpBench:
    """A workshop whose technician has a password."""
    opened = HttpBench.opened(tmp_path / "workshop")  # type: ignore[operator]
    service = opened.ledger.service
    with service.database.writing() as db:
        found = find_person(service, db, "tech")
        change_person(service, db, found, PersonChange(password=PASSWORD))
    return opened


def signed_in(shop: HttpBench) -> FlaskClient:
    """A browser in which the technician has signed in."""
    browser = shop.app.test_client()
    given = {"login": "tech", "password": PASSWORD, "device": "phone 1", "next": "/me"}
    answer = browser.post("/sign-in", data=given)
    assert answer.status_code == 302, answer.text
    assert answer.location == "/me"
    return browser


def tell(browser: FlaskClient, shop: HttpBench, job: str, **headers: str) -> TestResponse:
    """A remark, as a page's script posts it."""
    return browser.post(
        f"/api/v1/jobs/{job}/acts", json={"key": shop.ledger.new_key(), **REMARK}, headers=headers
    )


def test_the_token_is_out_of_reach_of_scripts_and_of_other_sites(shop: HttpBench) -> None:
    browser = shop.app.test_client()
    given = {"login": "tech", "password": PASSWORD, "next": "/"}
    answer = browser.post("/sign-in", data=given)
    (cookie,) = [one for one in answer.headers.getlist("Set-Cookie") if "partsvc=" in one]

    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie


def test_the_cookie_is_good_for_looking_and_for_acts_of_our_own_pages_only(
    shop: HttpBench,
) -> None:
    browser, job = signed_in(shop), shop.open_job()

    assert browser.get(f"/api/v1/jobs/{job}").status_code == 200
    assert tell(browser, shop, job).status_code == 401
    assert tell(browser, shop, job, **{"X-Partsvc-Page": "1"}).status_code == 201


def test_a_form_of_another_site_changes_nothing(shop: HttpBench) -> None:
    browser = signed_in(shop)

    for headers in ({"Origin": "https://elsewhere.example"}, {"Sec-Fetch-Site": "cross-site"}):
        answer = browser.post("/me", data={"language": "de"}, headers=headers)
        assert answer.status_code == 403
    assert 'lang="en"' in browser.get("/me").text


@pytest.mark.parametrize(
    "to", ["https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example", "me"]
)
def test_signing_in_leads_to_no_other_site(shop: HttpBench, to: str) -> None:
    given = {"login": "tech", "password": PASSWORD, "next": to}

    assert shop.app.test_client().post("/sign-in", data=given).location == "/"


def test_a_wrong_password_keeps_what_was_typed_and_many_are_slowed_down(shop: HttpBench) -> None:
    browser = shop.app.test_client()
    given = {"login": "tech", "password": "not it", "device": "phone 1"}
    answers = [browser.post("/sign-in", data=given) for _ in range(12)]

    assert answers[0].status_code == 401
    assert 'value="tech"' in answers[0].text
    assert "not it" not in answers[0].text
    assert answers[-1].status_code == 429


def test_signed_out_is_signed_out(shop: HttpBench) -> None:
    browser = signed_in(shop)
    kept = browser.get_cookie("partsvc")
    assert kept is not None
    browser.post("/sign-out")
    browser.set_cookie("partsvc", kept.value)

    assert browser.get("/me").location.startswith("/sign-in?next=/me")


def test_every_page_lets_nothing_in_from_elsewhere(shop: HttpBench) -> None:
    browser, job = signed_in(shop), shop.open_job()

    for path in ("/", "/me", f"/bench/{job}", "/nothing-here"):
        policy = browser.get(path).headers["Content-Security-Policy"]
        assert "default-src 'self'" in policy
        assert "unsafe" not in policy


def test_what_people_write_is_text_and_no_page(shop: HttpBench) -> None:
    browser = signed_in(shop)
    nasty = "<script>alert(1)</script>\" onload='x' </script>"
    job = shop.open_job()
    shop.act(job, "remark", words=nasty)
    changed = shop.get(f"/jobs/{job}")
    shop.send(
        "PATCH", f"/jobs/{job}", "lead", json={"title": nasty},
        headers={"If-Match": changed.headers["ETag"]},
    )  # fmt: skip

    for path in ("/", f"/bench/{job}", f"/check/{job}", f"/print/{job}"):
        page = browser.get(path)
        assert page.status_code == 200
        assert "<script>alert" not in page.text
        assert "&lt;script&gt;" in page.text or path == f"/print/{job}"


def test_a_page_that_breaks_says_so_without_its_inside(shop: HttpBench) -> None:
    browser = signed_in(shop)
    shop.app.testing = False
    shop.app.view_functions["front.me"] = lambda: 1 / 0
    answer = browser.get("/me")

    assert answer.status_code == 500
    assert "The service has a fault" in answer.text
    assert "ZeroDivision" not in answer.text
