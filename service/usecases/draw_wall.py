"""Draws one wall of a takeoff."""

from uuid import UUID

from service.errors import Missing
from service.render.drawing import wall_drawing
from service.store.database import Database
from service.usecases.read_takeoff_part import read_takeoff_part
from service.vocabulary import TakeoffPart


def draw_wall(database: Database, account_id: UUID, takeoff_id: UUID, wall_id: UUID) -> bytes:
    """The wall's drawing as SVG.

    Raises:
        Missing: no such takeoff in this account, or it has no layout of such a wall.
    """
    layouts = read_takeoff_part(database, account_id, takeoff_id, TakeoffPart.LAYOUTS, wall_id=wall_id)["layouts"]
    if not layouts:
        raise Missing("This takeoff has no layout of such a wall.")
    parameters = read_takeoff_part(database, account_id, takeoff_id, "inputs")["parameters"]
    return wall_drawing(layouts[0], parameters, title=f"Wall {layouts[0]['label']}")
