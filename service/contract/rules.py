"""The rules by number: what breaks a caller. `openapi/POLICY.md` tells callers the same list; a test holds it to this one."""

from dataclasses import dataclass

RULES: dict[str, str] = {
    "B1": "A path is gone, or the names in it are others.",
    "B2": "An operation is gone from a path.",
    "B3": "An operation has another operationId.",
    "B4": "An operation is under another tag.",
    "B5": "An operation needs a scope that it did not need.",
    "B6": "A status is gone, or a status of success is new.",
    "B7": "A media type is gone from a request or an answer.",
    "B8": "A header or link is gone from an answer.",
    "B9": "A parameter is gone.",
    "B10": "A parameter or a body is newly required.",
    "B11": "A request has lost a member.",
    "B12": "A member is newly required in a request.",
    "B13": "A request takes fewer types of value, or a closed object where it took an open one.",
    "B14": "A range, length or count is narrower in a request.",
    "B15": "A pattern or format is new or another in a request.",
    "B16": "A list of words has lost one, or is new, in a request.",
    "B17": "A default is another, or gone, in a request.",
    "B18": "An answer has lost a member.",
    "B19": "A member that an answer always had may be missing.",
    "B20": "An answer may hold a type of value that it could not hold, null among them.",
    "B21": "A list of words has gained one, or is no longer closed, in an answer.",
    "B22": "A range, length, count, pattern or format is wider or another in an answer.",
    "B23": "A named shape is gone from a place, or another stands there.",
    "B24": "A type of problem is gone, or has another status or title.",
    "B25": "Something differs that no rule above knows.",
}


@dataclass(frozen=True, slots=True)
class Change:
    """One difference. `rule`: the one by which it breaks callers, None where it breaks none. `where`: as it is listed."""

    rule: str | None
    where: str
    what: str

    def __str__(self) -> str:
        return f"{self.rule or '+':<4}{self.where}: {self.what}"
