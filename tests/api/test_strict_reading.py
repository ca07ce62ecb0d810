"""What counts as JSON, as a number, as a flag; and what a query string may hold. Anything else is refused, never guessed at."""

import gzip
from io import BytesIO
from typing import Any

import pytest
from api_contract import ContractClient
from flask import Flask

NOT_JSON = {
    "nothing": b"",
    "blanks": b"  \n",
    "a fragment": b'{"name": ',
    "a comma too many": b'{"name": "a",}',
    "single quotes": b"{'name': 'a'}",
    "a comment": b'{"name": "a"} // here',
    "two documents": b"{} {}",
    "not a number": b'{"repeat": NaN}',
    "infinity": b'{"repeat": Infinity}',
    "a number beyond all floats": b'{"repeat": 1e999}',
    "a number with a plus": b'{"repeat": +1}',
    "half a surrogate pair": b'{"name": "\\ud800"}',
    "bytes that are no UTF-8": b'{"name": "\xff"}',
    "a byte order mark": b"\xef\xbb\xbf{}",
    "a name that stands twice": b'{"name": "a", "name": "b"}',
    "a name that stands twice, deep down": b'{"survey": {"rooms": [{"name": "a", "name": "b"}]}}',
    "nesting without end": b'{"survey": ' + b"[" * 100_000,
    "nesting deeper than any document of ours": b'{"survey": ' + b"[" * 40 + b"]" * 40 + b"}",
}


@pytest.mark.parametrize("body", NOT_JSON.values(), ids=NOT_JSON.keys())
def test_what_is_not_json_is_refused_as_that(client: ContractClient, body: bytes) -> None:
    answer = client.post("/v1/projects", data=body, content_type="application/json")
    assert answer.status_code == 400
    assert answer.json["type"] == "/docs#malformed-request"
    assert client.get("/v1/projects").json["items"] == []


@pytest.mark.parametrize("body", ["[]", "null", "3", '"text"', "true"])
def test_a_body_that_is_no_object_is_a_fault_of_the_whole(client: ContractClient, body: str) -> None:
    answer = client.post("/v1/projects", data=body, content_type="application/json")
    assert answer.status_code == 422
    assert [(fault["pointer"], fault["code"]) for fault in answer.json["errors"]] == [("#", "wrong_type")]


@pytest.mark.parametrize(
    ("member", "value", "code"),
    [
        ("repeat", "2", "wrong_type"),
        ("repeat", 2.5, "wrong_type"),
        ("repeat", True, "wrong_type"),
        ("repeat", None, "null"),
        ("repeat", [2], "wrong_type"),
        ("repeat", 0, "out_of_range"),
        ("repeat", -1, "out_of_range"),
        ("repeat", 100_001, "out_of_range"),
        ("repeat", 2**70, "out_of_range"),
        ("name", 7, "wrong_type"),
        ("name", "", "too_short"),
        ("name", "x" * 201, "too_long"),
        ("name", "a\u0000b", "nul"),
        ("specification_id", 7, "wrong_type"),
        ("specification_id", "7", "wrong_type"),
        ("specification_id", "{01980c5e-7a00-7000-8000-000000000003}", "wrong_type"),
        ("specification_id", "01980c5e7a0070008000000000000003", "wrong_type"),
        ("survey", [], "wrong_type"),
        ("survey", None, "null"),
        ("survey", {"rooms": {}}, "wrong_type"),
        ("survey", {}, "required"),
    ],
)
def test_a_wrong_value_is_named_with_its_place_and_code(client: ContractClient, member: str, value: Any, code: str) -> None:
    answer = client.post("/v1/projects", json={member: value})
    assert answer.status_code == 422
    place = "#/survey/rooms" if isinstance(value, dict) else f"#/{member}"
    assert [(fault["pointer"], fault["code"]) for fault in answer.json["errors"]] == [(place, code)]


def test_three_point_nought_is_three(client: ContractClient) -> None:
    body = b'{"repeat": 3.0, "survey": {"rooms": [{"ceiling_height_mm": 2.7e3}]}}'
    made = client.post("/v1/projects", data=body, content_type="application/json")
    assert made.status_code == 201
    assert made.json["repeat"] == 3
    assert b'"repeat":3,' in made.get_data()
    rooms = client.get(f"/v1/projects/{made.json['id']}/rooms").json["items"]
    assert rooms[0]["ceiling_height_mm"] == 2700


@pytest.mark.parametrize("value", ["true", 1, 0, "no", None])
def test_only_true_and_false_are_flags(client: ContractClient, ids: dict[str, str], value: Any) -> None:
    answer = client.post(f"/v1/projects/{ids['project_id']}/rooms", json={"ceiling_height_mm": 2700, "closed": value})
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json["errors"]] == ["#/closed"]


@pytest.mark.parametrize("name", ["Kammer im Dachgeschoß", "小屋", "𝔎itchen 🪟", 'quotes " and \\', "a\nb\ttab"])
def test_any_text_is_kept_as_it_came(client: ContractClient, name: str) -> None:
    made = client.post("/v1/projects", json={"name": name})
    assert client.get(made.headers["Location"]).json["name"] == name


@pytest.mark.parametrize(
    ("query", "parameter", "code"),
    [
        ("colour=red", "colour", "unknown_parameter"),
        ("Limit=5", "Limit", "unknown_parameter"),
        ("limit=0", "limit", "out_of_range"),
        ("limit=-1", "limit", "out_of_range"),
        ("limit=ten", "limit", "wrong_type"),
        ("limit=1.5", "limit", "wrong_type"),
        ("limit=", "limit", "wrong_type"),
        ("limit=1&limit=2", "limit", "given_twice"),
        ("reference=%00", "reference", "nul"),
        ("reference=", "reference", "too_short"),
    ],
)
def test_a_query_is_read_as_strictly_as_a_body(client: ContractClient, query: str, parameter: str, code: str) -> None:
    answer = client.get(f"/v1/projects?{query}")
    assert answer.status_code == 422
    assert [(fault["parameter"], fault["code"]) for fault in answer.json["errors"]] == [(parameter, code)]


def test_a_parameter_that_an_operation_does_not_have_is_refused_everywhere(client: ContractClient, ids: dict[str, str]) -> None:
    for method, path in (
        ("GET", "/v1/account"),
        ("GET", f"/v1/rooms/{ids['room_id']}"),
        ("DELETE", f"/v1/openings/{ids['opening_id']}"),
        ("GET", f"/v1/takeoffs/{ids['takeoff_id']}/inputs"),
    ):
        answer = client.open(f"{path}?colour=red", method=method, headers={"If-Match": "*"})
        assert answer.status_code == 422, path
        assert answer.json["errors"][0]["parameter"] == "colour"
    assert client.get(f"/v1/openings/{ids['opening_id']}").status_code == 200


def test_a_media_type_may_have_parameters(client: ContractClient) -> None:
    answer = client.post("/v1/projects", data=b"{}", content_type="Application/JSON; charset=utf-8")
    assert answer.status_code == 201


def test_a_patch_may_be_sent_as_either_media_type(client: ContractClient, ids: dict[str, str]) -> None:
    for content_type in ("application/merge-patch+json", "application/json"):
        path = f"/v1/rooms/{ids['room_id']}"
        answer = client.patch(path, json={"name": content_type}, content_type=content_type, headers={"If-Match": "*"})
        assert answer.status_code == 200
        assert answer.json["name"] == content_type


def test_a_head_answers_like_a_get_without_the_body(client: ContractClient, ids: dict[str, str]) -> None:
    for path in (f"/v1/rooms/{ids['room_id']}", f"/v1/takeoffs/{ids['takeoff_id']}/schedule", "/v1/projects"):
        get, head = client.get(path), client.head(path)
        assert head.status_code == 200
        assert head.get_data() == b""
        assert head.headers.get("ETag") == get.headers.get("ETag")
        assert head.headers["Content-Length"] == get.headers["Content-Length"]


def test_a_body_in_chunks_is_read_to_its_end_or_refused(client: ContractClient, app: Flask) -> None:
    """What is cut off at the bound may still be JSON, and would be taken for all that was sent."""
    most = app.config["MAX_CONTENT_LENGTH"]
    sent = b'{"name": "Chunked"}'
    for length, status in ((most, 201), (most + 1, 413), (2 * most, 413)):
        environ = {"wsgi.input": BytesIO(sent.ljust(length)), "wsgi.input_terminated": True, "HTTP_TRANSFER_ENCODING": "chunked"}
        answer = client.post("/v1/projects", content_type="application/json", environ_overrides=environ)
        assert answer.status_code == status, length
    assert len(client.get("/v1/projects").json["items"]) == 1


def test_a_packed_body_is_refused_as_a_media_type_and_told_how_to_come(client: ContractClient) -> None:
    packed = gzip.compress(b'{"name": "Packed"}')
    headers = {"Content-Encoding": "gzip"}
    answer = client.post("/v1/projects", data=packed, content_type="application/json", headers=headers)
    assert answer.status_code == 415
    assert answer.headers["Accept-Encoding"] == "identity"


@pytest.mark.parametrize("depth", [33, 1024, 100_000])
def test_too_deep_is_said_alike_however_deep(client: ContractClient, depth: int) -> None:
    answer = client.post("/v1/projects", data=b"[" * depth + b"]" * depth, content_type="application/json")
    assert (answer.status_code, answer.json["detail"]) == (400, "Nested more than 32 deep.")


def test_nothing_has_no_media_type(client: ContractClient, ids: dict[str, str]) -> None:
    answer = client.delete(f"/v1/rooms/{ids['room_id']}?with_children=true", headers={"If-Match": "*"})
    assert answer.status_code == 204
    assert "Content-Type" not in answer.headers
