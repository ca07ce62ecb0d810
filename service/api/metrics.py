"""What is counted for whoever runs the service, told in the open text format that monitors read (`/metrics`).

Label values come from closed lists: operations, methods, statuses, outcomes. Nothing that a caller sends becomes one, so nobody's
ids are told and the number of series is bounded.
"""

from collections.abc import Iterable

from prometheus_client import CollectorRegistry, Counter, Histogram, disable_created_metrics
from prometheus_client.core import InfoMetricFamily, Metric
from prometheus_client.exposition import choose_encoder
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

from service.engine.recipe import ENGINE_VERSION

METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
NO_OPERATION = "none"
"""No path of ours, or none with that method."""
OTHER_METHOD = "other"
COMPUTED, SHARED, REFUSED = "computed", "shared", "refused"

REQUEST_SECONDS = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30)
COMPUTING_SECONDS = (0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30, 60)

disable_created_metrics()  # when a series began cannot be had of several workers, so it is told of none


class _Build(Collector):
    def collect(self) -> Iterable[Metric]:
        yield InfoMetricFamily("takeoff_build", "What is running.", {"engine_version": ENGINE_VERSION})


class Metrics:
    """The instruments of one app.

    `folder`: where the workers of one service keep their counts, so that each can answer for all; empty: this process answers for
    itself alone.
    """

    def __init__(self, folder: str) -> None:
        self._shown = CollectorRegistry()
        if folder:
            MultiProcessCollector(self._shown, folder)
        self._shown.register(_Build())
        registry = None if folder else self._shown
        self._requests = Counter(
            "takeoff_http_requests", "Requests answered.", ("operation", "method", "status"), registry=registry
        )
        self._request_seconds = Histogram(
            "takeoff_http_request_duration_seconds",
            "From a request's arrival in the app to its answer.",
            ("operation",),
            buckets=REQUEST_SECONDS,
            registry=registry,
        )
        self._replayed = Counter(
            "takeoff_http_replayed_answers", "Answers given once more to an Idempotency-Key.", ("operation",), registry=registry
        )
        self._takeoffs = Counter("takeoff_takeoffs", "Takeoffs asked for, by what came of it.", ("outcome",), registry=registry)
        self._computing_seconds = Histogram(
            "takeoff_computing_duration_seconds",
            "What computing a takeoff took, where none was there to be shared.",
            buckets=COMPUTING_SECONDS,
            registry=registry,
        )
        for outcome in (COMPUTED, SHARED, REFUSED):
            self._takeoffs.labels(outcome)  # told from the start, as 0

    def answered(self, operation: str, method: str, status: int, seconds: float, *, replayed: bool) -> None:
        """Counts one request. `operation`: its operationId; empty where it reached none."""
        named = operation or NO_OPERATION
        self._requests.labels(named, method if method in METHODS else OTHER_METHOD, status).inc()
        self._request_seconds.labels(named).observe(seconds)
        if replayed:
            self._replayed.labels(named).inc()

    def took_off(self, computing_seconds: float | None) -> None:
        """Counts one takeoff. None: the result of an equal one was shared."""
        self._takeoffs.labels(SHARED if computing_seconds is None else COMPUTED).inc()
        if computing_seconds is not None:
            self._computing_seconds.observe(computing_seconds)

    def refused_takeoff(self) -> None:
        """Counts a survey that cannot be taken off as measured."""
        self._takeoffs.labels(REFUSED).inc()

    def shown(self, accept: str) -> tuple[bytes, str]:
        """All counts as text, and its media type: the form that the header `Accept` likes."""
        encode, media = choose_encoder(accept)
        return encode(self._shown), media
