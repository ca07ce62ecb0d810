"""Changes that break callers and are meant to: each listed with its reason, none listed for nothing."""

from collections.abc import Iterable, Mapping

from service.contract.rules import Change


def unintended(changes: Iterable[Change], intended: Iterable[Mapping[str, str]]) -> list[Change]:
    """Those that break callers and are not in the list. `intended`: `rule`, `where` and `why` of each."""
    listed = {(entry["rule"], entry["where"]) for entry in intended}
    return [change for change in changes if change.rule is not None and (change.rule, change.where) not in listed]


def listed_for_nothing(changes: Iterable[Change], intended: Iterable[Mapping[str, str]]) -> list[Mapping[str, str]]:
    """Entries of the list that are about no change: the document went another way, or was released since."""
    made = {(change.rule, change.where) for change in changes}
    return [entry for entry in intended if (entry["rule"], entry["where"]) not in made]
