"""The application: everything that speaks HTTP, wired together in visible steps."""

from datetime import timedelta

from flask import Flask

from service.api.document import begin_document
from service.api.envelope import configure_log, register_envelope
from service.api.leases import Leases
from service.api.metrics import Metrics
from service.api.problems import register_problems
from service.api.reference import register_reference
from service.api.resources.accounts import accounts
from service.api.resources.build_ups import build_ups
from service.api.resources.catalogues import catalogues, items
from service.api.resources.changes import changes
from service.api.resources.confirmations import offcuts
from service.api.resources.features import features
from service.api.resources.materials import materials
from service.api.resources.openings import openings
from service.api.resources.operations import operations
from service.api.resources.projects import projects
from service.api.resources.rooms import rooms
from service.api.resources.specifications import specifications
from service.api.resources.surveys import surveys
from service.api.resources.takeoffs import takeoffs
from service.api.resources.walls import walls
from service.config import Settings
from service.store.database import Database

BLUEPRINTS = (
    takeoffs, build_ups, projects, surveys, changes, rooms, walls, openings, features, specifications, materials, catalogues,
    items, offcuts, accounts, operations,
)  # fmt: skip
"""In the order of the document."""


def create_app(settings: Settings, database: Database) -> Flask:
    """The service over one database. Opens nothing by itself: `database` is the caller's, and so is closing it."""
    configure_log(settings.log_level)
    app = Flask("service", static_folder=None)
    app.url_map.strict_slashes = False
    app.config["MAX_CONTENT_LENGTH"] = settings.body_bytes
    app.extensions["settings"] = settings
    app.extensions["database"] = database
    app.extensions["metrics"] = Metrics(settings.metrics_dir)
    app.extensions["leases"] = Leases(timedelta(seconds=settings.claim_seconds))

    register_envelope(app)
    register_problems(app)
    with app.app_context():  # the document shows bounds of these settings
        api = begin_document(app, settings)
        for blueprint in BLUEPRINTS:
            api.register_blueprint(blueprint)
        register_reference(app)
    return app
