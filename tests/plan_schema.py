"""plan.json held to the JSON Schema that the package carries, by a library of its own."""

from __future__ import annotations

import json
from typing import Any

from jsonschema import Draft202012Validator

from nesting.output.files.schema import FOLDER

SCHEMA: dict[str, Any] = json.loads((FOLDER / "plan.schema.json").read_text(encoding="utf-8"))
TABLES: dict[str, dict[str, Any]] = {"PlanRecord": SCHEMA} | {
    name: table for name, table in SCHEMA["$defs"].items() if "properties" in table
}
PLAN = Draft202012Validator(SCHEMA)
COMPARISON = Draft202012Validator(
    json.loads((FOLDER / "compare.schema.json").read_text(encoding="utf-8"))
)


def told(data: Any, judge: Draft202012Validator = PLAN) -> list[str]:
    """All that the schema has against a plan, each with its place."""
    return [f"{fault.json_path}: {fault.message[:200]}" for fault in judge.iter_errors(data)]
