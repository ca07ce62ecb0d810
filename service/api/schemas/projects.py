"""Projects: one dwelling each, with the specification and the catalogue it is taken off with."""

from functools import partial

from service.api.fields import Between, Id, Int, Length, Part, Str
from service.api.schemas.build_ups import CLIMATE, YEAR_BUILT
from service.api.schemas.family import Member, Members, family
from service.api.schemas.survey import Survey

PROJECT: Members = {
    "reference": Member(
        make=partial(Str, validate=Length(1, 200)), text="Your own reference, unique in the account.", nullable=True, default=None
    ),
    "name": Member(make=partial(Str, validate=Length(1, 200)), text="What people call it.", nullable=True, default=None),
    "specification_id": Member(
        make=Id, text="The lining specification it is taken off with; null: the default one.", nullable=True, default=None
    ),
    "catalogue_id": Member(
        make=Id, text="The catalogue it is taken off with; null: the built-in range, without prices.", nullable=True, default=None
    ),
    "repeat": Member(
        make=partial(Int, validate=Between(1, 100_000)), text="How many identical dwellings it stands for.", default=1
    ),
    "notes": Member(make=partial(Str, validate=Length(0, 10_000)), text="Anything.", nullable=True, default=None),
    "climate": CLIMATE,
    "year_built": YEAR_BUILT,
}
Project = family(
    "Project",
    "One dwelling and what it is to be lined with",
    PROJECT,
    also_put={"survey": Member(make=partial(Part, Survey), text="Its whole survey, stored together with it or not at all.")},
)
