"""The `datapackage.json` of an export: every table described in the open Data Package format."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from ledger import resources
from ledger.store.allowlist import ColumnRule, schema
from ledger.store.cells import FIELD_TYPES, GUARDED
from ledger.store.keys import foreign_keys

PACKAGE_PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
TABLE_PROFILE = "https://datapackage.org/profiles/2.0/tableschema.json"
_KINDS = ("attempts", "tags", "players", "totals", "box", "shortlist")
# Table columns that go by another name in the files the ledger takes in.
_KNOWN_AS = {"clock_s": "clock", "order_in_game": "order", "number": "number"}
_OWN_WORDS = {
    "id": "Number of the row",
    "source_id": "Source that brought it",
    "removed": "Taken back with its source, kept so that nothing is lost",
    "normal_form": "The form in which a name is the same name",
    "same_as": "Row that stands for both",
    "given": "The record as JSON, where it is not simply the attempt as it stands",
    "line": "Line of the source",
    "at_time": "When, in UTC",
    "tagged_at": "When, in UTC",
    "taken_back": "When the source was taken back, in UTC",
    "who": "Who did it",
}


@dataclass(frozen=True, slots=True)
class Written:
    """A file of an export: path inside the folder, size in bytes, SHA-256, and its rows."""

    path: str
    bytes: int
    sha256: str
    rows: int

    def as_dict(self) -> dict[str, Any]:
        """The properties that Data Package knows for a file."""
        return {"path": self.path, "bytes": self.bytes, "hash": f"sha256:{self.sha256}"}


def describe(
    title: str, created: str, version: int, files: dict[str, tuple[Written, Written]]
) -> dict[str, Any]:
    """The descriptor of a whole export.

    Args:
        title: the ledger's name.
        created: when, ISO text in UTC.
        version: the ledger's format version.
        files: the CSV and the Parquet file of each table.
    """
    return {
        "$schema": PACKAGE_PROFILE,
        "name": "offglass-ledger",
        "title": title,
        "description": "A whole ledger of shot attempts: one CSV file a table, Parquet beside it",
        "created": created,
        "format_version": version,
        "resources": [_resource(t, csv, parquet) for t, (csv, parquet) in files.items()],
    }


def describe_share(
    created: str,
    what: str,
    files: Mapping[str, tuple[Written, Sequence[str]]],
    techniques: Sequence[Mapping[str, object]],
) -> dict[str, Any]:
    """The descriptor of a part for other people, its files as the importer takes them.

    Args:
        created: when, ISO text in UTC.
        what: which attempts, in words.
        files: the CSV files, named after their kind, and their columns without `guarded`.
        techniques: those that tags name: `name`, `uses_board`, `groups`.
    """
    resources_ = []
    for name, (written, columns) in files.items():
        kind = name.partition("_")[0]
        schema_ = _file_schema(kind, columns)
        if kind == "tags":
            keys = ["league", "attempt_id"]
            reference = {"resource": "attempts", "fields": keys}
            schema_["foreignKeys"] = [{"fields": keys, "reference": reference}]
        resources_.append(_csv_resource(name, written) | {"schema": schema_})
    return {
        "$schema": PACKAGE_PROFILE,
        "name": "offglass-share",
        "title": "Attempts and tags for other people",
        "description": what,
        "created": created,
        "techniques": [dict(row) for row in techniques],
        "resources": resources_,
    }


def _file_schema(kind: str, columns: Sequence[str]) -> dict[str, Any]:
    """The columns of a file that the importer takes, as its schema has them."""
    known = {field["name"]: field for field in resources.schema(kind)["fields"]}
    fields = []
    for name in columns:
        field = {
            k: known[name][k] for k in ("name", "type", "description", "unit") if k in known[name]
        }
        # Lengths are left out: a guard makes a text one letter longer.
        rules = {k: v for k, v in known[name].get("constraints", {}).items() if k in _RULES}
        if rules:
            field["constraints"] = rules
        if field["type"] == "boolean":
            field |= {"trueValues": ["true"], "falseValues": ["false"]}
        fields.append(field)
    return {
        "$schema": TABLE_PROFILE,
        "fields": [*fields, _guard_field()],
        "missingValues": [""],
        **({"primaryKey": ["league", "attempt_id"]} if kind == "attempts" else {}),
    }


def table_schema(table: str) -> dict[str, Any]:
    """One table of the ledger in Table Schema, with the guard column of its CSV."""
    columns = schema().columns[table]
    out: dict[str, Any] = {
        "$schema": TABLE_PROFILE,
        "fields": [*(_field(c) for c in columns), _guard_field()],
        "missingValues": [""],
    }
    if columns[0].name == "id":
        out["primaryKey"] = ["id"]
    keys = [
        {
            "fields": [k.column],
            "reference": {"resource": "" if k.to == table else k.to, "fields": ["id"]},
        }
        for k in foreign_keys()
        if k.table == table
    ]
    if keys:
        out["foreignKeys"] = keys
    return out


def _resource(table: str, csv: Written, parquet: Written) -> dict[str, Any]:
    return _csv_resource(table, csv) | {
        "schema": table_schema(table),
        # The same rows for programs that read Parquet, texts as they are.
        "parquet": parquet.as_dict(),
    }


def _csv_resource(name: str, written: Written) -> dict[str, Any]:
    return {
        "name": name,
        "type": "table",
        **written.as_dict(),
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "rows": written.rows,
    }


def _field(column: ColumnRule) -> dict[str, Any]:
    kind = FIELD_TYPES[column.type]
    out: dict[str, Any] = {"name": column.name, "type": kind}
    known = _known_fields().get((_KNOWN_AS.get(column.name, column.name), kind), {})
    description = _OWN_WORDS.get(column.name) or known.get("description")
    if description:
        out["description"] = description
    if "unit" in known:
        out["unit"] = known["unit"]
    if kind == "boolean":
        out |= {"trueValues": ["true"], "falseValues": ["false"]}
    if kind == "datetime":
        out["format"] = "%Y-%m-%dT%H:%M:%S.%f"
    # Lengths are left out: a guard makes a text one letter longer.
    rules = {k: v for k, v in known.get("constraints", {}).items() if k in _RULES}
    if column.required:
        rules["required"] = True
    if rules:
        out["constraints"] = rules
    return out


_RULES = ("enum", "minimum", "maximum")


def _guard_field() -> dict[str, Any]:
    return {
        "name": GUARDED,
        "type": "string",
        "description": "Columns of this row whose text has an apostrophe put in front, so that no "
        "spreadsheet runs it and an empty text is no empty cell; take it off when reading",
    }


@cache
def _known_fields() -> dict[tuple[str, str], dict[str, Any]]:
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for kind in _KINDS:
        for field in resources.schema(kind)["fields"]:
            found.setdefault((field["name"], field["type"]), field)
    return found
