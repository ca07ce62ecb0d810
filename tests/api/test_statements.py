"""How many statements a request takes: each is counted by hand, so that nobody adds one, or one a row, without knowing it."""

from api_contract import ContractClient
from statements import statements

from service.store.database import Database

ROOM = {"name": "Front room", "ceiling_height_mm": 2700}


def test_a_request_asks_the_database_no_more_than_it_needs(
    client: ContractClient, ids: dict[str, str], sqlite_database: Database
) -> None:
    rooms, room = f"/v1/projects/{ids['project_id']}/rooms", f"/v1/rooms/{ids['room_id']}"
    tag = client.get(room).headers["ETag"]  # by now the key's use is noted for this minute

    def cost(method: str, path: str, **sent: object) -> int:
        with statements(sqlite_database) as seen:
            assert client.open(path, method=method, **sent).status_code < 300
        return len(seen)

    assert cost("GET", room) == 1 + 1  # the key; the row
    assert cost("POST", rooms, json=ROOM) == 1 + 2 + 2  # the key; the project, locked, and its last room; its counter, the row
    changed = cost("PATCH", room, json={"name": "Hall"}, headers={"If-Match": tag})
    assert changed == 1 + 3 + 3  # the key; the row, the project, locked, the row again; counter, row, what it wrote over
    few = cost("GET", rooms)
    for _ in range(5):
        client.post(rooms, json=ROOM)
    assert (few, cost("GET", rooms)) == (1 + 2, 1 + 2)  # the key; the project and its rooms, however many


def test_a_request_that_may_be_repeated_asks_no_more_for_that_than_it_needs(
    client: ContractClient, ids: dict[str, str], sqlite_database: Database
) -> None:
    rooms = f"/v1/projects/{ids['project_id']}/rooms"
    client.get(rooms)
    with statements(sqlite_database) as plain:
        client.post(rooms, json=ROOM)
    with statements(sqlite_database) as kept:
        client.post(rooms, json=ROOM, headers={"Idempotency-Key": "statements-1"})
    with statements(sqlite_database) as repeated:
        client.post(rooms, json=ROOM, headers={"Idempotency-Key": "statements-1"})
    claims = [statement.split()[0] for statement in kept if "claims" in statement and "LIMIT" not in statement]
    assert claims == ["SELECT", "INSERT", "UPDATE"]  # looked for, claimed, answered
    swept = [statement for statement in kept if "LIMIT" in statement]  # in passing, at most once a minute
    assert len(kept) - len(swept) == len(plain) + len(claims)
    assert len(repeated) == 1 + 1  # the key; the answer
