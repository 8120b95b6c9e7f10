"""Settings are checked before anything opens."""

from __future__ import annotations

from pathlib import Path

import pytest

from partsvc.config import SettingFault, Settings, from_environment


def test_settings_come_from_the_environment() -> None:
    found = from_environment(
        {
            "PARTSVC_FOLDER": "/data",
            "PARTSVC_PORT": "9000",
            "PARTSVC_ZONE": "Europe/Berlin",
            "PARTSVC_PUBLIC_ADDRESS": "https://parts.example/",
            "PARTSVC_JSON_BYTES": "2048",
            "HOME": "/root",
        }
    )

    assert found == Settings(
        folder=Path("/data"),
        port=9000,
        zone="Europe/Berlin",
        public_address="https://parts.example",
        json_bytes=2048,
    )


@pytest.mark.parametrize(
    ("variable", "value", "named"),
    [
        ("PARTSVC_FOLDER", "", "PARTSVC_FOLDER"),
        ("PARTSVC_PORT", "0", "port"),
        ("PARTSVC_PORT", "65536", "port"),
        ("PARTSVC_PORT", "http", "port"),
        ("PARTSVC_ZONE", "Mars/Olympus", "zone"),
        ("PARTSVC_ZONE", "../etc/passwd", "zone"),
        ("PARTSVC_PUBLIC_ADDRESS", "parts.example", "public_address"),
        ("PARTSVC_JSON_BYTES", "10", "json_bytes"),
        ("PARTSVC_SIGN_INS_AT_ONCE", "0", "sign_ins_at_once"),
    ],
)
def test_a_setting_that_cannot_be_is_named(variable: str, value: str, named: str) -> None:
    with pytest.raises(SettingFault, match=named):
        from_environment({"PARTSVC_FOLDER": "/data", variable: value})
