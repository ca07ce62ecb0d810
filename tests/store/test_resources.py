"""Reading, making, replacing, patching, deleting and listing, one by one."""

from collections.abc import Callable
from typing import Any
from uuid import UUID, uuid4

import pytest

from service.errors import Conflict, Fault, Gone, Invalid, Missing, PreconditionFailed, PreconditionRequired
from service.store.database import Database
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.list_resources import list_resources
from service.usecases.patch_resource import patch_resource
from service.usecases.read_resource import read_resource
from service.usecases.records import Precondition, Record
from service.usecases.replace_resource import replace_resource
from service.vocabulary import ResourceKind as K

ANY, NONE = Precondition.any(), Precondition.none()
OPENING = {"kind": "window", "offset_mm": 500, "width_mm": 900, "sill_mm": 900, "height_mm": 1100}
FEATURE = {"kind": "socket", "x_mm": 300, "y_mm": 450}
ITEM = {"sku": "S-24", "component": "c_stud", "length_mm": 2400}


@pytest.fixture
def tree(database: Database, account: UUID) -> dict[K, Record]:
    """One of each kind, hanging together."""
    made: dict[K, Record] = {}

    def make(kind: K, data: dict[str, Any], parent: K | None = None) -> None:
        made[kind] = create_resource(database, account, kind, data, parent_id=made[parent].id if parent else None)

    make(K.SPECIFICATION, {"name": "Usual"})
    make(K.CATALOGUE, {"name": "Counter range"})
    make(K.CATALOGUE_ITEM, ITEM, K.CATALOGUE)
    make(K.PROJECT, {"reference": "PLOT-1"})
    make(K.ROOM, {"ceiling_height_mm": 2400}, K.PROJECT)
    make(K.WALL, {"length_mm": 3000}, K.ROOM)
    make(K.OPENING, OPENING, K.WALL)
    make(K.FEATURE, FEATURE, K.WALL)
    return made


STORED = [K.SPECIFICATION, K.CATALOGUE, K.CATALOGUE_ITEM, K.PROJECT, K.ROOM, K.WALL, K.OPENING, K.FEATURE]


def faults_of(wrong: pytest.ExceptionInfo[Invalid]) -> dict[str, str]:
    return {fault.pointer: fault.code for fault in wrong.value.faults}


def given(record: Record) -> dict[str, Any]:
    """What a caller would send to put a record just as it is."""
    return {name: value for name, value in record.data.items() if name not in ("created_at", "updated_at")}


@pytest.mark.parametrize("kind", STORED)
def test_what_was_answered_can_be_put_back_and_changes_nothing(
    database: Database, account: UUID, tree: dict[K, Record], kind: K
) -> None:
    before = read_resource(database, account, kind, tree[kind].id)
    assert replace_resource(database, account, kind, before.id, given(before), NONE) == (before, False)
    assert patch_resource(database, account, kind, before.id, given(before), Precondition.match([before.version + 5])) == before


@pytest.mark.parametrize("kind", STORED)
def test_another_account_finds_nothing_under_any_id(
    database: Database, other_account: UUID, tree: dict[K, Record], kind: K
) -> None:
    record, attempts = tree[kind], []
    attempts.append(lambda: read_resource(database, other_account, kind, record.id))
    attempts.append(lambda: replace_resource(database, other_account, kind, record.id, given(record), ANY))
    attempts.append(lambda: patch_resource(database, other_account, kind, record.id, {"name": "Mine"}, ANY))
    attempts.append(lambda: delete_resource(database, other_account, kind, record.id, ANY, with_children=True))
    for attempt in attempts:
        with pytest.raises(Missing):
            attempt()


def test_another_account_lists_and_hangs_nothing_beneath_what_is_not_its_own(
    database: Database, other_account: UUID, tree: dict[K, Record]
) -> None:
    for kind, parent in ((K.ROOM, K.PROJECT), (K.WALL, K.ROOM), (K.OPENING, K.WALL), (K.CATALOGUE_ITEM, K.CATALOGUE)):
        with pytest.raises(Missing):
            list_resources(database, other_account, kind, parent_id=tree[parent].id)
        with pytest.raises(Missing):
            create_resource(database, other_account, kind, {}, parent_id=tree[parent].id)
    for kind in (K.SPECIFICATION, K.CATALOGUE, K.PROJECT, K.KEY, K.TAKEOFF):
        assert list_resources(database, other_account, kind).items == ()
    data = {"ceiling_height_mm": 2400, "project_id": str(tree[K.PROJECT].id)}
    with pytest.raises(Invalid) as wrong:
        replace_resource(database, other_account, K.ROOM, uuid4(), data, NONE)
    assert faults_of(wrong) == {"#/project_id": "unknown_id"}
    named = {"specification_id": str(tree[K.SPECIFICATION].id), "catalogue_id": str(tree[K.CATALOGUE].id)}
    with pytest.raises(Invalid) as wrong:
        create_resource(database, other_account, K.PROJECT, named)
    assert faults_of(wrong) == {"#/specification_id": "unknown_id", "#/catalogue_id": "unknown_id"}


@pytest.mark.parametrize("kind", STORED)
def test_a_deleted_id_stays_deleted(database: Database, account: UUID, tree: dict[K, Record], kind: K) -> None:
    record = read_resource(database, account, kind, tree[kind].id)
    delete_resource(database, account, kind, record.id, Precondition.match([record.version]), with_children=True)
    delete_resource(database, account, kind, record.id, NONE)
    delete_resource(database, account, kind, record.id, Precondition.match([record.version]))
    for attempt in (
        lambda: read_resource(database, account, kind, record.id),
        lambda: replace_resource(database, account, kind, record.id, given(record), ANY),
        lambda: patch_resource(database, account, kind, record.id, {"name": "Back"}, ANY),
    ):
        with pytest.raises(Gone):
            attempt()


def test_what_was_beneath_a_deleted_project_is_gone_too(database: Database, account: UUID, tree: dict[K, Record]) -> None:
    delete_resource(database, account, K.PROJECT, tree[K.PROJECT].id, ANY)
    for kind in (K.ROOM, K.WALL, K.OPENING, K.FEATURE):
        with pytest.raises(Gone):
            read_resource(database, account, kind, tree[kind].id)
    with pytest.raises(Gone):
        create_resource(database, account, K.WALL, {"length_mm": 900}, parent_id=tree[K.ROOM].id)
    with pytest.raises(Invalid) as wrong:
        replace_resource(database, account, K.WALL, uuid4(), {"length_mm": 900, "room_id": str(tree[K.ROOM].id)}, NONE)
    assert faults_of(wrong) == {"#/room_id": "deleted_id"}


@pytest.mark.parametrize(("kind", "children"), [(K.ROOM, [K.WALL]), (K.WALL, [K.OPENING, K.FEATURE])])
def test_children_are_deleted_only_when_asked(
    database: Database, account: UUID, tree: dict[K, Record], kind: K, children: list[K]
) -> None:
    with pytest.raises(Conflict) as refused:
        delete_resource(database, account, kind, tree[kind].id, ANY)
    assert refused.value.extra["children"] == [{"type": child.value, "id": str(tree[child].id)} for child in children]
    delete_resource(database, account, kind, tree[kind].id, ANY, with_children=True)
    with pytest.raises(Gone):
        read_resource(database, account, K.FEATURE, tree[K.FEATURE].id)


@pytest.mark.parametrize("kind", [K.SPECIFICATION, K.CATALOGUE])
def test_what_a_project_uses_is_not_deleted(database: Database, account: UUID, tree: dict[K, Record], kind: K) -> None:
    project = tree[K.PROJECT]
    patch_resource(database, account, K.PROJECT, project.id, {f"{kind}_id": str(tree[kind].id)}, ANY)
    with pytest.raises(Conflict) as refused:
        delete_resource(database, account, kind, tree[kind].id, ANY)
    assert refused.value.extra["used_by"] == [{"type": "project", "id": str(project.id)}]
    delete_resource(database, account, K.PROJECT, project.id, ANY)
    delete_resource(database, account, kind, tree[kind].id, ANY)
    with pytest.raises(Invalid) as wrong:
        create_resource(database, account, K.PROJECT, {f"{kind}_id": str(tree[kind].id)})
    assert faults_of(wrong) == {f"#/{kind}_id": "unknown_id"}


CHANGES: list[tuple[str, Callable[[Database, UUID, Record, Precondition], object]]] = [
    ("patch", lambda d, a, r, p: patch_resource(d, a, K.ROOM, r.id, {"name": "Study"}, p)),
    ("put", lambda d, a, r, p: replace_resource(d, a, K.ROOM, r.id, {**given(r), "name": "Study"}, p)),
    ("delete", lambda d, a, r, p: delete_resource(d, a, K.ROOM, r.id, p, with_children=True)),
]


@pytest.mark.parametrize("change", [change for _, change in CHANGES], ids=[name for name, _ in CHANGES])
def test_a_change_says_which_version_it_changes(
    database: Database, account: UUID, tree: dict[K, Record], change: Callable[..., object]
) -> None:
    room = tree[K.ROOM]
    with pytest.raises(PreconditionRequired):
        change(database, account, room, NONE)
    for stale in (Precondition.match([room.version - 1]), Precondition(absent=True)):
        with pytest.raises(PreconditionFailed) as refused:
            change(database, account, room, stale)
        assert refused.value.extra == {"version": room.version}
    assert read_resource(database, account, K.ROOM, room.id) == room
    change(database, account, room, Precondition.match([room.version, 99]))


def test_a_retry_of_a_change_that_stands_succeeds(database: Database, account: UUID, tree: dict[K, Record]) -> None:
    seen = Precondition.match([tree[K.ROOM].version])
    first = patch_resource(database, account, K.ROOM, tree[K.ROOM].id, {"name": "Study"}, seen)
    again = patch_resource(database, account, K.ROOM, tree[K.ROOM].id, {"name": "Study"}, seen)
    assert again == first
    put, made = replace_resource(database, account, K.ROOM, first.id, given(first), Precondition(absent=True))
    assert (put, made) == (first, False)


def test_put_makes_what_was_not_there_and_expects_nothing_of_it(database: Database, account: UUID) -> None:
    id = uuid4()
    for believed in (ANY, Precondition.match([1])):
        with pytest.raises(PreconditionFailed):
            replace_resource(database, account, K.PROJECT, id, {"name": "Barn"}, believed)
    record, made = replace_resource(database, account, K.PROJECT, id, {"name": "Barn"}, Precondition(absent=True))
    assert (made, record.id, record.version, record.data["repeat"]) == (True, id, 1, 1)


def test_put_puts_members_left_out_back_to_their_defaults(database: Database, account: UUID, tree: dict[K, Record]) -> None:
    wall = tree[K.WALL]
    full = {"room_id": str(wall.data["room_id"]), "length_mm": 3100, "substrate": "stone", "corner_deg": 135, "lined": False}
    changed, _ = replace_resource(database, account, K.WALL, wall.id, {**full, "position": 7.5}, ANY)
    assert (changed.data["substrate"], changed.data["corner_deg"], changed.data["position"]) == ("stone", 135, 7.5)
    short = {"room_id": str(wall.data["room_id"]), "length_mm": 3100}
    plain, _ = replace_resource(database, account, K.WALL, wall.id, short, ANY)
    assert (plain.data["substrate"], plain.data["corner_deg"], plain.data["lined"]) == ("solid_brick", 90, True)
    assert plain.data["position"] == 7.5  # a place among siblings is no default


def test_a_parent_is_fixed(database: Database, account: UUID, tree: dict[K, Record]) -> None:
    elsewhere = create_resource(database, account, K.ROOM, {"ceiling_height_mm": 2400}, parent_id=tree[K.PROJECT].id)
    wall, moved = tree[K.WALL], {"length_mm": 3000, "room_id": str(elsewhere.id)}
    with pytest.raises(Conflict):
        replace_resource(database, account, K.WALL, wall.id, moved, ANY)
    with pytest.raises(Conflict):
        patch_resource(database, account, K.WALL, wall.id, {"room_id": str(elsewhere.id)}, ANY)


def test_an_id_stands_for_one_thing_in_a_survey(database: Database, account: UUID, tree: dict[K, Record]) -> None:
    room = tree[K.ROOM]
    with pytest.raises(Conflict) as refused:
        replace_resource(database, account, K.WALL, room.id, {"length_mm": 3000, "room_id": str(room.id)}, NONE)
    assert refused.value.extra == {"used_by": "room"}


def test_every_fault_of_a_request_is_named(database: Database, account: UUID, tree: dict[K, Record]) -> None:
    wrong_wall = {"length_mm": 0, "lined": "yes", "substrate": "marble", "corner_deg": float("nan"), "name": "\x00", "colour": 1}
    with pytest.raises(Invalid) as wrong:
        create_resource(database, account, K.WALL, wrong_wall, parent_id=tree[K.ROOM].id)
    assert faults_of(wrong) == {
        "#/length_mm": "out_of_range",
        "#/lined": "wrong_type",
        "#/substrate": "not_in_list",
        "#/corner_deg": "wrong_type",
        "#/name": "nul",
        "#/colour": "unknown_member",
    }
    with pytest.raises(Invalid) as wrong:
        replace_resource(database, account, K.WALL, uuid4(), {"length_mm": 10.5, "room_id": "no id"}, NONE)
    assert faults_of(wrong) == {"#/room_id": "wrong_type", "#/length_mm": "wrong_type"}
    with pytest.raises(Invalid) as wrong:
        patch_resource(database, account, K.WALL, tree[K.WALL].id, {"length_mm": None}, ANY)
    assert wrong.value.faults == [Fault("#/length_mm", "This member is required.", "required")]


def test_a_reference_is_free_again_when_its_project_is_deleted(
    database: Database, account: UUID, other_account: UUID, tree: dict[K, Record]
) -> None:
    with pytest.raises(Conflict) as refused:
        create_resource(database, account, K.PROJECT, {"reference": "PLOT-1"})
    assert refused.value.extra == {"id": str(tree[K.PROJECT].id)}
    create_resource(database, other_account, K.PROJECT, {"reference": "PLOT-1"})
    delete_resource(database, account, K.PROJECT, tree[K.PROJECT].id, ANY)
    create_resource(database, account, K.PROJECT, {"reference": "PLOT-1"})


def test_lists_go_on_where_they_stopped(database: Database, account: UUID, tree: dict[K, Record]) -> None:
    room = tree[K.ROOM].id
    for position in (2, 1, 2, 0.5, 2):
        create_resource(database, account, K.WALL, {"length_mm": 1000, "position": position}, parent_id=room)
    seen, after = [], None
    while True:
        page = list_resources(database, account, K.WALL, parent_id=room, limit=2, after=after)
        seen.extend(page.items)
        after = page.next_after
        if after is None:
            break
    # The fixture's wall was the first and got position 1.
    assert [record.data["position"] for record in seen] == [0.5, 1, 1, 2, 2, 2]
    assert [record.id for record in seen] == [r.id for r in sorted(seen, key=lambda r: (r.data["position"], r.id))]
    assert len({record.id for record in seen}) == 6


def test_projects_are_listed_as_they_were_made_and_found_by_reference(database: Database, account: UUID) -> None:
    made = [create_resource(database, account, K.PROJECT, {"reference": f"PLOT-{n}"}) for n in range(5)]
    first = list_resources(database, account, K.PROJECT, limit=3)
    rest = list_resources(database, account, K.PROJECT, limit=3, after=first.next_after)
    assert [*first.items, *rest.items] == made
    assert rest.next_after is None
    assert list_resources(database, account, K.PROJECT, filters={"reference": "PLOT-3"}).items == (made[3],)
    for nonsense in ((3.5, str(made[0].id)), ("yesterday", str(made[0].id)), ("2031-05-01T12:00:00", str(made[0].id)), ("", "x")):
        with pytest.raises(ValueError):
            list_resources(database, account, K.PROJECT, after=nonsense)


def test_a_position_patched_to_null_goes_behind_the_others(database: Database, account: UUID, tree: dict[K, Record]) -> None:
    room, first = tree[K.ROOM].id, tree[K.WALL]
    second = create_resource(database, account, K.WALL, {"length_mm": 1000}, parent_id=room)
    assert (first.data["position"], second.data["position"]) == (1, 2)
    moved = patch_resource(database, account, K.WALL, first.id, {"position": None}, ANY)
    assert moved.data["position"] == 3
    assert patch_resource(database, account, K.WALL, first.id, {"position": None}, NONE) == moved


def test_times_are_utc_and_only_a_change_moves_them(database: Database, account: UUID, tree: dict[K, Record]) -> None:
    room = read_resource(database, account, K.ROOM, tree[K.ROOM].id)
    assert room.data["created_at"] == room.data["updated_at"]
    assert room.data["created_at"].endswith("Z")
    changed = patch_resource(database, account, K.ROOM, room.id, {"name": "Study"}, ANY)
    assert changed.data["created_at"] == room.data["created_at"] < changed.data["updated_at"]
