"""What the ledger has of an act that was done in the browser, waited for."""

from __future__ import annotations

from typing import Any

from floor import Floor, wait_until


def recorded(floor: Floor, kind: str, **told: Any) -> dict[str, Any]:
    """The newest act of this kind with these members; waits until there is one."""
    found: list[dict[str, Any]] = []

    def there() -> bool:
        found[:] = [
            act
            for act in floor.acts(floor.van.job)
            if act["kind"] == kind and told.items() <= act["request"].items()
        ]
        return bool(found)

    wait_until(there, f"{kind} {told} is in the ledger")
    return found[-1]
