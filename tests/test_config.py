"""Settings: read once from the environment, checked before anything starts."""

from dataclasses import FrozenInstanceError
from pathlib import Path

import pytest

from service.config import InvalidSettings, Settings


def test_nothing_set_gives_a_sqlite_file_in_the_data_folder() -> None:
    settings = Settings.from_environment({"SERVICE_DATA_DIR": "/srv/takeoff"})
    assert settings.database_url == "sqlite:////srv/takeoff/service.sqlite"
    assert Settings.from_environment({}).database_url == f"sqlite:///{Path('data').absolute()}/service.sqlite"


def test_each_setting_is_read_in_its_type() -> None:
    environment = {
        "DATABASE_URL": "postgresql://db/takeoff",
        "PROMETHEUS_MULTIPROC_DIR": "/run/counts",
        "SERVICE_BODY_BYTES": "1000",
        "SERVICE_TRANSACTION_POOLER": "true",
        "SERVICE_LOG_LEVEL": "WARNING",
        "SERVICE_POOL_SIZE": "",
        "SERVICE_OF_SOMEONE_ELSE": "left alone",
    }
    settings = Settings.from_environment(environment)
    assert (settings.database_url, settings.body_bytes, settings.transaction_pooler) == ("postgresql://db/takeoff", 1000, True)
    assert (settings.log_level, settings.pool_size) == ("WARNING", 5)
    assert (settings.metrics_dir, Settings.from_environment({}).metrics_dir) == ("/run/counts", "")


def test_every_wrong_variable_is_named_at_once() -> None:
    with pytest.raises(InvalidSettings) as wrong:
        Settings.from_environment({"SERVICE_BODY_BYTES": "much", "SERVICE_TRANSACTION_POOLER": "perhaps"})
    assert "SERVICE_BODY_BYTES" in str(wrong.value)
    assert "SERVICE_TRANSACTION_POOLER" in str(wrong.value)
    with pytest.raises(InvalidSettings) as wrong:
        Settings.from_environment({"SERVICE_POOL_SIZE": "0", "SERVICE_LOG_LEVEL": "LOUD"})
    assert "SERVICE_POOL_SIZE must be at least 1" in str(wrong.value)
    assert "SERVICE_LOG_LEVEL must be one of" in str(wrong.value)


def test_settings_do_not_change_while_the_service_runs() -> None:
    with pytest.raises(FrozenInstanceError):
        Settings().pool_size = 9  # type: ignore[misc]
