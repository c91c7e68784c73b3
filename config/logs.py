"""Log lines: one JSON object each, to stderr, with the request they belong to.

A line never carries a body, a query string or a header, so no PIN and no token gets in.
"""

import json
import logging
from contextvars import ContextVar
from datetime import UTC, datetime

request_id: ContextVar[str] = ContextVar("request_id", default="")

EXTRA = ("method", "route", "status", "ms", "job", "kind")


class Lines(logging.Formatter):
    """Write a record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        line = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
        }
        if request_id.get():
            line["request"] = request_id.get()
        line |= {key: getattr(record, key) for key in EXTRA if hasattr(record, key)}
        if record.exc_info:
            line["trace"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False, default=str)
