"""The digest of an engine input: equal for inputs that must give equal answers."""

import hashlib
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from typing import Any

import orjson

from service.engine.inputs import TakeoffInput
from service.engine.recipe import ENGINE_VERSION


def digest(inputs: TakeoffInput, engine_version: str = ENGINE_VERSION) -> str:
    """`sha256:…` over geometry, parameters, components, items, offcuts, currency, options and the engine's version.

    4200 and 4200.0 are the same number; the order of items, of offcuts, of members and of allowances makes no difference.
    """
    canonical = _plain(inputs)
    for offered in ("items", "offcuts"):
        canonical[offered] = sorted(canonical[offered], key=orjson.dumps)
    text = orjson.dumps({"engine_version": engine_version, "inputs": canonical}, option=orjson.OPT_SORT_KEYS)
    return f"sha256:{hashlib.sha256(text).hexdigest()}"


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): _plain(entry) for key, entry in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(entry) for entry in value]
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else str(value.normalize())
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value
