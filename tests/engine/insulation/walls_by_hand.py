"""Short words for the walls, openings and rooms of hand-worked tests, and the stretches that are framed of them."""

from typing import Any

from service.engine.framing.frame import set_out_frame
from service.engine.geometry.lined import LinedStretch
from service.engine.inputs import Opening, Room, Wall
from service.engine.parameters import Parameters
from service.vocabulary import ROLE_COMPONENTS, Component, OpeningKind

STOCK = {Component.C_STUD: (2400, 2700, 3000, 3600), Component.U_CHANNEL: (3000,)}


def wall(length: float, height: float = 2400, right: float | None = None, **given: Any) -> Wall:
    """`right`: the height at the right-hand end where it differs."""
    return Wall(length_mm=length, height_left_mm=height, height_right_mm=height if right is None else right, **given)


def hole(offset: float, width: float, sill: float, head: float, kind: OpeningKind = OpeningKind.WINDOW, **given: Any) -> Opening:
    return Opening(kind=kind, offset_mm=offset, width_mm=width, sill_mm=sill, height_mm=head - sill, **given)


def framed(*walls: Wall, closed: bool = False, parameters: Parameters | None = None) -> tuple[LinedStretch, ...]:
    room = Room(walls=walls, closed=closed)
    return set_out_frame((room,), parameters or Parameters(), ROLE_COMPONENTS, STOCK).lined
