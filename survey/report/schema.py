"""The published JSON Schema of the fit report, made from its structs."""

from __future__ import annotations

import json
from typing import Any

import msgspec

from survey.report.structs import FitReport


def report_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of the fit report.

    >>> report_schema()["$id"]
    'urn:scribefit:fit-report:1'
    """
    (report,), parts = msgspec.json.schema_components([FitReport], ref_template="#/$defs/{name}")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:scribefit:fit-report:1",
        "title": "Scribefit fit report",
        **report,
        "$defs": parts,
    }


if __name__ == "__main__":
    print(json.dumps(report_schema(), indent=1, ensure_ascii=False))
