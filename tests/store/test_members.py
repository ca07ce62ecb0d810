"""Specifications and catalogue items: the two kinds whose JSON is not their table's columns."""

from typing import Any
from uuid import UUID

import pytest

from service.engine.parameters import PARAMETER_FIELDS
from service.errors import Conflict, Invalid
from service.store import rows
from service.store.database import Database
from service.usecases.create_resource import create_resource
from service.usecases.delete_resource import delete_resource
from service.usecases.patch_resource import patch_resource
from service.usecases.records import Precondition, Record
from service.usecases.replace_resource import replace_resource
from service.vocabulary import ROLE_COMPONENTS
from service.vocabulary import ResourceKind as K

ANY = Precondition.any()


def faults_of(wrong: pytest.ExceptionInfo[Invalid]) -> dict[str, str]:
    return {fault.pointer: fault.code for fault in wrong.value.faults}


def test_a_specification_answers_every_parameter_and_stores_those_that_were_set(database: Database, account: UUID) -> None:
    data = {"name": "Close studs", "stud_centres_mm": 400, "components": {"head_trim": "c_stud"}}
    made = create_resource(database, account, K.SPECIFICATION, data)
    assert made.data["stud_centres_mm"] == 400
    assert made.data["stud_face_mm"] == PARAMETER_FIELDS["stud_face_mm"].default
    assert PARAMETER_FIELDS.keys() <= made.data.keys()
    assert made.data["components"]["head_trim"] == "c_stud"
    assert made.data["components"].keys() == set(ROLE_COMPONENTS)
    with database.read() as session:
        row: Any = rows.live(session, account, K.SPECIFICATION, made.id)
        assert (row.parameters, row.components) == ({"stud_centres_mm": 400}, {"head_trim": "c_stud"})


def test_patching_a_parameter_to_null_puts_it_back_and_pins_no_other(database: Database, account: UUID) -> None:
    made = create_resource(database, account, K.SPECIFICATION, {"stud_centres_mm": 400, "rail_height_mm": 1250})
    patch = {"stud_centres_mm": None, "components": {"rail": "u_channel"}}
    patched = patch_resource(database, account, K.SPECIFICATION, made.id, patch, Precondition.match([1]))
    assert (patched.data["stud_centres_mm"], patched.data["rail_height_mm"], patched.version) == (600, 1250, 2)
    patch_resource(database, account, K.SPECIFICATION, made.id, {"components": {"rail": None}}, ANY)
    with database.read() as session:
        row: Any = rows.live(session, account, K.SPECIFICATION, made.id)
        assert (row.parameters, row.components) == ({"rail_height_mm": 1250}, {})


@pytest.mark.parametrize("database_url", ["sqlite"], indirect=True)
@pytest.mark.parametrize(
    ("data", "faults"),
    [
        ({"stud_centres_mm": 5, "board_layers": 1.5}, {"#/stud_centres_mm": "out_of_range", "#/board_layers": "wrong_type"}),
        # 20 deep studs in front of 80 of insulation need an offset of 100
        ({"frame_offset_mm": 60}, {"#/frame_offset_mm": "out_of_range"}),
        (
            {"components": {"stud": "timber", "mast": "c_stud"}},
            {"#/components/stud": "not_in_list", "#/components/mast": "unknown_member"},
        ),
        ({"components": []}, {"#/components": "wrong_type"}),
        ({"stud_colour": 1, "build_up": {}}, {"#/stud_colour": "unknown_member", "#/build_up": "wrong_type"}),
    ],
)
def test_a_specification_that_cannot_be_built_is_refused_by_pointer(
    database: Database, account: UUID, data: dict[str, Any], faults: dict[str, str]
) -> None:
    with pytest.raises(Invalid) as wrong:
        create_resource(database, account, K.SPECIFICATION, data)
    assert faults_of(wrong) == faults


def test_a_build_up_keeps_the_order_of_its_members(database: Database, account: UUID) -> None:
    layers = [{"name": "Board", "thickness_mm": 12.5, "conductivity_w_mk": 0.25}, {"wall": True}]
    made = create_resource(database, account, K.SPECIFICATION, {"build_up": layers, "target_u_value_w_m2k": 0.3})
    assert [list(layer) for layer in made.data["build_up"]] == [["name", "thickness_mm", "conductivity_w_mk"], ["wall"]]
    assert made.data["target_u_value_w_m2k"] == 0.3


@pytest.fixture
def catalogue(database: Database, account: UUID) -> Record:
    return create_resource(database, account, K.CATALOGUE, {"name": "Counter range", "currency": "EUR"})


STUD = {"sku": "S-24", "component": "c_stud", "length_mm": 2400}


@pytest.mark.parametrize("database_url", ["sqlite"], indirect=True)
@pytest.mark.parametrize(("sent", "minor", "shown"), [("12.3", 1230, "12.30"), ("0", 0, "0.00"), ("7.0500", 705, "7.05")])
def test_a_price_is_kept_in_minor_units(
    database: Database, account: UUID, catalogue: Record, sent: str, minor: int, shown: str
) -> None:
    data = {**STUD, "price": {"amount": sent, "currency": "EUR"}}
    item = create_resource(database, account, K.CATALOGUE_ITEM, data, parent_id=catalogue.id)
    assert item.data["price"] == {"amount": shown, "currency": "EUR"}
    with database.read() as session:
        row: Any = rows.live(session, account, K.CATALOGUE_ITEM, item.id)
        assert row.price_minor == minor


@pytest.mark.parametrize("database_url", ["sqlite"], indirect=True)
@pytest.mark.parametrize(
    ("change", "faults"),
    [
        ({"price": {"amount": "1.00", "currency": "GBP"}}, {"#/price/currency": "wrong_currency"}),
        ({"price": {"amount": "1.005", "currency": "EUR"}}, {"#/price/amount": "invalid"}),
        ({"price": {"amount": 1, "currency": "EUR"}}, {"#/price/amount": "invalid"}),
        ({"price": {"amount": "-1.00"}}, {"#/price/amount": "invalid", "#/price/currency": "required"}),
        ({"price": "1.00"}, {"#/price": "wrong_type"}),
        ({"length_mm": None}, {"#/length_mm": "required"}),
        ({"component": "plasterboard", "length_mm": None}, {"#/length_mm": "required", "#/width_mm": "required"}),
        ({"component": "glue", "pack_size": 0}, {"#/component": "not_in_list", "#/pack_size": "out_of_range"}),
    ],
)
def test_an_item_that_cannot_be_sold_is_refused_by_pointer(
    database: Database, account: UUID, catalogue: Record, change: dict[str, Any], faults: dict[str, str]
) -> None:
    with pytest.raises(Invalid) as wrong:
        create_resource(database, account, K.CATALOGUE_ITEM, {**STUD, **change}, parent_id=catalogue.id)
    assert faults_of(wrong) == faults


def test_a_sku_is_unique_in_its_catalogue(database: Database, account: UUID, catalogue: Record) -> None:
    first = create_resource(database, account, K.CATALOGUE_ITEM, STUD, parent_id=catalogue.id)
    with pytest.raises(Conflict) as refused:
        create_resource(database, account, K.CATALOGUE_ITEM, STUD, parent_id=catalogue.id)
    assert refused.value.extra == {"id": str(first.id)}
    other = create_resource(database, account, K.CATALOGUE, {})
    create_resource(database, account, K.CATALOGUE_ITEM, STUD, parent_id=other.id)
    second = create_resource(database, account, K.CATALOGUE_ITEM, {**STUD, "sku": "S-24B"}, parent_id=catalogue.id)
    with pytest.raises(Conflict):
        patch_resource(database, account, K.CATALOGUE_ITEM, second.id, {"sku": "S-24"}, ANY)
    delete_resource(database, account, K.CATALOGUE_ITEM, first.id, ANY)
    assert patch_resource(database, account, K.CATALOGUE_ITEM, second.id, {"sku": "S-24"}, ANY).data["sku"] == "S-24"


def test_a_currency_stays_while_anything_has_a_price_in_it(database: Database, account: UUID, catalogue: Record) -> None:
    data = {**STUD, "price": {"amount": "2.50", "currency": "EUR"}}
    item = create_resource(database, account, K.CATALOGUE_ITEM, data, parent_id=catalogue.id)
    with pytest.raises(Conflict):
        replace_resource(database, account, K.CATALOGUE, catalogue.id, {"currency": "GBP"}, ANY)
    renamed = patch_resource(database, account, K.CATALOGUE, catalogue.id, {"name": "Yard range"}, ANY)
    assert renamed.data["currency"] == "EUR"
    patch_resource(database, account, K.CATALOGUE_ITEM, item.id, {"price": None}, ANY)
    changed, _ = replace_resource(database, account, K.CATALOGUE, catalogue.id, {"currency": "GBP"}, ANY)
    assert changed.data == {**changed.data, "currency": "GBP", "name": None}


def test_a_price_is_patched_member_by_member(database: Database, account: UUID, catalogue: Record) -> None:
    data = {**STUD, "price": {"amount": "2.50", "currency": "EUR"}}
    item = create_resource(database, account, K.CATALOGUE_ITEM, data, parent_id=catalogue.id)
    patched = patch_resource(database, account, K.CATALOGUE_ITEM, item.id, {"price": {"amount": "2.75"}}, ANY)
    assert patched.data["price"] == {"amount": "2.75", "currency": "EUR"}
