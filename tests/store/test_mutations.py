"""What devices changed while they were offline: merged, in conflict, refused, sent again; one path with single requests."""

from collections.abc import Callable
from typing import Any
from uuid import UUID, uuid4

import pytest

from service.errors import Fault, Gone, Missing, NotAllApplied
from service.store.database import Database
from service.usecases.apply_mutations import apply_mutations
from service.usecases.change_records import Mutation, Outcome
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.patch_resource import patch_resource
from service.usecases.read_resource import read_resource
from service.usecases.read_survey import read_survey
from service.usecases.records import Precondition
from service.vocabulary import MutationOp as Op
from service.vocabulary import MutationStatus as S
from service.vocabulary import ResourceKind as K

ANY = Precondition.any()
Send = Callable[..., list[Outcome]]


@pytest.fixture
def project(database: Database, account: UUID, survey: dict[str, Any]) -> UUID:
    """Room 2, walls 3 and 4, window 5, socket 6, project 7."""
    return create_resource(database, account, K.PROJECT, {"reference": "INV-1", "survey": survey}).id


@pytest.fixture
def send(database: Database, account: UUID, project: UUID) -> Send:
    return lambda *mutations, atomic=False: apply_mutations(database, account, project, mutations, atomic=atomic)


@pytest.fixture
def counter(database: Database, account: UUID, project: UUID) -> Callable[[], int]:
    return lambda: read_survey(database, account, project).version


def put(kind: K, id: UUID, base: int | None, /, **data: Any) -> Mutation:
    return Mutation(str(uuid4()), kind, id, Op.PUT, base, data)


def patch(kind: K, id: UUID, base: int | None, /, **data: Any) -> Mutation:
    return Mutation(str(uuid4()), kind, id, Op.PATCH, base, data)


def delete(kind: K, id: UUID, base: int | None) -> Mutation:
    return Mutation(str(uuid4()), kind, id, Op.DELETE, base, {})


def statuses(outcomes: list[Outcome]) -> list[S]:
    return [outcome.status for outcome in outcomes]


def codes(outcome: Outcome) -> list[tuple[str, str]]:
    assert outcome.status is S.REFUSED
    return [(fault.pointer, fault.code) for fault in outcome.faults]


def test_a_room_made_on_site_arrives_with_all_that_is_in_it(
    database: Database, account: UUID, project: UUID, send: Send, counter: Callable[[], int]
) -> None:
    room, wall, window = uuid4(), uuid4(), uuid4()
    outcomes = send(
        put(K.ROOM, room, None, project_id=project, ceiling_height_mm=2300, name="Loft"),
        put(K.WALL, wall, None, room_id=room, length_mm=3600),
        put(K.OPENING, window, None, wall_id=wall, kind="window", offset_mm=1, width_mm=600, sill_mm=900, height_mm=600),
        patch(K.PROJECT, project, 7, notes="Measured twice."),
    )
    assert statuses(outcomes) == [S.APPLIED] * 4
    assert [outcome.change.version for outcome in outcomes if outcome.change] == [8, 9, 10, 11] == list(range(8, counter() + 1))
    assert read_resource(database, account, K.OPENING, window).data["wall_id"] == wall
    assert read_resource(database, account, K.PROJECT, project).data["notes"] == "Measured twice."


def test_members_that_others_left_alone_are_merged(database: Database, account: UUID, send: Send, wall: UUID) -> None:
    """A patch at version 3 of the wall meets a patch that came before it; each keeps what it wrote."""
    patch_resource(database, account, K.WALL, wall, {"substrate": "stone", "name": "Gable"}, ANY)
    (outcome,) = send(patch(K.WALL, wall, 3, length_mm=4150))
    assert outcome.status is S.APPLIED
    assert outcome.change and outcome.change.record
    stands = read_resource(database, account, K.WALL, wall)
    assert outcome.change.record == stands
    assert (stands.data["substrate"], stands.data["name"], stands.data["length_mm"]) == ("stone", "Gable", 4150)


def test_a_put_means_only_what_differs_from_what_the_device_saw(
    database: Database, account: UUID, send: Send, wall: UUID, room: dict[str, Any]
) -> None:
    """The device sends the wall whole, with the old name and a new substrate; meanwhile it was given another name."""
    patch_resource(database, account, K.WALL, wall, {"name": "Gable", "length_mm": 4210}, ANY)
    as_seen = {"room_id": room["id"], "length_mm": 4200}
    (outcome,) = send(put(K.WALL, wall, 3, **as_seen, substrate="stone"))
    assert outcome.status is S.APPLIED
    stands = read_resource(database, account, K.WALL, wall).data
    assert (stands["substrate"], stands["name"], stands["length_mm"]) == ("stone", "Gable", 4210)


GEOMETRY = [
    ({"length_mm": 4210}, {"height_left_mm": 2500}),
    ({"corner_deg": 95}, {"proud_mm": 12}),
    ({"floor_left_mm": -20, "name": "Gable"}, {"length_mm": 4190, "lined": False}),
]


@pytest.mark.parametrize(("theirs", "mine"), GEOMETRY)
@pytest.mark.parametrize("op", [Op.PUT, Op.PATCH])
def test_all_geometry_of_a_wall_is_one_member(
    database: Database, account: UUID, send: Send, wall: UUID, room: dict[str, Any], theirs: Any, mine: Any, op: Op
) -> None:
    patch_resource(database, account, K.WALL, wall, theirs, ANY)
    before = read_resource(database, account, K.WALL, wall)
    data = mine if op is Op.PATCH else {"room_id": room["id"], "length_mm": 4200, **mine}
    (outcome,) = send(Mutation("m", K.WALL, wall, op, 3, data))
    assert outcome.status is S.CONFLICT
    assert outcome.change and outcome.change.record == before == read_resource(database, account, K.WALL, wall)
    geometry = {*theirs, *mine} - {"name", "lined"}
    assert set(outcome.members) == geometry


def test_an_openings_geometry_is_one_member_and_its_name_another(
    database: Database, account: UUID, send: Send, room: dict[str, Any]
) -> None:
    window = UUID(str(room["walls"][0]["openings"][0]["id"]))
    patch_resource(database, account, K.OPENING, window, {"width_mm": 1190}, ANY)
    assert statuses(send(patch(K.OPENING, window, 5, sill_mm=910), patch(K.OPENING, window, 5, name="Bay"))) == [
        S.CONFLICT,
        S.APPLIED,
    ]


def test_a_features_place_is_not(database: Database, account: UUID, send: Send, room: dict[str, Any]) -> None:
    socket = UUID(str(room["walls"][0]["features"][0]["id"]))
    patch_resource(database, account, K.FEATURE, socket, {"x_mm": 410}, ANY)
    assert statuses(send(patch(K.FEATURE, socket, 6, y_mm=500))) == [S.APPLIED]
    assert statuses(send(patch(K.FEATURE, socket, 6, x_mm=420))) == [S.CONFLICT]


def test_equal_values_are_no_conflict(
    database: Database, account: UUID, send: Send, wall: UUID, counter: Callable[[], int]
) -> None:
    patch_resource(database, account, K.WALL, wall, {"length_mm": 4210, "name": "Gable"}, ANY)
    (outcome,) = send(patch(K.WALL, wall, 3, length_mm=4210, name="Gable"))
    assert outcome.status is S.APPLIED
    assert counter() == 8, "nothing to write"


def test_what_was_changed_and_changed_back_is_no_conflict(database: Database, account: UUID, send: Send, wall: UUID) -> None:
    for length in (4300, 4200):
        patch_resource(database, account, K.WALL, wall, {"length_mm": length}, ANY)
    assert statuses(send(patch(K.WALL, wall, 3, height_left_mm=2500))) == [S.APPLIED]


def test_a_patch_that_names_a_value_means_it_even_where_the_device_saw_it(
    database: Database, account: UUID, send: Send, wall: UUID
) -> None:
    """It was 4200, somebody wrote 4210, the device insists on 4200: that is for people to settle."""
    patch_resource(database, account, K.WALL, wall, {"length_mm": 4210}, ANY)
    assert statuses(send(patch(K.WALL, wall, 3, length_mm=4200))) == [S.CONFLICT]


def test_the_very_next_write_after_what_was_seen_is_not_seen(
    database: Database, account: UUID, send: Send, room: dict[str, Any]
) -> None:
    """The row's own version and the next number: one apart."""
    (made,) = send(put(K.WALL, uuid4(), None, room_id=room["id"], length_mm=3000))
    assert made.change and made.change.version == 8
    assert patch_resource(database, account, K.WALL, made.change.id, {"length_mm": 3010}, ANY).version == 9
    assert statuses(send(patch(K.WALL, made.change.id, 8, length_mm=3020))) == [S.CONFLICT]
    assert statuses(send(patch(K.WALL, made.change.id, 9, length_mm=3020))) == [S.APPLIED]


def test_a_put_of_what_somebody_else_made_conflicts_unless_it_is_the_same(database: Database, send: Send, project: UUID) -> None:
    id = uuid4()
    data = {"project_id": project, "ceiling_height_mm": 2300}
    assert statuses(send(put(K.ROOM, id, None, **data))) == [S.APPLIED]
    assert statuses(send(put(K.ROOM, id, None, **data))) == [S.APPLIED]
    assert statuses(send(put(K.ROOM, id, None, project_id=project, ceiling_height_mm=2310))) == [S.CONFLICT]


def test_a_device_does_not_conflict_with_itself(database: Database, account: UUID, send: Send, wall: UUID) -> None:
    """Three edits made offline on what it saw at version 3, the last of them sent after the answer to the first two was lost."""
    first, second = patch(K.WALL, wall, 3, length_mm=4150), patch(K.WALL, wall, 3, length_mm=4160, name="Gable")
    assert statuses(send(first, second)) == [S.APPLIED, S.APPLIED]
    assert statuses(send(first, second, patch(K.WALL, wall, 3, length_mm=4170))) == [S.DUPLICATE, S.DUPLICATE, S.APPLIED]
    assert read_resource(database, account, K.WALL, wall).data["length_mm"] == 4170
    assert statuses(send(patch(K.WALL, wall, 3, length_mm=4180))) == [S.CONFLICT], "without them, whose they are is not known"


def test_a_device_that_wrote_over_anothers_change_has_not_seen_it(
    database: Database, account: UUID, send: Send, wall: UUID
) -> None:
    """Own name, another's length, own name again: the length is still not seen."""
    first = patch(K.WALL, wall, 3, name="A")
    send(first)
    patch_resource(database, account, K.WALL, wall, {"length_mm": 4210}, ANY)
    second = patch(K.WALL, wall, 3, name="B")
    assert statuses(send(first, second)) == [S.DUPLICATE, S.APPLIED]
    outcomes = send(first, second, patch(K.WALL, wall, 3, proud_mm=9), delete(K.WALL, wall, 7))
    assert statuses(outcomes) == [S.DUPLICATE, S.DUPLICATE, S.CONFLICT, S.CONFLICT]


def test_the_first_result_is_repeated_whatever_it_was_and_whatever_came_after(
    database: Database, account: UUID, send: Send, wall: UUID, counter: Callable[[], int]
) -> None:
    good, bad = patch(K.WALL, wall, 3, length_mm=4150), patch(K.WALL, wall, 3, length_mm=0)
    patch_resource(database, account, K.WALL, wall, {"name": "Gable"}, ANY)
    late = patch(K.WALL, wall, 3, name="Street wall")
    first = send(good, bad, late)
    assert statuses(first) == [S.APPLIED, S.REFUSED, S.CONFLICT]
    delete_resource(database, account, K.WALL, wall, ANY, with_children=True)
    stood = counter()
    again = send(good, bad, late)
    assert statuses(again) == [S.DUPLICATE] * 3
    assert [outcome.first for outcome in again] == statuses(first)
    assert [outcome.faults for outcome in again] == [outcome.faults for outcome in first]
    assert [outcome.members for outcome in again] == [outcome.members for outcome in first]
    for one, other in zip(first, again, strict=True):
        assert (one.change is None) is (other.change is None)
        if one.change and one.change.record and other.change and other.change.record:
            assert other.change.version == one.change.version
            assert other.change.record.data["length_mm"] == one.change.record.data["length_mm"]
    assert counter() == stood


def test_twice_in_one_request_is_once(send: Send, wall: UUID, counter: Callable[[], int]) -> None:
    mutation = patch(K.WALL, wall, 3, length_mm=4150)
    assert statuses(send(mutation, mutation)) == [S.APPLIED, S.DUPLICATE]
    assert counter() == 8


def test_an_id_of_a_mutation_stands_for_one_wish(
    database: Database, account: UUID, send: Send, wall: UUID, project: UUID
) -> None:
    send(Mutation("m", K.WALL, wall, Op.PATCH, 3, {"length_mm": 4150}))
    (rebased,) = send(Mutation("m", K.WALL, wall, Op.PATCH, 8, {"length_mm": 4150}))
    assert rebased.status is S.DUPLICATE, "the same wish, sent by a device that has read on meanwhile"
    (other,) = send(Mutation("m", K.WALL, wall, Op.PATCH, 8, {"length_mm": 4160}))
    assert codes(other) == [("#/mutation_id", "mutation_id_used")]
    elsewhere = create_resource(database, account, K.PROJECT, {}).id
    (outcome,) = apply_mutations(
        database, account, elsewhere, [Mutation("m", K.PROJECT, elsewhere, Op.PATCH, 1, {"notes": "Other."})]
    )
    assert outcome.status is S.APPLIED, "another project's mutations have ids of their own"


def test_a_delete_takes_what_it_has_seen_and_conflicts_with_what_it_has_not(
    database: Database, account: UUID, send: Send, room: dict[str, Any], wall: UUID, counter: Callable[[], int]
) -> None:
    id, seen = UUID(str(room["id"])), counter()
    patch_resource(database, account, K.WALL, wall, {"name": "Gable"}, ANY)
    socket = create_resource(database, account, K.FEATURE, {"kind": "socket", "x_mm": 9, "y_mm": 9}, parent_id=wall)
    (conflict,) = send(delete(K.ROOM, id, seen))
    assert conflict.status is S.CONFLICT
    assert conflict.change and (conflict.change.id, conflict.change.deleted) == (id, False)
    assert [(change.id, change.version) for change in conflict.newer] == [(wall, 8), (socket.id, 9)]
    assert statuses(send(delete(K.ROOM, id, counter()))) == [S.APPLIED]
    assert read_survey(database, account, room_project(database, account, id)).document == {"rooms": []}


def room_project(database: Database, account: UUID, room: UUID) -> UUID:
    from service.store import rows
    from service.store.models import Room

    with database.read() as session:
        row = rows.kept(session, account, K.ROOM, room)
        assert isinstance(row, Room)
        return row.project_id


def test_a_device_may_delete_what_it_just_wrote(send: Send, wall: UUID, room: dict[str, Any], counter: Callable[[], int]) -> None:
    socket = uuid4()
    edits = [
        put(K.FEATURE, socket, None, wall_id=wall, kind="socket", x_mm=9, y_mm=9),
        patch(K.WALL, wall, 3, length_mm=4150),
    ]
    assert statuses(send(*edits)) == [S.APPLIED, S.APPLIED]
    outcomes = send(*edits, delete(K.WALL, wall, 7), delete(K.ROOM, UUID(str(room["id"])), 7))
    assert statuses(outcomes) == [S.DUPLICATE, S.DUPLICATE, S.APPLIED, S.APPLIED]


def test_what_is_deleted_stays_so_and_shows_its_last_copy(
    database: Database, account: UUID, send: Send, wall: UUID, room: dict[str, Any]
) -> None:
    delete_resource(database, account, K.WALL, wall, ANY, with_children=True)
    outcomes = send(
        patch(K.WALL, wall, 3, name="Gable"),
        put(K.WALL, wall, 3, room_id=room["id"], length_mm=4200),
        put(K.FEATURE, uuid4(), None, wall_id=wall, kind="socket", x_mm=9, y_mm=9),
        delete(K.WALL, wall, 3),
    )
    assert statuses(outcomes) == [S.CONFLICT, S.CONFLICT, S.CONFLICT, S.APPLIED]
    for outcome in outcomes[:3]:
        change = outcome.change
        assert change and change.record and (change.kind, change.id, change.deleted) == (K.WALL, wall, True)
        assert change.record.data["length_mm"] == 4200


def test_what_is_wrong_is_refused_and_the_others_are_applied(
    database: Database, account: UUID, other_account: UUID, send: Send, project: UUID, wall: UUID, room: dict[str, Any]
) -> None:
    foreign = create_resource(database, other_account, K.PROJECT, {"survey": {"rooms": [{"ceiling_height_mm": 2400}]}})
    foreign_room = UUID(str(read_survey(database, other_account, foreign.id).document["rooms"][0]["id"]))
    sibling = create_resource(database, account, K.PROJECT, {"reference": "INV-2"})
    sibling_room = create_resource(database, account, K.ROOM, {"ceiling_height_mm": 2400}, parent_id=sibling.id)
    height, new = {"ceiling_height_mm": 2400}, uuid4()
    wanted: list[tuple[Mutation, list[tuple[str, str]]]] = [
        (patch(K.WALL, wall, 3, length_mm=0, lined="no"), [("#/data/length_mm", "out_of_range"), ("#/data/lined", "wrong_type")]),
        (patch(K.WALL, wall, 3, colour="red"), [("#/data/colour", "unknown_member")]),
        (put(K.WALL, wall, 3, room_id=room["id"]), [("#/data/length_mm", "required")]),
        (patch(K.WALL, wall, 3, room_id=sibling_room.id), [("#/data/room_id", "fixed")]),
        (patch(K.WALL, wall, None, name="x"), [("#/base_version", "required")]),
        (delete(K.WALL, wall, None), [("#/base_version", "required")]),
        (patch(K.WALL, wall, 1000, name="x"), [("#/base_version", "unknown_version")]),
        (patch(K.WALL, new, 3, name="x"), [("#/id", "unknown_id")]),
        (delete(K.WALL, new, 3), [("#/id", "unknown_id")]),
        (put(K.WALL, new, None, room_id=new, length_mm=1), [("#/data/room_id", "unknown_id")]),
        (put(K.WALL, new, None, room_id=sibling_room.id, length_mm=1), [("#/data/room_id", "unknown_id")]),
        (put(K.WALL, new, None, room_id=foreign_room, length_mm=1), [("#/data/room_id", "unknown_id")]),
        (put(K.WALL, new, None, length_mm=1), [("#/data/room_id", "required")]),
        (put(K.ROOM, new, None, project_id=sibling.id, **height), [("#/data/project_id", "unknown_id")]),
        (put(K.ROOM, foreign_room, None, project_id=project, **height), [("#/id", "unknown_id")]),
        (put(K.ROOM, sibling_room.id, None, project_id=project, **height), [("#/id", "unknown_id")]),
        (put(K.ROOM, wall, None, project_id=project, **height), [("#/id", "id_of_another_kind")]),
        (patch(K.PROJECT, project, 7, reference="INV-2"), [("#/data/reference", "taken")]),
        (patch(K.PROJECT, project, 7, catalogue_id=new), [("#/data/catalogue_id", "unknown_id")]),
        (patch(K.PROJECT, sibling.id, 1, notes="x"), [("#/id", "other_id")]),
        (delete(K.PROJECT, project, 7), [("#/op", "not_here")]),
        (Mutation("known", K.WALL, wall, Op.PATCH, 3, {}, (Fault("#/data/x", "Wrong.", "w"),)), [("#/data/x", "w")]),
    ]
    good = patch(K.WALL, wall, 3, name="Gable")
    outcomes = send(*(mutation for mutation, _ in wanted), good)
    assert [codes(outcome) for outcome in outcomes[:-1]] == [expected for _, expected in wanted]
    assert outcomes[-1].status is S.APPLIED
    assert read_resource(database, account, K.WALL, wall).data["name"] == "Gable"
    assert read_survey(database, account, project).version == 8


def test_all_or_nothing(database: Database, account: UUID, send: Send, wall: UUID, counter: Callable[[], int]) -> None:
    good, bad = patch(K.WALL, wall, 3, name="Gable"), patch(K.WALL, wall, 3, length_mm=0)
    with pytest.raises(NotAllApplied) as refused:
        send(good, bad, atomic=True)
    assert statuses(refused.value.outcomes) == [S.NOT_APPLIED, S.REFUSED]
    assert (counter(), read_resource(database, account, K.WALL, wall).data["name"]) == (7, None)
    assert statuses(send(good, atomic=True)) == [S.APPLIED], "nothing of the failed request was kept"
    assert statuses(send(good, atomic=True)) == [S.DUPLICATE]
    with pytest.raises(NotAllApplied) as refused:
        send(good, patch(K.WALL, wall, 3, name="Street wall"), bad, atomic=True)
    assert statuses(refused.value.outcomes) == [S.DUPLICATE, S.NOT_APPLIED, S.REFUSED], "the first name was the device's own"
    assert statuses(send(bad)) == [S.REFUSED]
    with pytest.raises(NotAllApplied) as refused:
        send(bad, atomic=True)
    assert statuses(refused.value.outcomes) == [S.DUPLICATE], "a duplicate of what was not applied is not applied"


def test_a_position_is_kept_by_a_put_and_goes_last_by_a_patch_with_null(
    database: Database, account: UUID, send: Send, wall: UUID, room: dict[str, Any]
) -> None:
    send(put(K.WALL, wall, 3, room_id=room["id"], length_mm=4200, name="Gable"))
    assert read_resource(database, account, K.WALL, wall).data["position"] == room["walls"][0]["position"]
    send(patch(K.WALL, wall, 8, position=None))
    assert read_resource(database, account, K.WALL, wall).data["position"] > room["walls"][1]["position"]


def test_nobody_elses_project_and_no_deleted_one_takes_mutations(
    database: Database, account: UUID, other_account: UUID, project: UUID
) -> None:
    with pytest.raises(Missing):
        apply_mutations(database, other_account, project, [])
    assert apply_mutations(database, account, project, []) == []
    delete_resource(database, account, K.PROJECT, project, ANY)
    with pytest.raises(Gone):
        apply_mutations(database, account, project, [])


def test_a_value_of_before_the_past_was_kept_counts_as_changed(database: Database, account: UUID, send: Send, wall: UUID) -> None:
    from sqlalchemy import delete as remove

    from service.store.models import Overwritten

    for length in (4300, 4200):
        patch_resource(database, account, K.WALL, wall, {"length_mm": length}, ANY)
    with database.write() as session:
        session.execute(remove(Overwritten))
    assert statuses(send(patch(K.WALL, wall, 3, height_left_mm=2500), patch(K.WALL, wall, 3, name="Gable"))) == [
        S.CONFLICT,
        S.APPLIED,
    ]
