"""The JSON Schemas of plan.json and compare.json, made of the types that fill them.

Run as a module it writes the files of schemas, which the package carries.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter
from pydantic.json_schema import GenerateJsonSchema

from nesting.output.files.records import ComparisonRecord, PlanRecord

FOLDER = Path(__file__).parent
SCHEMAS: dict[str, type[Any]] = {
    "plan.schema.json": PlanRecord,
    "compare.schema.json": ComparisonRecord,
}
"""The file of each schema, and the type that it is made of."""
_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_UNITS = {"_mm": "In mm.", "_mm2": "In square mm.", "_deg": "In degrees."}
"""What a key's ending says."""


class _Untitled(GenerateJsonSchema):
    def field_title_should_be_set(self, schema: Any) -> bool:
        """Whether a key is its own title too: never, as that would say nothing more."""
        return False


def schema_of(kind: type[Any]) -> dict[str, Any]:
    """The schema of a type of file, with the meaning and the unit of every key."""
    whole = TypeAdapter(kind).json_schema(schema_generator=_Untitled)
    for table in (whole, *whole["$defs"].values()):
        table["description"] = " ".join(table["description"].split())
        for key, value in table.get("properties", {}).items():
            units = [unit for ending, unit in _UNITS.items() if key.endswith(ending)]
            value["description"] = " ".join([*value["description"].split(), *units])
    return {"$schema": _DIALECT, **whole}


def schema_text(kind: type[Any]) -> str:
    """The schema as its file has it."""
    return json.dumps(schema_of(kind), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    for name, kind in SCHEMAS.items():
        (FOLDER / name).write_text(schema_text(kind), encoding="utf-8")
