"""Over TLS the pages open with no line; a browser that trusts the authority has no warning."""

from __future__ import annotations

import http.client
import os
import socket
import ssl
import subprocess
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from floor import CHROMIUM, SWITCHES, Floor, answers, copied, floor, free_port, wait_until
from playwright.sync_api import Browser, expect

from partsvc.tls.certificates import AUTHORITY, certificates_for, good_until

NOW = datetime(2030, 1, 1, tzinfo=UTC)


def trusting(browser: Browser, home: Path, authority: Path) -> Browser:
    """A browser of its own on a device that was told to trust the authority, as /trust says."""
    store = home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    for asked in (["-N", "--empty-password"],
                  ["-A", "-t", "C,,", "-n", "workshop", "-i", str(authority)]):  # fmt: skip
        subprocess.run(["certutil", "-d", f"sql:{store}", *asked], check=True)
    return browser.browser_type.launch(
        executable_path=CHROMIUM, args=SWITCHES, env={**os.environ, "HOME": str(home)}
    )


def test_a_device_that_trusts_the_service_opens_its_pages_with_no_line(
    tmp_path: Path, stage: Callable[[str], Path], browser: Browser
) -> None:
    folder = copied(stage("opened"), tmp_path / "data")
    with floor(folder, browser, "--tls", "--tls-name", "bench.lan") as shop:
        shop.tls = True
        shop.browser = trusting(browser, tmp_path / "home", folder / "tls" / AUTHORITY)
        page = shop.device("tove", host="bench.lan")
        page.goto(shop.url(f"/bench/{shop.van.job}", host="bench.lan"))
        page.evaluate("navigator.serviceWorker.ready")
        page.reload()
        expect(page.locator("section.step").first).to_be_attached()

        shop.kill()
        page.reload()
        expect(page.locator("#line")).to_have_attribute("data-state", "gone")
        expect(page.locator("section.step").first).to_be_attached()
        page.goto(shop.url("/lead/never-opened", host="bench.lan"))
        expect(page.locator("h1")).to_contain_text("No line to the service")
        shop.browser.close()
        shop.contexts.clear()


def test_the_certificate_leads_to_the_authority_that_is_handed_out(tmp_path: Path) -> None:
    names = ["bench.lan", "10.0.0.7"]
    pair = certificates_for(tmp_path / "tls", names, datetime.now(UTC))

    found = subprocess.run(
        ["openssl", "verify", "-x509_strict", "-verify_hostname", "bench.lan",
         "-CAfile", str(tmp_path / "tls" / AUTHORITY), str(pair.certificate)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    stranger = subprocess.run(
        ["openssl", "verify", "-verify_hostname", "elsewhere.example",
         "-CAfile", str(tmp_path / "tls" / AUTHORITY), str(pair.certificate)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert found.returncode == 0, found.stderr
    assert "hostname mismatch" in stranger.stderr.lower()
    assert (tmp_path / "tls" / "authority-key.pem").stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "tls" / "service-key.pem").stat().st_mode & 0o777 == 0o600


def test_a_certificate_is_kept_renewed_before_its_end_and_made_anew_for_a_new_name(
    tmp_path: Path,
) -> None:
    folder = tmp_path / "tls"
    pair = certificates_for(folder, ["bench.lan"], NOW)
    first, authority = pair.certificate.read_bytes(), (folder / AUTHORITY).read_bytes()

    certificates_for(folder, ["bench.lan"], NOW + timedelta(days=300))
    kept = pair.certificate.read_bytes()
    certificates_for(folder, ["bench.lan"], NOW + timedelta(days=380))
    renewed = pair.certificate.read_bytes()
    certificates_for(folder, ["bench.lan", "192.168.7.20"], NOW + timedelta(days=380))
    moved = pair.certificate.read_bytes()

    assert kept == first
    assert renewed != first
    assert good_until(pair) > NOW + timedelta(days=700)
    assert moved != renewed
    assert (folder / AUTHORITY).read_bytes() == authority
    certificates_for(folder, ["another.example"], NOW + timedelta(days=380))
    assert (folder / AUTHORITY).read_bytes() != authority


def test_a_silent_device_holds_nobody_up_and_people_are_told_apart(
    tmp_path: Path, stage: Callable[[str], Path], browser: Browser
) -> None:
    """Devices that connect and say nothing; and sign-ins are paced for each device by itself."""
    folder = copied(stage("opened"), tmp_path / "data")
    shop = Floor(folder, browser)
    shop.port = free_port()
    shop.serve("--tls")
    try:
        wait_until(lambda: answers(shop.port), "the service answers")
        silent = [socket.create_connection(("127.0.0.1", shop.port)) for _ in range(20)]
        trusted = ssl.create_default_context(cafile=str(folder / "tls" / AUTHORITY))
        tries = [_wrong_password(shop.port, trusted, "127.0.0.2") for _ in range(12)]
        assert tries[0] == 401
        assert tries[-1] == 429
        assert _wrong_password(shop.port, trusted, "127.0.0.3") == 401
        for one in silent:
            one.close()
    finally:
        shop.kill()


def _wrong_password(port: int, trusted: ssl.SSLContext, device: str) -> int:
    line = http.client.HTTPSConnection(
        "127.0.0.1", port, context=trusted, timeout=10, source_address=(device, 0)
    )
    body = '{"login": "tove", "password": "not it"}'
    line.request("POST", "/api/v1/session", body, {"Content-Type": "application/json"})
    status = line.getresponse().status
    line.close()
    return status


def test_the_page_that_hands_the_authority_out(opened_van: Floor) -> None:
    page = opened_van.device()
    page.goto(opened_van.url("/trust"))

    expect(page.locator("main")).to_contain_text("makes no certificate of its own")
