"""Each rule with a change that it is about and a like one that it is not about; nothing that differs goes unnoticed."""

import copy
import json
import re
from collections.abc import Callable, Iterator
from functools import reduce
from pathlib import Path
from typing import Any

import pytest

from service.api.app import create_app
from service.api.document import openapi_document
from service.config import Settings
from service.contract.documents import differences
from service.contract.intended import listed_for_nothing, unintended
from service.contract.rules import RULES, Change

OPENAPI = Path(__file__).parents[2] / "openapi"
RELEASED = json.loads((OPENAPI / "released.json").read_text())
INTENDED = json.loads((OPENAPI / "intended.json").read_text())

Json = dict[str, Any]


def small() -> Json:
    """A document with one of everything that the rules are about."""
    sent = {
        "type": "object",
        "additionalProperties": False,
        "required": ["length_mm"],
        "properties": {
            "length_mm": {"type": "integer", "minimum": 1, "maximum": 100_000},
            "name": {"type": ["string", "null"], "maxLength": 200, "default": None},
            "kind": {"type": "string", "enum": ["brick", "stone"], "default": "brick"},
            "marks": {"type": "array", "maxItems": 5, "items": {"$ref": "#/components/schemas/Mark"}},
        },
    }
    mark = {"type": "object", "properties": {"x_mm": {"type": "number", "minimum": 0}}}
    answered = {
        "type": "object",
        "required": ["id", "kind"],
        "properties": {
            "id": {"type": "string", "format": "uuid"},
            "kind": {"type": "string", "enum": ["brick", "stone"]},
            "mass_kg": {"type": "number", "maximum": 1000},
            "price": {"anyOf": [{"$ref": "#/components/schemas/Price"}, {"type": "null"}]},
        },
    }
    price = {"type": "object", "required": ["amount"], "properties": {"amount": {"type": "string"}}}
    problem = {"description": "No.", "content": {"application/problem+json": {"schema": {"type": "object"}}}}
    operation = {
        "operationId": "createWall",
        "tags": ["Walls"],
        "security": [{"apiKey": ["write"]}],
        "parameters": [
            {"$ref": "#/components/parameters/If-Match"},
            {"name": "dry", "in": "query", "schema": {"type": "boolean"}},
        ],
        "requestBody": {"content": {"application/json": {"schema": {"$ref": "#/components/schemas/WallCreate"}}}},
        "responses": {
            "201": {
                "headers": {"ETag": {}},
                "links": {"getWall": {}},
                "content": {"application/json": {"schema": {"$ref": "#/components/schemas/Wall"}}},
            },
            "422": {"$ref": "#/components/responses/Problem422"},
        },
    }
    return {
        "openapi": "3.1.1",
        "paths": {
            "/v1/walls/{wall_id}": {
                "parameters": [{"name": "wall_id", "in": "path", "required": True, "schema": {"type": "string"}}],
                "post": operation,
                "delete": {"operationId": "deleteWall", "responses": {"204": {"description": "Done."}}},
            }
        },
        "components": {
            "schemas": {"WallCreate": sent, "Mark": mark, "Wall": answered, "Price": price},
            "parameters": {"If-Match": {"name": "If-Match", "in": "header", "schema": {"type": "string", "maxLength": 100}}},
            "responses": {"Problem422": problem},
        },
        "x-problem-types": {"/docs#conflict": {"status": 409, "title": "Conflict", "description": "It stands in the way."}},
    }


class Editor:
    """Parts of a copy of the small document, to be changed."""

    def __init__(self) -> None:
        self.document = small()
        self.paths = self.document["paths"]
        self.item = self.paths["/v1/walls/{wall_id}"]
        self.post = self.item["post"]
        self.made = self.post["responses"]["201"]
        shapes = self.document["components"]["schemas"]
        self.shapes = shapes
        self.sent, self.answered = shapes["WallCreate"], shapes["Wall"]
        self.sends, self.answers = self.sent["properties"], self.answered["properties"]


NOTHING_WITHOUT = {"description", "$ref", "name", "in", "schema", "responses", "schemas", "parameters", "components", "paths"}
NOTHING_WITHOUT |= {"If-Match", "Problem422", "WallCreate", "Mark", "Wall", "Price"}
"""Either for people only, or the document is none without it."""

Edit = Callable[[Editor], Any]

BREAKING: list[tuple[str, str, Edit]] = [
    ("B1", "/v1/walls/{wall_id}", lambda d: d.paths.pop("/v1/walls/{wall_id}")),
    ("B1", "/v1/walls/{wall_id}", lambda d: d.paths.update({"/v1/walls/{id}": d.paths.pop("/v1/walls/{wall_id}")})),
    ("B2", "DELETE /v1/walls/{wall_id}", lambda d: d.item.pop("delete")),
    ("B3", "POST /v1/walls/{wall_id}", lambda d: d.post.update(operationId="addWall")),
    ("B4", "POST /v1/walls/{wall_id}", lambda d: d.post.update(tags=["Surveys"])),
    ("B5", "POST /v1/walls/{wall_id}", lambda d: d.post.update(security=[{"apiKey": ["admin"]}])),
    ("B5", "DELETE /v1/walls/{wall_id}", lambda d: d.item["delete"].update(security=[{"apiKey": []}])),
    ("B6", "POST /v1/walls/{wall_id} 422", lambda d: d.post["responses"].pop("422")),
    ("B6", "POST /v1/walls/{wall_id} 202", lambda d: d.post["responses"].update({"202": {}})),
    ("B7", "POST /v1/walls/{wall_id} 201 application/json", lambda d: d.made["content"].clear()),
    ("B7", "POST /v1/walls/{wall_id} body application/json", lambda d: d.post.pop("requestBody")),
    ("B8", "POST /v1/walls/{wall_id} 201 ETag", lambda d: d.made["headers"].clear()),
    ("B8", "POST /v1/walls/{wall_id} 201 getWall", lambda d: d.made["links"].clear()),
    ("B9", "POST /v1/walls/{wall_id} query dry", lambda d: d.post["parameters"].pop()),
    ("B10", "POST /v1/walls/{wall_id} query dry", lambda d: d.post["parameters"][1].update(required=True)),
    ("B10", "POST /v1/walls/{wall_id} query by", lambda d: d.post["parameters"].append(
        {"name": "by", "in": "query", "required": True, "schema": {}})),
    ("B10", "POST /v1/walls/{wall_id} body", lambda d: d.post["requestBody"].update(required=True)),
    ("B11", "WallCreate.name in requests", lambda d: d.sends.pop("name")),
    ("B12", "WallCreate.kind in requests", lambda d: d.sent["required"].append("kind")),
    ("B12", "WallCreate.depth_mm in requests", lambda d: (d.sends.update(depth_mm={}), d.sent["required"].append("depth_mm"))),
    ("B13", "WallCreate.name in requests", lambda d: d.sends["name"].update(type="string")),
    ("B13", "Mark.x_mm in requests", lambda d: d.shapes["Mark"]["properties"]["x_mm"].update(type="integer")),
    ("B13", "Mark in requests", lambda d: d.shapes["Mark"].update(additionalProperties=False)),
    ("B14", "WallCreate.length_mm in requests", lambda d: d.sends["length_mm"].update(minimum=10)),
    ("B14", "WallCreate.length_mm in requests", lambda d: d.sends["length_mm"].update(maximum=99_999)),
    ("B14", "WallCreate.length_mm in requests", lambda d: d.sends["length_mm"].update(multipleOf=5)),
    ("B14", "WallCreate.name in requests", lambda d: d.sends["name"].update(minLength=1)),
    ("B14", "WallCreate.marks in requests", lambda d: d.sends["marks"].update(maxItems=4)),
    ("B14", "WallCreate.marks in requests", lambda d: d.sends["marks"].update(uniqueItems=True)),
    ("B14", "parameter If-Match",
     lambda d: d.document["components"]["parameters"]["If-Match"]["schema"].update(maxLength=50)),
    ("B15", "WallCreate.name in requests", lambda d: d.sends["name"].update(pattern="^[a-z]*$")),
    ("B15", "WallCreate.name in requests", lambda d: d.sends["name"].update(format="uuid")),
    ("B16", "WallCreate.kind in requests", lambda d: d.sends["kind"]["enum"].remove("stone")),
    ("B16", "WallCreate.name in requests", lambda d: d.sends["name"].update(enum=["a", None])),
    ("B17", "WallCreate.kind in requests", lambda d: d.sends["kind"].update(default="stone")),
    ("B17", "WallCreate.name in requests", lambda d: d.sends["name"].pop("default")),
    ("B18", "Wall.mass_kg in answers", lambda d: d.answers.pop("mass_kg")),
    ("B19", "Wall.kind in answers", lambda d: d.answered["required"].remove("kind")),
    ("B20", "Wall.mass_kg in answers", lambda d: d.answers["mass_kg"].update(type=["number", "null"])),
    ("B20", "Wall.kind in answers", lambda d: d.answers["kind"].update(type=["string", "integer"])),
    ("B21", "Wall.kind in answers", lambda d: d.answers["kind"]["enum"].append("timber")),
    ("B21", "Wall.kind in answers", lambda d: d.answers["kind"].pop("enum")),
    ("B22", "Wall.mass_kg in answers", lambda d: d.answers["mass_kg"].update(maximum=2000)),
    ("B22", "Wall.mass_kg in answers", lambda d: d.answers["mass_kg"].pop("maximum")),
    ("B22", "Wall.id in answers", lambda d: d.answers["id"].pop("format")),
    ("B23", "Wall.price in answers", lambda d: (
        d.shapes.update(Money=d.shapes.pop("Price")),
        d.answers["price"]["anyOf"][0].update({"$ref": "#/components/schemas/Money"}))),
    ("B23", "POST /v1/walls/{wall_id} 201",
     lambda d: d.made["content"]["application/json"].update(schema=d.answered)),
    ("B24", "/docs#conflict", lambda d: d.document["x-problem-types"].clear()),
    ("B24", "/docs#conflict", lambda d: d.document["x-problem-types"]["/docs#conflict"].update(title="Clash")),
    ("B24", "/docs#conflict", lambda d: d.document["x-problem-types"]["/docs#conflict"].update(status=422)),
    ("B25", "WallCreate.length_mm in requests", lambda d: d.sends["length_mm"].update(const=7)),
    ("B25", "document", lambda d: d.document.update(openapi="3.2.0")),
    ("B25", "POST /v1/walls/{wall_id}", lambda d: d.post.update(callbacks={"done": {}})),
]  # fmt: skip

HARMLESS: list[Edit] = [
    lambda d: d.paths.update({"/v1/rooms": {}}),
    lambda d: d.item.update(put={"operationId": "putWall", "responses": {}}),
    lambda d: d.post.update(security=[{"apiKey": []}]),
    lambda d: d.post.update(deprecated=True),
    lambda d: d.post["responses"].update({"409": {}}),
    lambda d: d.post["parameters"].append({"name": "by", "in": "query", "schema": {}}),
    lambda d: d.made["content"].update({"text/csv": {"schema": {}}}),
    lambda d: d.sends.update(depth_mm={"type": "integer"}),
    lambda d: d.sent["required"].remove("length_mm"),
    lambda d: d.sends["length_mm"].update(type="number", minimum=0),
    lambda d: d.sends["length_mm"].pop("maximum"),
    lambda d: d.sends["kind"]["enum"].append("timber"),
    lambda d: d.sends["kind"].pop("enum"),
    lambda d: d.answers.update(depth_mm={"type": "integer"}),
    lambda d: d.answered["required"].append("mass_kg"),
    lambda d: d.answers["mass_kg"].update(type="integer", maximum=500),
    lambda d: d.answers["kind"]["enum"].remove("stone"),
    lambda d: d.answers["price"].update(anyOf=d.answers["price"]["anyOf"][:1]),
    lambda d: d.document["x-problem-types"].update({"/docs#gone": {"status": 410, "title": "Gone"}}),
]
SAID_ANOTHER_WAY: list[Edit] = [
    lambda d: d.post.update(summary="Make a wall", description="Once."),
    lambda d: d.sends["name"].update(description="What it is called.", examples=["Bay"]),
    lambda d: d.document["x-problem-types"]["/docs#conflict"].update(description="Something else does."),
    lambda d: d.document.update(info={"version": "0.2.0"}),
    lambda d: (d.sends["name"].update({"x-hint": "short"}), d.post.update({"x-weight": 2})),
]


def changes(edit: Edit) -> list[Change]:
    editor = Editor()
    edit(editor)
    return differences(small(), editor.document)


@pytest.mark.parametrize(("rule", "where", "edit"), BREAKING)
def test_a_change_that_breaks_callers_is_told_by_its_rule_and_place(rule: str, where: str, edit: Edit) -> None:
    assert [(change.rule, change.where) for change in changes(edit) if change.rule is not None] == [(rule, where)]


def test_every_rule_has_a_change_that_shows_it_firing() -> None:
    assert {rule for rule, *_ in BREAKING} == RULES.keys()


@pytest.mark.parametrize("edit", HARMLESS)
def test_what_only_adds_or_allows_more_is_told_and_breaks_nobody(edit: Edit) -> None:
    found = changes(edit)
    assert found and {change.rule for change in found} == {None}


@pytest.mark.parametrize("edit", SAID_ANOTHER_WAY)
def test_what_is_only_said_another_way_is_no_difference(edit: Edit) -> None:
    assert changes(edit) == []


def test_a_shape_and_a_parameter_that_two_operations_share_are_told_of_once() -> None:
    old, new = Editor(), Editor()
    for editor in (old, new):
        editor.item["put"] = copy.deepcopy(editor.post)
    new.answers.pop("mass_kg")
    new.document["components"]["parameters"]["If-Match"]["schema"]["maxLength"] = 50
    assert sorted(change.rule or "" for change in differences(old.document, new.document)) == ["B14", "B18"]


def test_a_change_that_is_listed_with_its_place_is_intended_and_no_other() -> None:
    found = changes(lambda d: (d.answers.pop("mass_kg"), d.sends.pop("name")))
    listed = [{"rule": "B18", "where": "Wall.mass_kg in answers", "why": "It was never filled in."}]
    assert [change.rule for change in unintended(found, listed)] == ["B11"]
    assert listed_for_nothing(found, listed) == []
    for other in ({"rule": "B19"}, {"where": "Wall.id in answers"}):
        assert len(unintended(found, [{**listed[0], **other}])) == 2
        assert listed_for_nothing(found, [{**listed[0], **other}]) != []


def steps(node: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to everything within."""
    for key in node if isinstance(node, dict) else range(len(node)) if isinstance(node, list) else ():
        yield (*at, key)
        yield from steps(node[key], (*at, key))


@pytest.mark.parametrize("at", [at for at in steps(small()) if at[-1] not in NOTHING_WITHOUT], ids=str)
def test_nothing_is_taken_out_or_put_in_unnoticed(at: tuple[Any, ...]) -> None:
    whole, without = small(), small()
    *way, last = at
    holder = reduce(lambda node, step: node[step], way, without)
    del holder[last]
    assert differences(whole, without) != []
    assert differences(without, whole) != []


def test_the_running_service_breaks_nobody_who_relies_on_the_released_document() -> None:
    document = openapi_document(create_app(Settings(log_level="ERROR"), None))  # type: ignore[arg-type]
    found = differences(RELEASED, document)
    breaking = [str(change) for change in unintended(found, INTENDED)]
    assert not breaking, f"list what is meant in openapi/intended.json, with the reason: {breaking}"
    assert listed_for_nothing(found, INTENDED) == []
    assert all(entry.keys() == {"rule", "where", "why"} and len(entry["why"]) > 20 for entry in INTENDED)


def test_the_policy_tells_callers_the_same_rules_by_the_same_numbers() -> None:
    told = re.findall(r"^\| (B[0-9]+) \| (.+) \|$", (OPENAPI / "POLICY.md").read_text(), re.MULTILINE)
    assert dict(told) == RULES and len(told) == len(RULES)
