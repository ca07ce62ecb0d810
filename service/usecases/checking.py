"""Checks of one member, shared by every form."""

from collections.abc import Collection, Mapping
from typing import Any

from service.errors import Fault
from service.store.columns import REQUIRED


def read_member(data: Mapping[str, Any], name: str, info: Mapping[str, Any], at: str, faults: list[Fault]) -> Any:
    """The value to keep of one member: what was given, or the default where it was left out or null.

    `info` is the column's: its rule and its default. What is wrong is added to `faults`, and None given.
    """
    value = data.get(name)
    if value is None:
        default = info.get("default", REQUIRED)
        if default is not REQUIRED:
            return default
        faults.append(Fault(f"{at}/{name}", "This member is required.", "required"))
        return None
    wrong = info["rule"].wrong(value)
    if wrong is not None:
        faults.append(Fault(f"{at}/{name}", wrong.detail, wrong.code))
        return None
    return info["rule"].kept(value)


def refuse_unknown(data: Mapping[str, Any], known: Collection[str], at: str, faults: list[Fault]) -> None:
    for name in data:
        if name not in known:
            place = str(name).replace("~", "~0").replace("/", "~1")
            faults.append(Fault(f"{at}/{place}", "There is no such member here.", "unknown_member"))
