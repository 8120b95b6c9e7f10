"""Answers that are files, and which of two forms of an answer the caller would rather have."""

from __future__ import annotations

from flask import Response, request

from partsvc.api.declared import File

PDF = File(media_type="application/pdf", says="A PDF to print.")
PNG = File(media_type="image/png", says="A black and white picture, dot for dot as printed.")
JPEG = File(media_type="image/jpeg", says="The photo.")
CSV = File(media_type="text/csv", says="A table.")
LINES = File(media_type="application/x-ndjson", says="One JSON object a line.")


def file(content: bytes | str, kind: File, *, name: str = "") -> Response:
    """A file as an answer, shown in place under a name to save it by."""
    text = isinstance(content, str) or kind.media_type.startswith("text/")
    response = Response(
        content, content_type=f"{kind.media_type}; charset=utf-8" if text else kind.media_type
    )
    if name:
        response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return response


def rather(kind: File) -> bool:
    """Whether the caller would rather have the file than JSON."""
    best = request.accept_mimetypes.best_match(["application/json", kind.media_type])
    return best == kind.media_type
