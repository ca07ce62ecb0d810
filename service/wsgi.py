"""What a WSGI server loads: `service.wsgi:app`."""

from service.api.app import create_app
from service.config import Settings
from service.store.opening import open_database

settings = Settings.from_environment()
app = create_app(settings, open_database(settings))
