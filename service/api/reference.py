"""The document served: as JSON at /v1/openapi.json, and to be read at /docs, one page of plain HTML that needs nothing else."""

import base64
import hashlib
import json
from typing import Any

import orjson
from flask import Flask, Response
from jinja2 import Environment

from service.api.answers import versioned
from service.api.document import openapi_document
from service.api.problems import PROBLEMS

_STYLE = """
:root { color-scheme: light dark; --line: #8886; --soft: #8881; --mark: #b4540a; }
body { font: 16px/1.55 system-ui, sans-serif; max-width: 62rem; margin: 0 auto; padding: 1.5rem; }
h1 { margin-bottom: 0; } h2 { margin-top: 3rem; border-bottom: 2px solid var(--mark); } h3 { margin: 2rem 0 .3rem; }
code, pre { font: 13px/1.45 ui-monospace, monospace; } 
pre { background: var(--soft); padding: .8rem; overflow: auto; max-height: 28rem; }
a { color: inherit; text-decoration-color: var(--mark); } nav li { margin: .1rem 0; } nav { columns: 2; }
.method { display: inline-block; min-width: 4.2rem; font-weight: 700; color: var(--mark); }
table { border-collapse: collapse; width: 100%; font-size: 14px; } td, th { text-align: left; vertical-align: top;
  padding: .25rem .6rem .25rem 0; border-bottom: 1px solid var(--line); } summary { cursor: pointer; } .quiet { opacity: .75; }
"""

_PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{ info.title }}: reference</title><style>{{ style|safe }}</style></head><body>
<h1>{{ info.title }}</h1><p class="quiet">Version {{ info.version }} · <a href="/v1/openapi.json">OpenAPI document</a></p>
{% for paragraph in info.description.split("\n\n") %}<p>{{ paragraph|plain }}</p>{% endfor %}
<nav><ul>{% for group in groups %}<li><a href="#{{ group.name|slug }}">{{ group.name }}</a></li>{% endfor %}
<li><a href="#shapes">Shapes</a></li><li><a href="#problems">Problems</a></li></ul></nav>
{% for group in groups %}<h2 id="{{ group.name|slug }}">{{ group.name }}</h2><p>{{ group.description }}</p>
{% for op in group.operations %}<h3 id="{{ op.operationId }}">{{ op.summary }}</h3>
<p><code><span class="method">{{ op.method }}</span>{{ op.path }}</code></p>
{% for paragraph in op.description.split("\n\n") %}<p>{{ paragraph|plain }}</p>{% endfor %}
{% if op.parameters %}<table>{% for p in op.parameters %}<tr><td><code>{{ p.name }}</code></td><td>{{ p.in }}</td>
<td>{{ p.description or "" }}</td></tr>{% endfor %}</table>{% endif %}
{% if op.sent %}<details><summary>Send {{ op.sent.shape|ref }} as <code>{{ op.sent.type }}</code></summary>
<pre>{{ op.sent.example }}</pre></details>{% endif %}
{% for answer in op.answers %}<details><summary>{{ answer.status }}{% if answer.shape %}: {{ answer.shape|ref }}{% endif %}
<span class="quiet">{{ answer.text }}</span></summary>{% if answer.example %}<pre>{{ answer.example }}</pre>{% endif %}</details>
{% endfor %}<p class="quiet">Refusals: {{ op.refusals|join(", ") }}</p>{% endfor %}{% endfor %}
<h2 id="shapes">Shapes</h2>
{% for name, shape in shapes.items() %}<h3 id="shape-{{ name }}">{{ name }}</h3><p>{{ shape.description }}</p><table>
{% for member, about in shape.properties.items() %}<tr><td><code>{{ member }}</code>{% if member in shape.required %} *{% endif %}
</td><td>{{ about|kind }}</td><td>{{ about.description or "" }}
{% if about.default is defined %}<span class="quiet">Default: {{ about.default|tojson }}.</span>{% endif %}</td></tr>
{% endfor %}</table>{% endfor %}<p class="quiet">* required, or always there in an answer.</p>
<h2 id="problems">Problems</h2>
{% for code, problem in problems.items() %}<h3 id="{{ code }}">{{ problem.title }}</h3>
<p><code>/docs#{{ code }}</code> · {{ problem.status }}</p><p>{{ problem.meaning }}</p>{% endfor %}
</body></html>
"""


def register_reference(app: Flask) -> None:
    """Makes both once; they change only with the code."""
    document = openapi_document(app)
    as_json = orjson.dumps(document)
    mark = hashlib.sha256(as_json).hexdigest()[:16]
    page = reference_page(document).encode()
    style = base64.b64encode(hashlib.sha256(_STYLE.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{style}'; frame-ancestors 'none'; base-uri 'none'"

    @app.get("/v1/openapi.json")
    def openapi_json() -> Response:
        return versioned(mark, lambda: document)

    @app.get("/docs")
    def docs() -> Response:
        return Response(page, content_type="text/html; charset=utf-8", headers={"Content-Security-Policy": policy})


def reference_page(document: dict[str, Any]) -> str:
    """The whole document as HTML."""
    environment = Environment(autoescape=True)
    environment.filters |= {"plain": _plain, "slug": _slug, "ref": _shape_name, "kind": _kind}
    groups = [
        {"name": tag["name"], "description": tag["description"], "operations": list(_operations(document, tag["name"]))}
        for tag in document["tags"]
    ]
    return environment.from_string(_PAGE).render(
        info=document["info"], style=_STYLE, groups=groups, shapes=_shapes(document), problems=PROBLEMS
    )


def _operations(document: dict[str, Any], tag: str) -> Any:
    for path, item in document["paths"].items():
        for method, operation in item.items():
            if method == "parameters" or tag not in operation["tags"]:
                continue
            given = [*item.get("parameters", []), *operation.get("parameters", [])]
            yield {
                **operation,
                "method": method.upper(),
                "path": path,
                "parameters": [_resolved(document, parameter) for parameter in given],
                "sent": next(iter(_media(operation.get("requestBody", {}))), None),
                "answers": [
                    {"status": status, "text": answer["description"], **next(iter(_media(answer)), {})}
                    for status, answer in operation["responses"].items()
                    if "$ref" not in answer
                ],
                "refusals": [status for status, answer in operation["responses"].items() if "$ref" in answer],
            }


def _media(holder: dict[str, Any]) -> Any:
    for content_type, media in holder.get("content", {}).items():
        example = json.dumps(media["example"], indent=2, ensure_ascii=False) if "example" in media else ""
        yield {"type": content_type, "shape": media["schema"], "example": example}


def _resolved(document: dict[str, Any], reference: dict[str, Any]) -> Any:
    if "$ref" not in reference:
        return reference
    _, *steps = reference["$ref"].split("/")
    found: Any = document
    for step in steps:
        found = found[step]
    return found


def _shapes(document: dict[str, Any]) -> dict[str, Any]:
    return {
        name: {"required": [], "properties": {}, "description": "", **shape}
        for name, shape in sorted(document["components"]["schemas"].items())
    }


def _shape_name(schema: dict[str, Any]) -> str:
    return str(schema.get("$ref", "")).rpartition("/")[2]


def _kind(schema: dict[str, Any]) -> str:
    """A member's kind in a few words."""
    if "$ref" in schema:
        return _shape_name(schema)
    if "anyOf" in schema:
        return " or ".join(_kind(option) for option in schema["anyOf"])
    if "items" in schema:
        return f"list of {_kind(schema['items'])}"
    kinds = schema.get("type", "any")
    name = " or ".join(kinds) if isinstance(kinds, list) else str(kinds)
    bounds = [str(schema[bound]) for bound in ("minimum", "maximum") if bound in schema]
    words = [str(word) for word in schema.get("enum", ()) if word is not None]
    return f"{name} {' to '.join(bounds)}".strip() + (f": {', '.join(words)}" if words else "")


def _plain(markdown: str) -> str:
    return markdown.replace("**", "").replace("`", "")


def _slug(name: str) -> str:
    return "".join(letter if letter.isalnum() else "-" for letter in name.lower())
