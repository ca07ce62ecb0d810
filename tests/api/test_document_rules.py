"""Our own rules for the document, beyond being valid: what makes it good to read, to generate clients from and to rely on."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from api_contract import Contract

from service.vocabulary import KeyScope

Json = dict[str, Any]
METHODS = ("get", "put", "post", "patch", "delete")
CAMEL_CASE = re.compile(r"[a-z]+([A-Z][a-z]+)*")
KEBAB_CASE = re.compile(r"[a-z]+(-[a-z]+)*")
SNAKE_CASE = re.compile(r"[a-z0-9]+(_[a-z0-9]+)*")
NEED_NO_KEY = {"/healthz", "/readyz", "/metrics"}
"""How the service itself is, nothing of an account: by the names that those who watch services look for."""
EXPECTED_SCOPES = {"get": {"read", "admin"}, "post": {"write", "takeoff", "admin"}}


def operations(contract: Contract) -> Iterator[tuple[str, str, Json]]:
    for path, item in contract.document["paths"].items():
        yield from ((path, method, item[method]) for method in METHODS if method in item)


def parameters(contract: Contract) -> Iterator[tuple[str, Json]]:
    shared = contract.document["components"]["parameters"]
    yield from shared.items()
    for path, item in contract.document["paths"].items():
        for holder in (item, *(item[method] for method in METHODS if method in item)):
            yield from ((f"{path} {it['name']}", it) for it in holder.get("parameters", ()) if "$ref" not in it)


def sent_shapes(contract: Contract) -> dict[str, Json]:
    """Every shape that a request may hold, by name."""
    shapes, found, waiting = contract.document["components"]["schemas"], {}, []
    for _, _, operation in operations(contract):
        waiting += [media["schema"] for media in operation.get("requestBody", {}).get("content", {}).values()]
    while waiting:
        schema = waiting.pop()
        name = schema.get("$ref", "").rpartition("/")[2]
        if name and name not in found:
            found[name] = shapes[name]
            waiting.append(shapes[name])
        waiting += [*schema.get("properties", {}).values(), *schema.get("anyOf", ()), *filter(None, [schema.get("items")])]
    return found


def test_operation_ids_are_unique_and_camel_case(contract: Contract) -> None:
    names = [operation["operationId"] for _, _, operation in operations(contract)]
    assert len(set(names)) == len(names) > 50
    assert [name for name in names if not CAMEL_CASE.fullmatch(name)] == []


def test_every_operation_on_what_accounts_have_needs_a_key_with_one_scope_that_fits_its_method(contract: Contract) -> None:
    assert {path for path, _, operation in operations(contract) if operation["security"] == []} == NEED_NO_KEY
    for path, method, operation in operations(contract):
        if path in NEED_NO_KEY:
            continue
        ((scheme, (scope,)),) = operation["security"][0].items()
        assert len(operation["security"]) == 1 and scheme == "apiKey"
        assert scope in set(KeyScope)
        expected = EXPECTED_SCOPES.get(method, {"write", "admin"})
        assert scope in expected, f"{method} {path} with {scope}"
        assert f"scope `{scope}`" in operation["description"]


def test_paths_are_plain_and_end_without_a_slash(contract: Contract) -> None:
    for path in contract.document["paths"]:
        assert (path.startswith("/v1/") or path in NEED_NO_KEY) and not path.endswith("/")
        for step in path.removeprefix("/v1").split("/")[1:]:
            name = re.fullmatch(r"\{(\w+)\}", step)
            assert SNAKE_CASE.fullmatch(name[1]) if name else KEBAB_CASE.fullmatch(step), path


def test_members_and_parameters_are_snake_case(contract: Contract) -> None:
    names = {name for shape in contract.document["components"]["schemas"].values() for name in shape["properties"]}
    names |= {parameter["name"] for _, parameter in parameters(contract) if parameter["in"] != "header"}
    assert sorted(name for name in names if not SNAKE_CASE.fullmatch(name)) == []


def test_every_parameter_header_and_answer_is_explained(contract: Contract) -> None:
    assert [name for name, parameter in parameters(contract) if not parameter.get("description")] == []
    components = contract.document["components"]
    assert all(about["description"] and about["example"] for about in components["headers"].values())
    assert all(about["example"] for about in components["parameters"].values())
    assert all(answer["description"] for answer in components["responses"].values())
    for _, _, operation in operations(contract):
        assert all("$ref" in answer or answer["description"] for answer in operation["responses"].values())


def test_every_type_of_problem_has_an_example_under_its_status(contract: Contract) -> None:
    shown = {}
    for name, answer in contract.document["components"]["responses"].items():
        for media in answer.get("content", {}).values():
            for example in media["examples"].values():
                shown[example["value"]["type"]] = (name, example["value"]["status"], example["value"]["title"])
    kinds = contract.document["x-problem-types"]
    assert shown == {uri: (f"Problem{kind['status']}", kind["status"], kind["title"]) for uri, kind in kinds.items()}
    assert all(kind["description"] for kind in kinds.values())


def test_every_list_in_a_request_is_bounded_and_so_is_every_text(contract: Contract) -> None:
    unbounded = []
    for name, shape in sent_shapes(contract).items():
        for member, about in shape["properties"].items():
            kinds = about.get("type", [])
            if "array" in kinds and "maxItems" not in about:
                unbounded.append(f"{name}.{member}")
            is_told_back = about.get("readOnly") or name == "Finding"
            if "string" in kinds and not is_told_back and not {"maxLength", "enum", "format"} & about.keys():
                unbounded.append(f"{name}.{member}")
    assert unbounded == ["MoneyGiven.amount"], "whose form bounds it: 12 digits and zeros"


def test_every_list_that_is_answered_goes_by_pages_of_a_known_size(contract: Contract) -> None:
    pages = 0
    for path, method, operation in operations(contract):
        if not operation["operationId"].startswith("list"):
            continue
        pages += 1
        media = operation["responses"]["200"]["content"]["application/json"]
        shape = contract.document["components"]["schemas"][media["schema"]["$ref"].rpartition("/")[2]]
        assert shape["properties"]["items"]["maxItems"] > 0, f"{method} {path}"
        assert shape["required"] == ["items", "next_cursor"]
        named = {parameter.get("name"): parameter for parameter in operation["parameters"]}
        assert named["limit"]["schema"]["minimum"] == 1 and "cursor" in named
        assert "Link" in operation["responses"]["200"]["headers"]
    assert pages >= 11


def test_whatever_is_made_says_where_it_is_and_links_to_what_can_be_done_with_it(contract: Contract) -> None:
    by_id = {operation["operationId"]: (path, operation) for path, _, operation in operations(contract)}
    for path, method, operation in operations(contract):
        made = operation["responses"].get("201")
        if made is None or (method == "put" and not path.endswith("}")):  # what stands at a fixed name is reached by it
            continue
        assert "Location" in made["headers"]
        assert any(name.startswith("get") for name in made["links"]), f"{method} {path}"
        for name, link in made["links"].items():
            target, reached = by_id[link["operationId"]]
            assert name == link["operationId"]
            given = {parameter.rpartition(".")[2] for parameter in link["parameters"]}
            assert given - {"If-Match"} == set(re.findall(r"\{(\w+)\}", target)), name
            needs_version = any("If-Match" in parameter.get("$ref", "") for parameter in reached["parameters"])
            assert "If-Match" not in given or needs_version, name


@pytest.mark.parametrize(("made_by", "leads_to"), [
    ("createRoom", {"getRoom", "putRoom", "patchRoom", "deleteRoom", "listWalls", "createWall"}),
    ("createCatalogueItem", {"getCatalogueItem", "putCatalogueItem", "patchCatalogueItem", "deleteCatalogueItem"}),
    ("createProjectTakeoff", {"getTakeoff", "getSchedule", "getCutLists", "getLayouts", "getInputs"}),
    ("createKey", {"getKey", "revokeKey"}),
])  # fmt: skip
def test_what_is_made_leads_where_one_would_go_next(contract: Contract, made_by: str, leads_to: set[str]) -> None:
    (operation,) = (operation for _, _, operation in operations(contract) if operation["operationId"] == made_by)
    assert operation["responses"]["201"]["links"].keys() >= leads_to


def without_notice(document: Json) -> list[str]:
    """Deprecated operations that name nothing to use instead, or have an answer without a header that the policy promises."""
    found = []
    for path, item in document["paths"].items():
        for method, operation in ((method, item[method]) for method in METHODS if item.get(method, {}).get("deprecated")):
            answers = [answer for answer in operation["responses"].values() if "$ref" not in answer]
            told = all({"Deprecation", "Sunset"} <= set(answer.get("headers", ())) for answer in answers)
            if not answers or not told or "instead" not in operation.get("description", ""):
                found.append(f"{method} {path}")
    return found


def test_what_is_deprecated_declares_both_headers_and_says_what_to_use_instead(contract: Contract) -> None:
    assert without_notice(contract.document) == []


@pytest.mark.parametrize(
    ("headers", "description", "found"),
    [
        ((), "Use listThings instead.", True),
        (("Deprecation",), "Use listThings instead.", True),
        (("Sunset",), "Use listThings instead.", True),
        (("Deprecation", "Sunset"), "Reads a thing.", True),
        (("Deprecation", "Sunset"), "Use listThings instead.", False),
    ],
)
def test_a_deprecation_without_its_headers_would_be_found(headers: tuple[str, ...], description: str, found: bool) -> None:
    answer = {"description": "As asked.", "headers": {name: {"schema": {"type": "string"}} for name in headers}}
    operation = {"deprecated": True, "description": description, "responses": {"200": answer}}
    in_use = {"responses": {"200": {"description": "As asked."}}}
    document = {"paths": {"/v1/thing": {"get": operation, "put": in_use}}}
    assert without_notice(document) == (["get /v1/thing"] if found else [])


def test_only_whole_numbers_are_said_to_be_counts(contract: Contract) -> None:
    """Whatever else a parameter is, it has a unit, and its description says which."""
    parameters_sent = contract.document["components"]["schemas"]["SpecificationCreate"]["properties"]
    counts = {name: member["type"] for name, member in parameters_sent.items() if "(a count," in member.get("description", "")}
    assert counts == dict.fromkeys(["board_layers", "frame_screws_per_stud_end"], "integer")
