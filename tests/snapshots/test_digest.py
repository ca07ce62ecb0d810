"""Equal digests are equal answers; nothing that cannot change an answer is in one."""

import re
from dataclasses import replace
from decimal import Decimal
from uuid import UUID, uuid4

import pytest
from surveys import WINDOW, survey, wall

from service.engine.inputs import Item, Options, Room
from service.engine.parameters import Parameters
from service.snapshots.digest import digest
from service.usecases.engine_input import engine_input, read_rooms
from service.vocabulary import Component, Currency, Pool, Role

TAKEOFF = UUID("01900000-0000-7000-8000-000000000000")


def test_it_says_how_it_was_made():
    assert re.fullmatch(r"sha256:[0-9a-f]{64}", digest(survey()))


def test_the_same_number_written_otherwise_is_the_same_digest():
    whole, decimal = (survey(rooms=(Room(walls=(wall(length),)),)) for length in (4200, 4200.0))
    assert digest(whole) == digest(decimal)
    items = [Item(component=Component.C_STUD, length_mm=3000, price_minor=price) for price in (475, Decimal("475.00"))]
    assert digest(survey(items=(items[0],))) == digest(survey(items=(items[1],)))


def test_the_order_of_items_and_allowances_makes_no_difference():
    asked = survey(options=Options(allowances={Component.C_STUD: 5, Component.BRACKET: 2}))
    turned = survey(items=asked.items[::-1], options=Options(allowances={Component.BRACKET: 2, Component.C_STUD: 5}))
    assert digest(asked) == digest(turned)


@pytest.mark.parametrize(
    "other",
    [
        survey(rooms=survey().rooms[::-1]),
        survey(rooms=(Room(walls=(wall(4201, WINDOW),)),)),
        survey(rooms=(Room(walls=(wall(4200, replace(WINDOW, sill_mm=901)),)),)),
        survey(parameters=Parameters(stud_centres_mm=400)),
        survey(components={**survey().components, Role.SHORT_STUD: Component.U_CHANNEL}),
        survey(items=survey().items[1:]),
        survey(items=tuple(replace(item, sku="A") for item in survey().items)),
        survey(currency=Currency.GBP),
        survey(options=Options(pool=Pool.ROOM)),
        survey(options=Options(kerf_mm=3)),
    ],
    ids=["rooms", "length", "opening", "parameter", "component", "item", "sku", "currency", "pool", "kerf"],
)
def test_whatever_may_change_the_answer_changes_the_digest(other):
    assert digest(other) not in {digest(survey()), digest(survey(rooms=(Room(walls=(wall(4200, WINDOW),)),)))}


def test_another_engine_is_another_digest():
    assert digest(survey(), "1") != digest(survey(), "2")


def test_ids_and_names_are_not_in_it():
    document = {"rooms": [{"ceiling_height_mm": 2700, "walls": [{"length_mm": 4200}]}]}
    named = {
        "rooms": [
            {
                "id": str(uuid4()),
                "name": "Front room",
                "storey": "ground",
                "position": 7,
                "ceiling_height_mm": 2700,
                "walls": [{"id": str(uuid4()), "name": "window wall", "length_mm": 4200, "height_left_mm": 2700}],
            }
        ]
    }
    digests = {digest(engine_input(read_rooms(survey, TAKEOFF, "#"), {}, {}, (), None, {})) for survey in (document, named)}
    assert len(digests) == 1
