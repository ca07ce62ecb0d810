"""The tables, one file a subject. Importing this package knows them all."""

from service.store.models.accounts import Account, ApiKey, FormerSecret
from service.store.models.base import Base, Root, Versioned
from service.store.models.catalogues import Catalogue, CatalogueItem
from service.store.models.changes import MutationResult, Overwritten, SweptId
from service.store.models.claims import Claim
from service.store.models.materials import Material
from service.store.models.offcuts import Confirmation, Offcut
from service.store.models.projects import Project
from service.store.models.specifications import Specification
from service.store.models.survey import Feature, Opening, Room, SurveyRow, Wall
from service.store.models.takeoffs import Result, ResultPart, Takeoff

__all__ = [
    "Account",
    "ApiKey",
    "Base",
    "Catalogue",
    "CatalogueItem",
    "Claim",
    "Confirmation",
    "Feature",
    "FormerSecret",
    "Material",
    "MutationResult",
    "Offcut",
    "Opening",
    "Overwritten",
    "Project",
    "Result",
    "ResultPart",
    "Room",
    "Root",
    "Specification",
    "SurveyRow",
    "SweptId",
    "Takeoff",
    "Versioned",
    "Wall",
]
