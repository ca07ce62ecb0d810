"""Serving over HTTP with gunicorn, from the command line; in a container gunicorn reads docker/gunicorn.conf.py instead."""

from typing import Any

from flask import Flask
from gunicorn.app.base import BaseApplication

from service.api.app import create_app
from service.cli.workers import on_exit, on_starting, post_fork, pre_fork
from service.config import Settings
from service.store.opening import open_database

THREADS = 4


class Server(BaseApplication):  # type: ignore[misc]
    """gunicorn with its settings given here. The app is made in each worker, so that no connection crosses a fork."""

    def __init__(self, options: dict[str, Any]) -> None:
        self._options = options
        super().__init__()

    def load_config(self) -> None:
        for name, value in self._options.items():
            self.cfg.set(name, value)

    def load(self) -> Flask:
        settings = Settings.from_environment()  # with what the master has put there
        return create_app(settings, open_database(settings))


def serve(settings: Settings, host: str, port: int, workers: int = 2) -> None:
    """Serves until told to stop."""
    Server(
        {
            "bind": f"{host}:{port}",
            "workers": workers,
            "threads": THREADS,
            "worker_class": "gthread",
            "timeout": 60,
            "graceful_timeout": 30,
            "keepalive": 75,
            "on_starting": on_starting,
            "pre_fork": pre_fork,
            "post_fork": post_fork,
            "on_exit": on_exit,
            "control_socket_disable": True,
            "http_parser": "python",
            "loglevel": settings.log_level.lower() if settings.log_level != "INFO" else "warning",
        },
    ).run()
