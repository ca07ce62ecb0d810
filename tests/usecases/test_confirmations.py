"""Takeoffs drawn on offcuts, confirmed and released, one after another and at the same moment, on both databases.

One wall of 2400, boarded floor to ceiling: floor and ceiling channel of 2400 each, from new bars of 3000 two with 600 left.
"""

import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from typing import Any
from uuid import UUID, uuid4

import pytest

from service.errors import Conflict, Gone, Invalid, Missing
from service.store.database import Database
from service.usecases.confirm_takeoff import confirm_takeoff
from service.usecases.create_account import create_account
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.list_resources import list_resources
from service.usecases.offcuts_offered import MOST_OF_A_COMPONENT
from service.usecases.patch_resource import patch_resource
from service.usecases.read_confirmation import read_confirmation
from service.usecases.read_resource import read_resource
from service.usecases.read_takeoff_part import read_takeoff_part
from service.usecases.records import Precondition
from service.usecases.release_takeoff import release_takeoff
from service.usecases.take_off_inline import take_off_inline
from service.vocabulary import ResourceKind as K
from service.vocabulary import TakeoffPart

SURVEY = {"rooms": [{"ceiling_height_mm": 2400, "walls": [{"length_mm": 2400}]}]}
ANY = Precondition.any()
PARTS = (TakeoffPart.SCHEDULE, TakeoffPart.CUT_LISTS)
RIVALS = 5


@pytest.fixture
def account(database: Database) -> UUID:
    return create_account(database, "Invented contractor").id


def offcut(database: Database, account: UUID, length_mm: int = 2400) -> UUID:
    return create_resource(database, account, K.OFFCUT, {"component": "u_channel", "length_mm": length_mm}).id


def take_off(database: Database, account: UUID, offcuts: Any) -> dict[str, Any]:
    return take_off_inline(database, account, {"survey": SURVEY, "options": {"offcuts": offcuts}}, PARTS)[0]


def channels(takeoff: dict[str, Any]) -> list[tuple[int, str | None]]:
    bars = next(entry for entry in takeoff["cut_lists"]["bars"] if entry["component"] == "u_channel")["bars"]
    return [(bar["stock_length_mm"], bar["from_offcut_id"]) for bar in bars]


def state_of(database: Database, account: UUID, id: UUID) -> tuple[str, UUID | None]:
    data = read_resource(database, account, K.OFFCUT, id).data
    return data["state"], data["takeoff_id"]


def left_overs(database: Database, account: UUID, **filters: str) -> list[dict[str, Any]]:
    return [record.data for record in list_resources(database, account, K.OFFCUT, filters=filters, limit=500).items]


def test_offcuts_are_left_alone_unless_they_are_asked_for(database: Database, account: UUID) -> None:
    id = offcut(database, account)
    plain = take_off_inline(database, account, {"survey": SURVEY}, PARTS)[0]
    assert channels(plain) == channels(take_off(database, account, False)) == [(3000, None), (3000, None)]
    for asked in (True, [id]):
        takeoff = take_off(database, account, asked)
        assert channels(takeoff) == [(3000, None), (2400, str(id))]
        line = next(line for line in takeoff["schedule"]["lines"] if line["component"] == "u_channel")
        # 4.8 net, 0.6 kept: 5.4 = 3.0 ordered + 2.4 from the offcut
        assert (line["net_quantity"], line["waste_quantity"], line["reusable_quantity"]) == (4.8, 0, 0.6)
        assert (line["ordered_quantity"], line["from_offcuts_quantity"]) == (3.0, 2.4)
    assert take_off(database, account, [id])["options"]["offcuts"] == [str(id)]
    assert state_of(database, account, id) == ("available", None), "a takeoff holds nothing until it is confirmed"


def test_equal_offcuts_of_different_ids_share_one_digest_and_keep_their_ids(database: Database, account: UUID) -> None:
    first, second = offcut(database, account), offcut(database, account)
    one, other = (take_off(database, account, [id]) for id in (first, second))
    assert one["digest"] == other["digest"]
    assert [channels(one)[1], channels(other)[1]] == [(2400, str(first)), (2400, str(second))]


def test_confirming_reserves_what_is_cut_and_keeps_what_is_left(database: Database, account: UUID) -> None:
    id, unused = offcut(database, account), offcut(database, account, 500)
    takeoff = UUID(take_off(database, account, True)["id"])
    with pytest.raises(Missing):
        read_confirmation(database, account, takeoff)
    document, is_new = confirm_takeoff(database, account, takeoff)
    assert is_new
    assert document["reserved"] == [str(id)]
    assert state_of(database, account, id) == ("reserved", takeoff)
    assert state_of(database, account, unused) == ("available", None)
    made = [read_resource(database, account, K.OFFCUT, UUID(id)).data for id in document["made"]]
    assert all((data["from_takeoff_id"], data["state"]) == (takeoff, "available") for data in made)
    channel = [data for data in made if data["component"] == "u_channel"]
    assert [(data["length_mm"], data["width_mm"], data["note"]) for data in channel] == [(600, None, "Left of bar 1.")]

    again, is_new = confirm_takeoff(database, account, takeoff)
    assert (again, is_new) == (document, False)
    assert read_confirmation(database, account, takeoff) == document


def test_releasing_gives_back_what_was_held_and_takes_away_what_was_made(database: Database, account: UUID) -> None:
    id = offcut(database, account)
    takeoff = UUID(take_off(database, account, True)["id"])
    made = confirm_takeoff(database, account, takeoff)[0]["made"]
    release_takeoff(database, account, takeoff)
    release_takeoff(database, account, takeoff)
    assert state_of(database, account, id) == ("available", None)
    with pytest.raises(Gone):
        read_resource(database, account, K.OFFCUT, UUID(made[0]))
    assert len(left_overs(database, account)) == 1
    again, is_new = confirm_takeoff(database, account, takeoff)
    assert is_new
    assert again["reserved"] == [str(id)]
    assert len(again["made"]) == len(made)
    assert not set(again["made"]) & set(made), "deleted ids stay deleted"


def test_what_another_holds_was_deleted_or_cut_is_named_and_nothing_is_taken(database: Database, account: UUID) -> None:
    ids = [offcut(database, account, length) for length in (2400, 2400)]
    rival = UUID(take_off(database, account, [ids[0]])["id"])
    takeoff = UUID(take_off(database, account, ids)["id"])
    confirm_takeoff(database, account, rival)
    with pytest.raises(Conflict) as conflict:
        confirm_takeoff(database, account, takeoff)
    assert conflict.value.extra == {"promised": [{"id": str(ids[0]), "takeoff_id": str(rival)}], "gone": [], "changed": []}
    assert state_of(database, account, ids[1]) == ("available", None)

    release_takeoff(database, account, rival)
    patch_resource(database, account, K.OFFCUT, ids[0], {"length_mm": 2399}, ANY)
    delete_resource(database, account, K.OFFCUT, ids[1], ANY)
    with pytest.raises(Conflict) as conflict:
        confirm_takeoff(database, account, takeoff)
    assert conflict.value.extra == {"promised": [], "gone": [str(ids[1])], "changed": [str(ids[0])]}
    assert left_overs(database, account, state="reserved") == []


def test_a_note_may_change_before_a_takeoff_is_confirmed(database: Database, account: UUID) -> None:
    id = offcut(database, account)
    takeoff = UUID(take_off(database, account, [id])["id"])
    patch_resource(database, account, K.OFFCUT, id, {"note": "Moved to the van"}, ANY)
    assert confirm_takeoff(database, account, takeoff)[0]["reserved"] == [str(id)]


def test_what_is_reserved_is_neither_changed_nor_deleted(database: Database, account: UUID) -> None:
    id = offcut(database, account)
    takeoff = UUID(take_off(database, account, [id])["id"])
    confirm_takeoff(database, account, takeoff)
    for change in (
        lambda: patch_resource(database, account, K.OFFCUT, id, {"length_mm": 2000}, ANY),
        lambda: delete_resource(database, account, K.OFFCUT, id, ANY),
    ):
        with pytest.raises(Conflict) as conflict:
            change()
        assert conflict.value.extra == {"takeoff_id": str(takeoff)}
    patch_resource(database, account, K.OFFCUT, id, {"length_mm": 2400}, Precondition.none())  # as it is: nothing to refuse


def test_a_confirmation_cannot_be_undone_once_its_left_overs_are_promised(database: Database, account: UUID) -> None:
    first = UUID(take_off(database, account, False)["id"])
    made = confirm_takeoff(database, account, first)[0]["made"]
    second = UUID(take_off(database, account, True)["id"])
    held = confirm_takeoff(database, account, second)[0]["reserved"]
    assert held
    assert set(held) <= set(made)
    with pytest.raises(Conflict) as conflict:
        release_takeoff(database, account, first)
    assert sorted(p["id"] for p in conflict.value.extra["promised"]) == sorted(held)
    assert {p["takeoff_id"] for p in conflict.value.extra["promised"]} == {str(second)}
    release_takeoff(database, account, second)
    release_takeoff(database, account, first)
    assert left_overs(database, account) == []


def test_ids_that_stand_for_nothing_or_are_held_are_refused_when_asked_for(database: Database, account: UUID) -> None:
    id, nobodys = offcut(database, account), uuid4()
    foreign = offcut(database, create_account(database, "Another invented contractor").id)
    with pytest.raises(Invalid) as invalid:
        take_off(database, account, [id, nobodys, foreign])
    assert [(f.pointer, f.code) for f in invalid.value.faults] == [
        ("#/options/offcuts/1", "unknown_id"), ("#/options/offcuts/2", "unknown_id"),
    ]  # fmt: skip
    holder = UUID(take_off(database, account, [id])["id"])
    confirm_takeoff(database, account, holder)
    with pytest.raises(Conflict) as conflict:
        take_off(database, account, [id])
    assert conflict.value.extra == {"promised": [{"id": str(id), "takeoff_id": str(holder)}]}
    held = {id for _, id in channels(take_off(database, account, True))}
    assert str(id) not in held, "all that are available are not all"


@pytest.mark.parametrize("database_url", ["sqlite"], indirect=True)
def test_of_very_many_offcuts_the_oldest_of_each_component_are_offered(database: Database, account: UUID) -> None:
    made = [offcut(database, account, 300 + n) for n in range(MOST_OF_A_COMPONENT + 2)]
    stud = create_resource(database, account, K.OFFCUT, {"component": "c_stud", "length_mm": 900}).id
    takeoff = UUID(take_off(database, account, True)["id"])
    offered = {entry["id"] for entry in read_takeoff_part(database, account, takeoff, "inputs")["offcuts"]}
    assert offered == {str(id) for id in (*made[:MOST_OF_A_COMPONENT], stud)}


def test_another_accounts_takeoff_is_not_there(database: Database, account: UUID) -> None:
    takeoff = UUID(take_off(database, account, False)["id"])
    other = create_account(database, "Another invented contractor").id
    for act in (confirm_takeoff, release_takeoff, read_confirmation):
        with pytest.raises(Missing):
            act(database, other, takeoff)


def outcomes(database: Database, account: UUID, takeoffs: list[UUID]) -> list[str]:
    """All confirmed at the same moment: "held", or the takeoff that was told to hold what was wanted."""
    start = threading.Barrier(len(takeoffs))

    def confirm(takeoff: UUID) -> str:
        start.wait()
        try:
            return "held" if confirm_takeoff(database, account, takeoff)[0]["reserved"] else "empty"
        except Conflict as conflict:
            return str({promise["takeoff_id"] for promise in conflict.extra["promised"]}.pop())

    with ThreadPoolExecutor(len(takeoffs)) as threads:
        return list(threads.map(confirm, takeoffs))


def test_of_takeoffs_confirmed_at_the_same_moment_one_gets_the_offcut(database: Database, account: UUID) -> None:
    id = offcut(database, account)
    takeoffs = [UUID(take_off(database, account, [id])["id"]) for _ in range(RIVALS)]
    told = outcomes(database, account, takeoffs)
    assert told.count("held") == 1
    winner = takeoffs[told.index("held")]
    assert set(told) == {"held", str(winner)}
    assert state_of(database, account, id) == ("reserved", winner)
    assert {data["from_takeoff_id"] for data in left_overs(database, account)} == {None, winner}, "the others made nothing"


def test_one_takeoff_confirmed_by_several_at_once_is_confirmed_once(database: Database, account: UUID) -> None:
    id = offcut(database, account)
    takeoff = UUID(take_off(database, account, [id])["id"])
    assert outcomes(database, account, [takeoff] * RIVALS) == ["held"] * RIVALS
    made = confirm_takeoff(database, account, takeoff)[0]["made"]
    assert len(left_overs(database, account)) == 1 + len(made)


def test_takeoffs_that_share_some_of_several_offcuts_never_wait_for_each_other_for_ever(
    database: Database, account: UUID
) -> None:
    ids = [offcut(database, account) for _ in range(3)]
    pairs = [(0, 1), (1, 2), (2, 0)]
    takeoffs = [UUID(take_off(database, account, [ids[k] for k in pair])["id"]) for pair in pairs]
    assert outcomes(database, account, takeoffs).count("held") == 1, "any two of them share one offcut"
    assert len(left_overs(database, account, state="reserved")) == 2


def test_confirming_and_releasing_at_once_leaves_each_offcut_with_one_or_none(database: Database, account: UUID) -> None:
    id = offcut(database, account)
    takeoffs = [UUID(take_off(database, account, [id])["id"]) for _ in range(2)]

    def fight(takeoff: UUID) -> int:
        won = 0
        for _ in range(4):
            try:
                won += confirm_takeoff(database, account, takeoff)[1]
            except Conflict:
                continue
            release_takeoff(database, account, takeoff)
        return won

    with ThreadPoolExecutor(2) as threads:
        assert sum(threads.map(fight, takeoffs)) >= 1
    assert [(data["state"], data["from_takeoff_id"]) for data in left_overs(database, account)] == [("available", None)]


RIVAL = """
import sys
from uuid import UUID
from service.errors import Conflict
from service.store.database import Database
from service.usecases.confirm_takeoff import confirm_takeoff

url, account, takeoff = sys.argv[1:]
database = Database(url)
sys.stdin.readline()
try:
    confirm_takeoff(database, UUID(account), UUID(takeoff))
    print("held")
except Conflict:
    print("refused")
"""


def test_of_processes_that_confirm_at_the_same_moment_one_gets_the_offcut(
    database: Database, database_url: str, account: UUID
) -> None:
    id = offcut(database, account)
    takeoffs = [take_off(database, account, [id])["id"] for _ in range(3)]
    commands = [[sys.executable, "-c", RIVAL, database_url, str(account), takeoff] for takeoff in takeoffs]
    rivals = [
        subprocess.Popen(c, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for c in commands
    ]
    for rival in rivals:
        assert rival.stdin is not None
        rival.stdin.write("go\n")
        rival.stdin.flush()
    told = []
    for rival in rivals:
        out, errors = rival.communicate(timeout=60)
        assert rival.returncode == 0, errors
        told.append(out.strip())
    assert sorted(told) == ["held", "refused", "refused"]
    assert state_of(database, account, id) == ("reserved", UUID(takeoffs[told.index("held")]))
