"""Pages of lists: a cursor in, a Link header to the next page out (RFC 8288)."""

from __future__ import annotations

from urllib.parse import urlencode

from flask import request

LINK_HEADER = {
    "Link": {
        "description": 'The next page: `<…>; rel="next"`; not there on the last one.',
        "schema": {"type": "string"},
    }
}


def next_page(parameter: str, cursor: object) -> dict[str, str]:
    """The headers of a page that has another after it, from `cursor` on; none without a cursor."""
    if cursor in (None, ""):
        return {}
    asked = request.args.to_dict() | {parameter: str(cursor)}
    return {"Link": f'<{request.path}?{urlencode(asked)}>; rel="next"'}
