"""What the caller already has costs next to nothing; and every way to change something is bound to the version that was read."""

import pytest
from api_contract import Contract, ContractClient
from statements import statements
from walk import every_operation

from service.store.database import Database

ANY = {"If-Match": "*"}


def test_whatever_has_a_tag_answers_304_to_it_and_only_to_it(
    client: ContractClient, contract: Contract, ids: dict[str, str]
) -> None:
    """But for how the service itself is: that is looked up each time, and needs no key."""
    reads = [step for step in every_operation(contract.document) if step.method == "GET" and step.scope is not None]
    tagged = {step.id for step in reads if client.get(step.path(ids)).headers.get("ETag")}
    documented = {step.id for step in reads if "304" in contract.document["paths"][step.template]["get"]["responses"]}
    assert tagged == documented == {step.id for step in reads}
    for step in reads:
        path = step.path(ids)
        first = client.get(path)
        for method in ("GET", "HEAD"):
            known = client.open(path, method=method, headers={"If-None-Match": first.headers["ETag"]})
            assert (known.status_code, known.get_data()) == (304, b""), step.id
            assert known.headers["ETag"] == first.headers["ETag"], step.id
            assert known.headers.get("Vary") == first.headers.get("Vary"), step.id
        assert client.get(path, headers={"If-None-Match": '"v0"'}).get_data() == first.get_data(), step.id


def test_a_survey_that_is_known_is_not_read_and_one_that_moved_on_is(
    client: ContractClient, ids: dict[str, str], sqlite_database: Database
) -> None:
    path = f"/v1/projects/{ids['project_id']}/survey"
    tag = client.get(path).headers["ETag"]
    with statements(sqlite_database) as known:
        assert client.get(path, headers={"If-None-Match": tag}).status_code == 304
    assert not [statement for statement in known if "FROM rooms" in statement or "FROM walls" in statement]
    client.patch(f"/v1/walls/{ids['wall_id']}", json={"length_mm": 4201}, headers=ANY)
    with statements(sqlite_database) as changed:
        assert client.get(path, headers={"If-None-Match": tag}).status_code == 200
    assert [statement for statement in changed if "FROM walls" in statement]


def test_a_takeoff_that_is_known_is_not_unpacked(client: ContractClient, ids: dict[str, str], sqlite_database: Database) -> None:
    for path in ("?include=layouts", "/schedule", "/cut-lists", "/layouts", "/inputs"):
        url = f"/v1/takeoffs/{ids['takeoff_id']}{path}"
        tag = client.get(url).headers["ETag"]
        with statements(sqlite_database) as known:
            assert client.get(url, headers={"If-None-Match": tag}).status_code == 304
        assert not [statement for statement in known if "FROM result_parts" in statement], path


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE"])
def test_every_change_names_the_version_it_changes(
    client: ContractClient, contract: Contract, ids: dict[str, str], method: str
) -> None:
    """Found in the document, so that a new resource cannot forget it."""
    steps = [step for step in every_operation(contract.document) if step.method == method]
    for step in steps:
        if step.template.startswith(("/v1/keys", "/v1/takeoffs")):
            continue  # what has no version
        assert step.needs_precondition, step.id
        body = step.body and {name: ids.get(name, value) for name, value in step.body.items()}
        if method == "PUT" and step.id not in ("putSurvey", "putCatalogueItem", "putOffcut"):
            body = {**body, "name": "Something that is not there yet"}
        sent = {} if body is None else {"json": body, "content_type": step.content_type}
        before = client.get(step.path(ids)).get_data()
        assert client.open(step.path(ids), method=method, **sent).status_code == 428, step.id
        stale = client.open(step.path(ids), method=method, headers={"If-Match": '"v999999"'}, **sent)
        assert stale.status_code == 412, f"{step.id}: {stale.get_data(as_text=True)}"
        assert client.get(step.path(ids)).get_data() == before, step.id


def test_a_survey_that_is_put_again_after_a_lost_answer_succeeds(client: ContractClient, ids: dict[str, str]) -> None:
    path = f"/v1/projects/{ids['project_id']}/survey"
    first = client.get(path)
    first.json["rooms"][0]["walls"][0]["length_mm"] = 4150
    sent = {"json": {**first.json, "rooms": [{**first.json["rooms"][0], "name": "Parlour"}]}}
    done = client.put(path, headers={"If-Match": first.headers["ETag"]}, **sent)
    assert done.status_code == 200
    for headers in ({"If-Match": first.headers["ETag"]}, {}, ANY):
        again = client.put(path, headers=headers, **sent)
        assert (again.status_code, again.json, again.headers["ETag"]) == (200, done.json, done.headers["ETag"])
