"""The document: valid, kept, complete, and true of the running app; its examples are real requests and answers."""

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import orjson
import pytest
from api_contract import OUTSIDE_THE_DOCUMENT, Contract, ContractClient
from flask import Flask
from jsonschema import Draft202012Validator
from openapi_spec_validator import validate
from walk import every_operation

from service.api.document import VERSION, openapi_document
from service.api.schemas.catalogues import CATALOGUE, ITEM
from service.api.schemas.family import ABSENT, Members
from service.api.schemas.materials import MATERIAL
from service.api.schemas.projects import PROJECT
from service.api.schemas.survey import FEATURE, OPENING, ROOM, WALL
from service.config import Settings
from service.store import models
from service.store.rules import Flag, Id, Number, Text, Word

ROOT = Path(__file__).parents[2]


def test_the_document_is_valid_openapi(contract: Contract) -> None:
    assert contract.document["openapi"].startswith("3.1.")
    validate(contract.document)


def test_the_kept_document_is_that_of_the_running_app(app: Flask, anyone: ContractClient, contract: Contract) -> None:
    kept = (ROOT / "openapi" / "openapi.json").read_bytes()
    now = orjson.dumps(openapi_document(app), option=orjson.OPT_INDENT_2 | orjson.OPT_APPEND_NEWLINE)
    assert kept == now, "run: python -m service openapi > openapi/openapi.json"
    assert anyone.get("/v1/openapi.json").json == json.loads(kept)


def test_settings_in_the_environment_do_not_change_the_kept_document(settings: Settings) -> None:
    assert {name: getattr(settings, name) for name in ("rooms_per_survey", "body_bytes", "page_limit")} == {
        "rooms_per_survey": 200,
        "body_bytes": 5_000_000,
        "page_limit": 50,
    }


def test_the_documents_version_is_the_packages() -> None:
    assert tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["version"] == VERSION


def test_every_route_is_documented(app: Flask, contract: Contract) -> None:
    for rule in app.url_map.iter_rules():
        template = rule.rule.replace("<uuid:", "{").replace(">", "}")
        for method in rule.methods - {"HEAD", "OPTIONS"}:
            documented = method.lower() in contract.document["paths"].get(template, {})
            assert documented is not (template in OUTSIDE_THE_DOCUMENT), f"{method} {template}"


def test_operations_are_named_guarded_explained_and_exemplified(contract: Contract) -> None:
    names = [step.id for step in every_operation(contract.document)]
    assert len(set(names)) == len(names)
    for item in contract.document["paths"].values():
        for method, operation in item.items():
            if method == "parameters":
                continue
            name = operation["operationId"]
            assert operation["summary"] and operation["description"], name
            assert [list(needed) for needed in operation["security"]] in ([], [["apiKey"]]), name
            assert len(operation["tags"]) == 1, name
            for media in operation.get("requestBody", {}).get("content", {}).values():
                assert "example" in media, name
            good = {status: answer for status, answer in operation["responses"].items() if status.startswith("2")}
            assert good, name
            for status, answer in good.items():
                assert status == "204" or answer["content"], name
                assert all("example" in media for media in answer.get("content", {}).values()), name
            for status in ("401", "403", "422", "500") if operation["security"] else ("422", "500"):
                assert status in operation["responses"], name


def test_tags_are_explained(contract: Contract) -> None:
    used = {operation["tags"][0] for operation in _operations(contract)}
    assert {tag["name"] for tag in contract.document["tags"]} == used
    assert all(tag["description"] for tag in contract.document["tags"])


def test_every_shape_and_every_member_is_explained(contract: Contract) -> None:
    for name, shape in contract.document["components"]["schemas"].items():
        assert shape["description"], name
        for member, about in shape["properties"].items():
            assert about.get("description"), f"{name}.{member}"


def test_requests_are_closed_and_answers_are_open(contract: Contract) -> None:
    shapes = contract.document["components"]["schemas"]
    sent = {_shape(media) for step in _operations(contract) for media in step.get("requestBody", {}).get("content", {}).values()}
    answered = {
        _shape(media) for step in _operations(contract) for answer in step["responses"].values() for media in _documents(answer)
    }
    assert sent and answered and not sent & answered
    for name in _reached(shapes, sent) - {"Finding"}:
        assert shapes[name]["additionalProperties"] is False, name
    for name in _reached(shapes, answered):
        assert "additionalProperties" not in shapes[name], name


def test_examples_are_of_the_shape_they_stand_beside(contract: Contract) -> None:
    shapes = contract.document["components"]["schemas"]
    for operation in _operations(contract):
        for media in operation.get("requestBody", {}).get("content", {}).values():
            root = {**media["schema"], "components": {"schemas": shapes}}
            Draft202012Validator(root).validate(media["example"])
        for answer in operation["responses"].values():
            for media in _documents(answer):
                contract.conform(_shape(media), media["example"])
    for name, response in contract.document["components"]["responses"].items():
        for example in response.get("content", {}).get("application/problem+json", {}).get("examples", {}).values():
            contract.conform("ProblemDetails", example["value"])
            assert name == f"Problem{example['value']['status']}"


def test_examples_of_requests_are_good_requests(client: ContractClient, ids: dict[str, str], contract: Contract) -> None:
    """Each is sent as it stands, but for the ids of things that exist only in the scenario."""
    steps = [step for step in every_operation(contract.document) if step.method != "DELETE"]
    for step in sorted(steps, key=lambda step: step.id in ("putProject", "putSurvey")):  # those end the rows that others ask for
        body = _with_real_ids(step.body, ids)
        for name in ("reference", "sku"):
            if isinstance(body, dict) and name in body:
                body[name] = f"{body[name]}-{step.id}"
        if step.id == "createProjectTakeoff":
            body.pop("survey_version")
        sent = {} if body is None else {"json": body, "content_type": step.content_type}
        headers = {"If-Match": "*"} if step.needs_precondition else {}
        answer = client.open(step.path(ids), method=step.method, headers=headers, **sent)
        assert answer.status_code in (200, 201), f"{step.id}: {answer.get_data(as_text=True)[:500]}"


def _with_real_ids(body: Any, ids: dict[str, str]) -> Any:
    if isinstance(body, dict):
        return {name: ids[name] if name in ids and value else _with_real_ids(value, ids) for name, value in body.items()}
    return body


def test_the_invented_examples_say_that_they_are(contract: Contract) -> None:
    assert "invented scenario" in contract.document["info"]["description"]


def test_the_page_names_every_operation_and_shape_and_needs_nothing_from_elsewhere(
    anyone: ContractClient, contract: Contract
) -> None:
    answer = anyone.get("/docs")
    page = answer.get_data(as_text=True)
    assert answer.mimetype == "text/html"
    for step in every_operation(contract.document):
        assert f'id="{step.id}"' in page
    for name in contract.document["components"]["schemas"]:
        assert f'id="shape-{name}"' in page
    targets = re.findall(r'href="([^"]+)"', page)
    assert targets.count("/v1/openapi.json") == 1
    ids = set(re.findall(r'id="([^"]+)"', page))
    assert [target for target in targets if target != "/v1/openapi.json" and target.removeprefix("#") not in ids] == []
    assert "`" not in re.sub(r"<pre>.*?</pre>", "", page, flags=re.DOTALL), "marks are shown as what they mean"
    assert "http:" not in page and "https:" not in page and "<script" not in page and "src=" not in page
    assert "style-src 'sha256-" in answer.headers["Content-Security-Policy"]


TABLES: list[tuple[Members, Any, set[str]]] = [
    ({name: member for name, member in PROJECT.items() if name != "climate"}, models.Project, {"climate"}),
    (ROOM, models.Room, {"project_id"}),
    (WALL, models.Wall, {"room_id"}),
    (OPENING, models.Opening, {"wall_id"}),
    (FEATURE, models.Feature, {"wall_id"}),
    (CATALOGUE, models.Catalogue, set()),
    (MATERIAL, models.Material, set()),
    ({name: member for name, member in ITEM.items() if name != "price"}, models.CatalogueItem, {"catalogue_id"}),
]


@pytest.mark.parametrize(("members", "model", "aside"), TABLES, ids=[model.__tablename__ for _, model, _ in TABLES])
def test_members_have_the_ranges_and_defaults_of_the_columns_that_keep_them(
    contract: Contract, members: Members, model: Any, aside: set[str]
) -> None:
    """Two descriptions of one thing, each for its own readers: they may not drift apart."""
    columns = {name: column for name, column in model.fields().items() if name not in aside}
    assert set(members) == set(columns)
    created = {
        models.Project: "Project", models.Room: "Room", models.Wall: "Wall", models.Opening: "Opening",
        models.Feature: "Feature", models.Catalogue: "Catalogue", models.Material: "Material", models.CatalogueItem: "Item",
    }[model] + "Create"  # fmt: skip
    shape = contract.document["components"]["schemas"][created]
    for name, column in columns.items():
        documented, rule = shape["properties"][name], column.info["rule"]
        kinds = documented["type"] if isinstance(documented["type"], list) else [documented["type"]]
        match rule:
            case Number() if name == "position":
                assert rule.least < documented["minimum"] and documented["maximum"] < rule.most, "room after the last"
            case Number():
                assert (documented["minimum"], documented["maximum"]) == (rule.least, rule.most), name
                assert kinds[0] == ("integer" if rule.whole else "number"), name
            case Text():
                assert (documented["minLength"], documented["maxLength"]) == (rule.least, rule.most), name
            case Word():
                assert [word for word in documented["enum"] if word is not None] == [word.value for word in rule.words], name
            case Flag():
                assert kinds == ["boolean"], name
            case Id():
                assert documented["format"] == "uuid", name
            case _:
                raise AssertionError(f"{name}: no such rule is known here")
        if name == "position" or isinstance(rule, Id):
            continue
        default = column.info.get("default", ABSENT)
        assert (name in shape.get("required", [])) is (default is ABSENT or "default" not in column.info), name
        if "default" in column.info:
            assert documented["default"] == column.info["default"], name
            assert ("null" in kinds) is (column.info["default"] is None), name


def _operations(contract: Contract) -> list[dict[str, Any]]:
    return [op for item in contract.document["paths"].values() for key, op in item.items() if key != "parameters"]


def _documents(answer: dict[str, Any]) -> list[dict[str, Any]]:
    """What is answered as JSON; drawings and counts have no shape to hold them to."""
    return [media for kind, media in answer.get("content", {}).items() if kind.endswith("json")]


def _shape(media: dict[str, Any]) -> str:
    return str(media["schema"]["$ref"]).rpartition("/")[2]


def _reached(shapes: dict[str, Any], names: set[str]) -> set[str]:
    """Those and all they refer to."""
    reached: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name not in reached:
            reached.add(name)
            text = json.dumps(shapes[name])
            waiting += [other for other in shapes if f'schemas/{other}"' in text]
    return reached
