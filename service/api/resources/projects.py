"""Projects: one dwelling each."""

from service.api import examples
from service.api.base import Blueprint
from service.api.resources.stored import Stored
from service.api.schemas.projects import Project
from service.api.schemas.queries import ProjectsQuery
from service.vocabulary import ResourceKind

projects = Blueprint("Projects", "One dwelling each, with the specification and catalogue it is taken off with.")

Stored(
    kind=ResourceKind.PROJECT,
    shapes=Project,
    nouns=("project", "projects"),
    collection="/v1/projects",
    single="/v1/projects/<uuid:project_id>",
    example=examples.PROJECT,
    sent={**examples.PROJECT_SENT, "survey": examples.SURVEY_SENT},
    patched={"notes": "The bay was measured again."},
    list_query=ProjectsQuery,
    deletes="With its whole survey. Its id, and every id in it, stays deleted.",
).add_to(projects)
