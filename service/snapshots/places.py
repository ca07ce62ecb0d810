"""How rooms, walls, openings, features and offcuts are named in a stored result: by place, so that equal surveys can share it."""

from typing import Any

Json = dict[str, Any]


def room_place(room: int) -> str:
    return str(room)


def wall_place(room: int, wall: int) -> str:
    return f"{room}/{wall}"


def opening_place(room: int, wall: int, opening: int) -> str:
    return f"{room}/{wall}/opening-{opening}"


def feature_place(room: int, wall: int, feature: int) -> str:
    return f"{room}/{wall}/feature-{feature}"


def offcut_place(number: int) -> str:
    """The number-th of the offcuts offered, in their fixed order."""
    return f"offcut-{number}"


def in_survey_order(place: str) -> tuple[int, ...]:
    """Sort key for places of rooms and walls, and for what begins with one: 1/2 comes before 1/10."""
    return tuple(int(number) for number in place.split("/") if number.isdigit())
