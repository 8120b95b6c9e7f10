"""The interactive page of the API document, served from an installed package, without internet."""

from __future__ import annotations

from flask import Flask
from flask_swagger_ui import get_swaggerui_blueprint

from partsvc.api.document import BASE


def mount_docs(app: Flask) -> None:
    """Put the page at /api/v1/docs."""
    page = get_swaggerui_blueprint(
        f"{BASE}/docs",
        f"{BASE}/openapi.json",
        # The page would otherwise ask a service on the internet whether the document is valid.
        config={
            "app_name": "partsvc",
            "validatorUrl": None,
            "persistAuthorization": True,
            "layout": "BaseLayout",
        },
        blueprint_name="docs",
    )
    app.register_blueprint(page)
