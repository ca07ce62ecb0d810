"""gunicorn's settings for a container. Each line says why it is as it is."""

import os

# The counts of all workers meet, so that whichever is asked for /metrics answers for all: hooks, taken by their names.
from service.cli.workers import on_exit, on_starting, post_fork, pre_fork  # noqa: F401

wsgi_app = "service.wsgi:app"
bind = "0.0.0.0:8000"  # the container's own network; publish it behind TLS

# Threads, so that a slow request does not starve the short ones; as many workers as cores, since a takeoff is pure CPU.
worker_class = "gthread"
workers = int(os.getenv("WEB_CONCURRENCY", str(os.cpu_count() or 1)))
threads = 4  # SERVICE_POOL_SIZE should be at least this

# gthread's timeout watches the worker, not a request: the engine's own bounds keep requests short.
timeout = 60
graceful_timeout = 30  # a rolling restart lets requests under way finish; give the container longer than this to stop
keepalive = 75  # longer than a load balancer's idle timeout, so that it never meets a closed connection

# Workers are renewed now and then, not all at once, so that a slow leak in a library never matters.
max_requests = 20_000
max_requests_jitter = 4_000

worker_tmp_dir = "/dev/shm"  # heartbeats in memory: a slow disk must not look like a dead worker
control_socket_disable = True  # nothing in the container uses it
http_parser = "python"  # the same parser everywhere
limit_request_line = 4094
limit_request_fields = 64
forwarded_allow_ips = os.getenv("FORWARDED_ALLOW_IPS", "127.0.0.1")  # whose X-Forwarded-* headers are believed

accesslog = None  # the service writes one structured line a request itself
errorlog = "-"
loglevel = os.getenv("SERVICE_LOG_LEVEL", "warning").lower()
